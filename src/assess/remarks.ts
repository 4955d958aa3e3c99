import type { LineFinding, LineReport } from "../line/index.ts";
import type { Beats } from "../time/index.ts";
import type { Assessment } from "./assess.ts";
import { capital, inBars, plural } from "./words.ts";

/** One thing to tell a student about an improvised take. */
export interface Remark {
  readonly about: "line" | "left-hand";
  /** The rule of phrasing (`phraseRuleCatalogue`) or the finding (`findingCatalogue`) that it comes from. */
  readonly id: string;
  /** Where it is heard, bar and beat counted from 1; for the left hand the bars alone, and none for the whole. */
  readonly places: readonly { readonly bar: number; readonly beat?: Beats }[];
  /** What is heard, in a sentence. */
  readonly text: string;
  /** What to try, in a sentence. */
  readonly how: string;
}

const MOST = 3;

/** Three things at most: on the line and on the left hand by turns, the line first, each kind weightiest first. */
export const remarks = (findings: readonly LineFinding[], left: Assessment | undefined): readonly Remark[] => {
  const line = lineRemarks(findings);
  const hand = (left?.say ?? []).map(({ id, bars, text }, i): Remark => (
    { about: "left-hand", id, places: bars.map((bar) => ({ bar })), text, how: left?.practise[i]?.how ?? "" }
  ));
  return Array.from({ length: Math.max(line.length, hand.length) }, (_, i) => [line[i], hand[i]]).flat().filter((remark) => remark !== undefined).slice(0, MOST);
};

/** Each rule once, "must" before "should" and what is broken most before the rest; told where it is broken first. */
const lineRemarks = (findings: readonly LineFinding[]): readonly Remark[] => {
  const byRule = new Map<string, LineFinding[]>();
  for (const finding of findings) byRule.set(finding.rule, [...(byRule.get(finding.rule) ?? []), finding]);
  return [...byRule.values()]
    .sort((a, b) => Number(b[0]?.grade === "must") - Number(a[0]?.grade === "must") || b.length - a.length)
    .map((breaches): Remark => {
      const first = breaches[0] as LineFinding;
      const others = [...new Set(breaches.slice(1).map(({ bar }) => bar))].filter((bar) => bar !== first.bar);
      const also = others.length === 0 ? "" : `, and the like in ${inBars(others)}`;
      return {
        about: "line",
        id: first.rule,
        places: breaches.map(({ bar, beat }) => ({ bar, beat })),
        text: `${capital(inBars([first.bar]))}: ${first.message}${also}.`,
        how: `${capital(first.suggestion)}.`,
      };
    });
};

/** What went well in a line, concretely; the first of these that is true. */
export const praiseLine = ({ phrases, findings }: LineReport, notes: number, overChords: boolean): string => {
  const kept = (...rules: readonly string[]): boolean => !findings.some(({ rule }) => rules.includes(rule));
  const one = phrases.length === 1;
  if (findings.length === 0) return one ? "Your phrase begins, breathes and ends well." : `Your line has ${plural(phrases.length, "phrase")}, and each begins, breathes and ends well.`;
  if (overChords && kept("resting-note", "clear-end")) return one ? "Your phrase comes to rest on a note that belongs." : `Each of your ${plural(phrases.length, "phrase")} comes to rest on a note that belongs.`;
  if (overChords && kept("strong-beats", "clear-start")) return "Your phrases begin clearly, and their strong beats tell the chords.";
  if (!one && kept("breath", "phrase-length")) return `You leave room to breathe: ${plural(phrases.length, "phrase")}, none too long.`;
  if (kept("leap-recovery", "leap-size")) return "Your line moves smoothly: no leap is left hanging.";
  return `You kept a line of ${notes} notes going.`;
};
