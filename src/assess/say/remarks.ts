import { known, nth } from "../../ground/list.ts";
import type { LineFinding, LineReport } from "../../line/index.ts";
import type { Beats } from "../../time/index.ts";
import type { Assessment } from "../assess.ts";
import { handLine } from "./hand-line.ts";
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
  const hand =
    left === undefined
      ? []
      : left.say.map(
          ({ id, bars, message: text }, i): Remark => ({
            about: "left-hand",
            id,
            places: bars.map((bar) => ({ bar })),
            text,
            how: nth(left.practise, i).how,
          }),
        );
  return Array.from({ length: Math.max(line.length, hand.length) }, (_, i) => [line[i], hand[i]])
    .flat()
    .filter((remark) => remark !== undefined)
    .slice(0, MOST);
};

// Breaches of one rule are all of one severity.
const musts = ([first]: readonly LineFinding[]): number => (first?.severity === "must" ? 1 : 0);

/** Each rule once, "must" before "should" and what is broken most before the rest; told where it is broken first. */
const lineRemarks = (findings: readonly LineFinding[]): readonly Remark[] => {
  const byRule = new Map<string, LineFinding[]>();
  for (const finding of findings) byRule.set(finding.rule, [...(byRule.get(finding.rule) ?? []), finding]);
  // A line that never breathes is one long phrase: said once.
  if (byRule.has("breath")) byRule.delete("phrase-length");
  return [...byRule.values()]
    .sort((a, b) => musts(b) - musts(a) || b.length - a.length)
    .map((breaches): Remark => {
      const first = nth(breaches, 0);
      const [, ...others] = new Set(breaches.map(({ bar }) => Math.max(bar, 0)));
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
  if (findings.length === 0)
    return one
      ? "Your phrase begins, breathes and ends well."
      : `Your line has ${plural(phrases.length, "phrase")}, and each begins, breathes and ends well.`;
  if (overChords && kept("resting-note", "clear-end"))
    return one
      ? "Your phrase comes to rest on a note that belongs."
      : `Each of your ${plural(phrases.length, "phrase")} comes to rest on a note that belongs.`;
  if (overChords && kept("strong-beats", "clear-start"))
    return one
      ? "Your line begins clearly, and its strong beats tell the chords."
      : "Your phrases begin clearly, and their strong beats tell the chords.";
  if (!one && kept("breath", "phrase-length"))
    return `You leave room to breathe: ${plural(phrases.length, "phrase")}, none too long.`;
  if (kept("leap-recovery", "leap-size")) return "Your line moves smoothly: no leap is left hanging.";
  return `You kept a line of ${notes} notes going.`;
};

/** Why there is, or is not, an assessment of the left hand. */
export type LeftHandHeard = "assessed" | "not-written" | "not-heard" | "another";

interface HeardTake {
  readonly line: readonly unknown[];
  readonly phrases: readonly unknown[];
  readonly offMs: number;
  readonly beatFrom: "left-hand" | "tempo";
  readonly left?: Assessment;
  readonly leftHand: LeftHandHeard;
}

const LEFT_HAND: Readonly<Record<Exclude<LeftHandHeard, "assessed">, string>> = {
  "not-written": "Left hand: none is written, so nothing is said about it.",
  "not-heard": "Left hand: none was heard, so nothing is said about it.",
  another: "Left hand: another one than the written was heard, so nothing is said about it.",
};

/** What was heard of each hand and by what the beat was told, in plain sentences. */
export const heardLines = ({ line, phrases, offMs, beatFrom, left, leftHand }: HeardTake): readonly string[] => [
  `Right hand, improvised: ${plural(line.length, "note")} in ${plural(phrases.length, "phrase")}; ${offMs} ms on the whole from the nearest eighth, triplet or sixteenth.`,
  ...(leftHand === "assessed" ? known(left).hands.map(handLine) : [LEFT_HAND[leftHand]]),
  beatFrom === "left-hand"
    ? "The left hand told the beat."
    : "No left hand told the beat: it was counted at the written tempo from where the first bar was said to begin.",
];
