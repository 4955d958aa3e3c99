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
export const remarks = (
  findings: readonly LineFinding[],
  left: Assessment | undefined,
  { lag, lateMs }: { readonly lag: number; readonly lateMs: number },
): readonly Remark[] => {
  const line = [...timeRemark(lag, lateMs), ...lineRemarks(findings)];
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

// Soloists' downbeats come some 30 ms, 9 % of a beat, after the rhythm section's at 150, and more where it is slower (Nelias, C. et al. (2022),
// Downbeat delays are a key component of swing in jazz, Communications Physics 5, 237): a line is late beyond that. Before it none is meant to be.
const LATE = { beats: 0.13, ms: 55 };
const EARLY = { beats: 0.07, ms: 35 };

const timeRemark = (lag: number, lateMs: number): readonly Remark[] => {
  const isLate = lag > LATE.beats && lateMs > LATE.ms;
  const isEarly = lag < -EARLY.beats && lateMs < -EARLY.ms;
  if (!isLate && !isEarly) return [];
  return [
    {
      about: "line",
      id: isLate ? "late-line" : "early-line",
      places: [],
      text: `The whole line comes about ${Math.abs(lateMs)} ms (${Math.round(100 * Math.abs(lag))} % of a beat) ${isLate ? "behind" : "ahead of"} your left hand.`,
      how: "Play the line's first phrase only, with the left hand's chord and the first note on the beat falling as one; then let it lean back on purpose.",
    },
  ];
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

// In transcribed solos 54 % of the notes on the beat are tones of the chord (Pfleiderer, M. et al. (eds.) (2017), Inside the Jazzomat; counted
// from its data); among twelve keys chance puts a third there. Fewer notes than this tell nothing.
const TELLING = 0.55;
const FEWEST_TELLING = 8;

/** What is known of a line beside the rules that it keeps. */
interface LineFacts {
  /** Whether it lies in time with the left hand. */
  readonly inTime: boolean;
  /** How often its figure comes back, where it is built on one. */
  readonly riff: number | undefined;
}

/** What went well in a line, concretely; the first of these that is true. */
export const praiseLine = (
  { phrases, findings }: LineReport,
  notes: number,
  strong: { readonly notes: number; readonly chordTones: number },
  { inTime, riff }: LineFacts,
): string => {
  const kept = (...rules: readonly string[]): boolean => !findings.some(({ rule }) => rules.includes(rule));
  const one = phrases.length === 1;
  const overChords = strong.notes > 0;
  const tells = strong.notes >= FEWEST_TELLING && strong.chordTones >= TELLING * strong.notes;
  const time = inTime ? ", in time with your left hand" : "";
  if (riff !== undefined) return `Your figure comes back ${plural(riff, "time")} and holds the chorus together${time}.`;
  // With few chord tones on the beat a line may be shaped well, but nothing says that it fits the chords.
  if (findings.length === 0 && (tells || !overChords || strong.notes < FEWEST_TELLING))
    return one
      ? `Your phrase begins, breathes and ends well${time}.`
      : `Your line has ${plural(phrases.length, "phrase")}, and each begins, breathes and ends well${time}.`;
  if (overChords && kept("resting-note"))
    return one
      ? `Your phrase comes to rest on a note that belongs${time}.`
      : `Each of your ${plural(phrases.length, "phrase")} comes to rest on a note that belongs${time}.`;
  if (tells)
    return one
      ? `Your line begins clearly, and its strong beats tell the chords${time}.`
      : `Your phrases begin clearly, and their strong beats tell the chords${time}.`;
  if (!one && kept("breath", "phrase-length"))
    return `You leave room to breathe: ${plural(phrases.length, "phrase")}, none too long${time}.`;
  if (kept("leap-recovery", "leap-size")) return `Your line moves smoothly: no leap is left hanging${time}.`;
  return `You kept a line of ${notes} notes going${time}.`;
};

/** Why there is, or is not, an assessment of the left hand. */
export type LeftHandHeard = "assessed" | "not-written" | "not-heard" | "another";

interface HeardTake {
  readonly line: readonly unknown[];
  readonly phrases: readonly unknown[];
  readonly offMs: number;
  readonly lateMs: number;
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
export const heardLines = ({
  line,
  phrases,
  offMs,
  lateMs,
  beatFrom,
  left,
  leftHand,
}: HeardTake): readonly string[] => [
  `Right hand, improvised: ${plural(line.length, "note")} in ${plural(phrases.length, "phrase")}; ${offMs} ms on the whole from the nearest eighth, triplet or sixteenth${lateMs === 0 ? "" : `, ${Math.abs(lateMs)} ms ${lateMs > 0 ? "behind" : "ahead of"} the left hand`}.`,
  ...(leftHand === "assessed" ? known(left).hands.map(handLine) : [LEFT_HAND[leftHand]]),
  beatFrom === "left-hand"
    ? "The left hand told the beat."
    : "No left hand told the beat: it was counted at the written tempo from where the first bar was said to begin.",
];
