import type { Finger } from "../event/index.ts";
import type { Model } from "./model.ts";
import { FAST, PLAIN, sequenceRole } from "./model.ts";
import type { Grips, Passage } from "./passage.ts";
import { tripleTables, unaryTable } from "./solve.ts";

/** A figure that comes back at once, as it was or on other degrees. */
export interface Repetition {
  /** Index of its first moment. */
  readonly from: number;
  /** Moments of the figure. */
  readonly size: number;
  /** How often it is played, the first time included. */
  readonly times: number;
}

const LONGEST = 16;
// Shorter ones come about by chance, across the beats.
const FEWEST_NOTES = 8;

// The size of an interval whatever its quality: a second, a third…; a diatonic repetition keeps these.
const SIZES = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6, 7] as const;
const sizeOf = (semitones: number): number => {
  const way = Math.sign(semitones);
  const span = Math.abs(semitones);
  return way * (Math.floor(span / 12) * 7 + (SIZES[span % 12] ?? 0));
};

/**
 * Figures of two to sixteen single notes that come back at once, exactly or on other degrees of a scale: at least twice, eight notes in all, and not
 * all in one direction. Where several fit, the one that covers most, then the shortest.
 */
export const repetitionsIn = (p: Passage): readonly Repetition[] => {
  const found: Repetition[] = [];
  const steps = Array.from({ length: p.length }, (_, i) => (i === 0 ? 0 : sizeOf(p.innerMoves[i] as number)));
  const turns = turnsIn(steps);
  // For each moment, the first after it that does not simply follow.
  const ends = new Int32Array(p.length + 1).fill(p.length);
  for (let i = p.length - 1; i >= 0; i--)
    ends[i] = i + 1 < p.length && follows(p, i + 1) ? (ends[i + 1] as number) : i + 1;
  // For each size and moment, how many steps from it on come back from one figure before.
  const again = Array.from({ length: LONGEST + 1 }, (_, size) => {
    const runs = new Int32Array(p.length + 2);
    for (let i = p.length - 1; size > 1 && i > size; i--)
      runs[i] = steps[i] === steps[i - size] ? (runs[i + 1] as number) + 1 : 0;
    return runs;
  });
  let from = 0;
  while (from < p.length) {
    let [size, times] = [0, 0];
    // All in one direction is a scale or an arpeggio, no figure.
    const least = Math.max(2, (turns[from + 1] as number) - from);
    for (let one = least; p.single[from] === 1 && one <= LONGEST; one++) {
      // The step from the first figure to the second comes back from the third time on.
      const notes = Math.min(
        one + 1 + ((again[one] as Int32Array)[from + one + 1] as number),
        (ends[from] as number) - from,
      );
      const found = Math.floor(notes / one);
      if (found >= 2 && found * one >= FEWEST_NOTES && found * one > size * times) [size, times] = [one, found];
    }
    if (times === 0) from++;
    else {
      found.push({ from, size, times });
      from += size * times;
    }
  }
  return found;
};

// A note by itself, after no rest and with no grace note.
const follows = (p: Passage, i: number): boolean => p.single[i] === 1 && (p.kinds[i] === PLAIN || p.kinds[i] === FAST);

/** For each step, the next one that goes the other way. */
const turnsIn = (steps: readonly number[]): Int32Array => {
  const turns = new Int32Array(steps.length + 1).fill(steps.length);
  let [rise, fall] = [steps.length, steps.length];
  for (let i = steps.length - 1; i >= 0; i--) {
    const step = steps[i] as number;
    if (step > 0) rise = i;
    if (step < 0) fall = i;
    turns[i] = Math.max(rise, fall);
  }
  return turns;
};

/**
 * The fingers that a figure has every time: those that are cheapest when all its times take them and each leads to the next. Exact, over every pair of
 * fingers to begin with; ties to the lower finger at the first note where two differ.
 */
