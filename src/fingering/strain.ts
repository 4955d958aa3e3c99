import type { Finger, Hand } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, noteName } from "../pitch/index.ts";
import { handInterval } from "./crossings.ts";
import type { HandSpans } from "./spans.ts";
import { naturalSpan } from "./spans.ts";

/** Something about a passage that may strain a hand. */
export interface Strain {
  readonly kind: "strain";
  readonly index: number;
  readonly message: string;
}

/** What is struck at once: indices of its notes, and when. */
export interface Struck {
  readonly notes: readonly number[];
  /** Seconds from the beginning. */
  readonly at: number;
  /** Whether the hand comes there from a rest. */
  readonly free: boolean;
}

// All of these are ours, no source: where it is worth a word, not where it is safe.
const LEAP_SECONDS = 0.25;
const FAST_SECONDS = 0.11;
const FAST_NOTES = 12;
const CHORD_SECONDS = 0.4;
const WIDE_CHORDS = 4;
const OCTAVE = 12;
const FINGER_SECONDS = 0.25;
const FINGER_TIMES = 6;

const named = (p: Pitch): string => formatPitch(noteName(p));
const REST = "stop at pain, and ask a teacher or a clinician";

/** Runs of places, one after the other, that pass a test; a run of n passes holds n + 1 places. */
const runsWhere = (
  length: number,
  joins: (place: number) => boolean,
): readonly (readonly [from: number, to: number])[] => {
  const runs: [number, number][] = [];
  let from = 0;
  for (let i = 1; i <= length; i++)
    if (i === length || !joins(i)) {
      if (i - from > 1) runs.push([from, i]);
      from = i;
    }
  return runs;
};

const opened = (hand: Hand, from: Pitch, to: Pitch, left: Finger, right: Finger, spans: HandSpans): boolean =>
  left !== right && naturalSpan(left, right, handInterval(hand, from, to)) === spans.between(left, right).maxPractical;

const asFarAsItGoes = (from: Pitch, to: Pitch, left: Finger, right: Finger): string =>
  `${left} to ${right} from ${named(from)} to ${named(to)} opens the hand as far as it goes`;

/** The same of pitches that come in no time: nothing about them is fast. */
export const openings = (
  hand: Hand,
  pitches: readonly Pitch[],
  fingers: readonly Finger[],
  spans: HandSpans,
): readonly Strain[] => {
  const found: Strain[] = [];
  for (let i = 1; i < pitches.length; i++) {
    const [from, to, left, right] = [pitches[i - 1], pitches[i], fingers[i - 1], fingers[i]];
    if (from === undefined || to === undefined || left === undefined || right === undefined) break;
    if (!opened(hand, from, to, left, right, spans)) continue;
    found.push({ kind: "strain", index: i, message: `${asFarAsItGoes(from, to, left, right)}: ${REST}` });
  }
  return found;
};

/** Where a passage may strain: fingers opened as far as they go, fast leaps, long fast runs, wide chords in a row, one finger again and again. */
export const strains = (
  hand: Hand,
  pitches: readonly Pitch[],
  fingers: readonly Finger[],
  struck: readonly Struck[],
  spans: HandSpans,
): readonly Strain[] => {
  const found: Strain[] = [];
  const tell = (place: number, message: string): void => {
    found.push({ kind: "strain", index: Math.min(...nth(struck, place).notes), message: `${message}: ${REST}` });
  };
  const gap = (i: number): number => nth(struck, i).at - nth(struck, i - 1).at;
  const one = (i: number): number | undefined => {
    const { notes } = nth(struck, i);
    return notes.length === 1 ? notes[0] : undefined;
  };
  for (let i = 1; i < struck.length; i++) {
    const [a, b] = [one(i - 1), one(i)];
    if (a === undefined || b === undefined || nth(struck, i).free) continue;
    const [from, to, left, right] = [nth(pitches, a), nth(pitches, b), nth(fingers, a), nth(fingers, b)];
    const reach = spans.between(left, right);
    const span = naturalSpan(left, right, handInterval(hand, from, to));
    if (opened(hand, from, to, left, right, spans)) tell(i, asFarAsItGoes(from, to, left, right));
    if (span > Math.max(OCTAVE, reach.maxPractical) && gap(i) < LEAP_SECONDS)
      tell(
        i,
        `a fast leap of ${Math.abs(to.semitones - from.semitones)} semitones from ${named(from)} to ${named(to)}`,
      );
  }
  for (const [from, to] of runsWhere(struck.length, (i) => gap(i) < FAST_SECONDS))
    if (to - from >= FAST_NOTES) tell(from, `${to - from} notes at more than ${Math.floor(1 / FAST_SECONDS)} a second`);
  const wide = (i: number): boolean => {
    const heights = nth(struck, i).notes.map((note) => nth(pitches, note).semitones);
    return Math.max(...heights) - Math.min(...heights) >= OCTAVE;
  };
  for (const [from, to] of runsWhere(struck.length, (i) => wide(i) && wide(i - 1) && gap(i) < CHORD_SECONDS))
    if (to - from >= WIDE_CHORDS) tell(from, `${to - from} octaves or wider in a row, fast`);
  for (const [from, to] of runsWhere(struck.length, (i) => {
    const [a, b] = [one(i - 1), one(i)];
    return a !== undefined && b !== undefined && fingers[a] === fingers[b] && gap(i) < FINGER_SECONDS;
  }))
    if (to - from >= FINGER_TIMES) tell(from, `${fingers[one(from) ?? 0]} again ${to - from} times, fast`);
  return found;
};