export const sharedFingers = (model: Model, p: Passage, { from, size, times }: Repetition): readonly Finger[] => {
  const alone = Array.from({ length: size }, () => new Float64Array(5));
  const pairs = Array.from({ length: size }, () => new Float64Array(25));
  const triples = Array.from({ length: size }, () => new Float64Array(125));
  for (let n = 0; n < size * times; n++) {
    const i = from + n;
    const j = n % size;
    const grips = p.grips[i] as Grips;
    const own = unaryTable(model, p, i, false);
    for (let f = 0; f < 5; f++) {
      const grip = grips.inner.indexOf(f);
      add(alone[j], f, grip < 0 ? REFUSED : (own[grip] as number));
    }
    if (n > 0) sum(pairs[j], pairOf(model, p, i));
    if (n > 1) sum(triples[j], tripleTables(model, p, i - 2, i - 1, i)?.inner);
  }
  let least = Number.POSITIVE_INFINITY;
  let best: readonly number[] = [];
  for (let opening = 0; opening < 25; opening++) {
    const [cost, fingers] = cycleFrom(opening, alone, pairs, triples);
    if (cost < least) [least, best] = [cost, fingers];
  }
  return best.map((finger) => (finger + 1) as Finger);
};

const REFUSED = 1e9;

const add = (table: Float64Array | undefined, at: number, cost: number): void => {
  if (table !== undefined) table[at] = (table[at] as number) + cost;
};
const sum = (table: Float64Array | undefined, costs: ArrayLike<number> | undefined): void => {
  if (table === undefined || costs === undefined) return;
  for (let s = 0; s < table.length; s++) table[s] = (table[s] as number) + (costs[s] as number);
};

// The pair as if every finger were allowed on both: what is settled is charged with the notes.
const pairOf = (model: Model, p: Passage, i: number): Int32Array =>
  model.pair(p.innerMoves[i] as number, p.kinds[i] as number, p.innerBlack[i - 1] as number, p.innerBlack[i] as number);

const cycleFrom = (
  opening: number,
  alone: readonly Float64Array[],
  pairs: readonly Float64Array[],
  triples: readonly Float64Array[],
): readonly [cost: number, fingers: readonly number[]] => {
  const size = alone.length;
  const at = (tables: readonly Float64Array[], j: number, s: number): number =>
    (tables[j] as Float64Array)[s] as number;
  const [first, second] = [Math.floor(opening / 5), opening % 5];
  // From the end: what the moments after j cost, by the fingers of j - 1 and j.
  let ahead = Float64Array.from({ length: 25 }, (_, s) => {
    const [a, b] = [Math.floor(s / 5), s % 5];
    return at(pairs, 0, b * 5 + first) + at(triples, 0, a * 25 + b * 5 + first) + at(triples, 1, b * 25 + opening);
  });
  const choices: Uint8Array[] = [];
  for (let j = size - 1; j >= 2; j--) {
    const here = new Float64Array(25);
    const choice = new Uint8Array(25);
    for (let s = 0; s < 25; s++) {
      const b = s % 5;
      let least = Number.POSITIVE_INFINITY;
      for (let c = 0; c < 5; c++) {
        const cost =
          at(alone, j, c) + at(pairs, j, b * 5 + c) + at(triples, j, s * 5 + c) + (ahead[b * 5 + c] as number);
        if (cost < least) {
          least = cost;
          choice[s] = c;
        }
      }
      here[s] = least;
    }
    choices[j] = choice;
    ahead = here;
  }
  const cost = at(alone, 0, first) + at(alone, 1, second) + at(pairs, 1, opening) + (ahead[opening] as number);
  const fingers = [first, second];
  for (let j = 2; j < size; j++) {
    const state = (fingers[j - 2] as number) * 5 + (fingers[j - 1] as number);
    fingers.push((choices[j] as Uint8Array)[state] as number);
  }
  return [cost, fingers];
};

/** Gives the notes of repeated figures the fingers that they share; notes of a recognised scale keep theirs. */
export const giveSequences = (model: Model, p: Passage): readonly Repetition[] =>
  repetitionsIn(p).filter((repetition) => {
    const notes = Array.from(
      { length: repetition.size * repetition.times },
      (_, n) => p.moments[repetition.from + n]?.keys[0]?.note ?? 0,
    );
    if (notes.some((note) => p.role[note] !== 0)) return false;
    const fingers = sharedFingers(model, p, repetition);
    notes.forEach((note, n) => (p.role[note] = sequenceRole(fingers[n % repetition.size] as Finger)));
    return true;
  });
