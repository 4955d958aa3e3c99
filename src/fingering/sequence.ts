import type { Finger } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
import { stretch } from "./departures.ts";
import type { Model } from "./model.ts";
import { CRUSHED, FAST, FREE, PLAIN, SLIDE, sequenceRole } from "./model.ts";
import type { Passage } from "./passage.ts";
import { byteAt, costAt, fingerOf, gripsAt, stepAt, sumAt } from "./reading.ts";
import { solveCycle, tripleTables, unaryTable } from "./solve.ts";

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
 * all in one direction; with rests in it or between, exactly. Where several fit, the one that covers most, then the shortest.
 */
export const repetitionsIn = (p: Passage): readonly Repetition[] => {
  const found: Repetition[] = [];
  const steps = Int8Array.from(p.innerMoves, (move, i) => (i === 0 ? 0 : sizeOf(move)));
  const turns = turnsIn(steps);
  // For each moment, the first after it that does not simply follow.
  const ends = new Int32Array(p.length + 1).fill(p.length);
  for (let i = p.length - 1; i >= 0; i--) ends[i] = i + 1 < p.length && follows(p, i + 1) ? costAt(ends, i + 1) : i + 1;
  // For each size and moment, how many steps from it on come back from one figure before.
  const width = p.length + 2;
  const again = new Int32Array((LONGEST + 1) * width);
  for (let size = 2; size <= LONGEST; size++)
    for (let i = p.length - 1; i > size; i--)
      if (steps[i] === steps[i - size] && rests(p, i) === rests(p, i - size))
        again[size * width + i] = costAt(again, size * width + i + 1) + 1;
  let from = 0;
  while (from < p.length) {
    let [size, times] = [0, 0];
    // All in one direction is a scale or an arpeggio, no figure.
    const least = Math.max(2, costAt(turns, from + 1) - from);
    const longest = p.single[from] === 1 ? Math.min(LONGEST, Math.floor((costAt(ends, from) - from) / 2)) : 0;
    for (let one = least; one <= longest; one++) {
      // The step from the first figure to the second comes back from the third time on.
      const notes = Math.min(one + 1 + costAt(again, one * width + from + one + 1), costAt(ends, from) - from);
      const found = Math.floor(notes / one);
      if (found < 2 || found * one < FEWEST_NOTES || found * one <= size * times) continue;
      if (!hasRest(p, from, one * found) || isExact(p, from, one, found)) [size, times] = [one, found];
    }
    if (times === 0) from++;
    else {
      found.push({ from, size, times });
      from += size * times;
    }
  }
  return found;
};

const rests = (p: Passage, i: number): boolean => p.kinds[i] === FREE;

// A note by itself, with no grace note.
const follows = (p: Passage, i: number): boolean =>
  p.single[i] === 1 && (p.kinds[i] === PLAIN || p.kinds[i] === FAST || rests(p, i));

const hasRest = (p: Passage, from: number, notes: number): boolean =>
  p.kinds.subarray(from + 1, from + notes).includes(FREE);

/** Whether a figure comes back to the semitone. On other degrees after a rest it may as well be a new thought: printed fingers change there. */
const isExact = (p: Passage, from: number, size: number, times: number): boolean => {
  for (let i = from + size; i < from + size * times; i++)
    if ((i - from) % size !== 0 && p.innerMoves[i] !== p.innerMoves[i - size]) return false;
  return true;
};

/** For each step, the next one that goes the other way. */
const turnsIn = (steps: Int8Array): Int32Array => {
  const turns = new Int32Array(steps.length + 1).fill(steps.length);
  let [rise, fall] = [steps.length, steps.length];
  for (let i = steps.length - 1; i >= 0; i--) {
    const step = stepAt(steps, i);
    if (step > 0) rise = i;
    if (step < 0) fall = i;
    turns[i] = Math.max(rise, fall);
  }
  return turns;
};

/**
 * The fingers that a figure has every time: those that are cheapest when all its times take them and each leads to the next; in several passages, which
 * are one figure elsewhere, those that are cheapest in all together. Two notes at least. Exact, over every pair of
 * fingers to begin with; ties to the lower finger at the first note where two differ.
 */
export const sharedFingers = (
  model: Model,
  passages: readonly Passage[],
  { from, size, times }: Repetition,
): readonly Finger[] => {
  const alone = new Float64Array(size * 5);
  const pairs = new Float64Array(size * 25);
  const triples = new Float64Array(size * 125);
  for (const p of passages)
    for (let n = 0; n < size * times; n++) {
      const i = from + n;
      const j = n % size;
      const grips = gripsAt(p.grips, i);
      const own = unaryTable(model, p, i, false);
      for (let f = 0; f < 5; f++) {
        const grip = grips.inner.indexOf(f);
        alone[j * 5 + f] = sumAt(alone, j * 5 + f) + (grip < 0 ? REFUSED : costAt(own, grip));
      }
      if (n > 0) addTo(pairs, j * 25, pairOf(model, p, i));
      const voices = n > 1 ? tripleTables(model, p, i - 2, i - 1, i) : undefined;
      if (voices !== undefined) addTo(triples, j * 125, voices.inner);
    }
  let least = Number.POSITIVE_INFINITY;
  let best: readonly number[] = [];
  for (let opening = 0; opening < 25; opening++) {
    const [cost, fingers] = cycleFrom(opening, alone, pairs, triples);
    if (cost < least) [least, best] = [cost, fingers];
  }
  return best.map((finger) => fingerOf(finger + 1));
};

const REFUSED = 1e9;

const addTo = (sums: Float64Array, from: number, costs: Int32Array): void => {
  for (let s = 0; s < costs.length; s++) sums[from + s] = sumAt(sums, from + s) + costAt(costs, s);
};

// The pair as if every finger were allowed on both: what is settled is charged with the notes.
const pairOf = (model: Model, p: Passage, i: number): Int32Array =>
  model.pair(stepAt(p.innerMoves, i), byteAt(p.kinds, i), byteAt(p.innerBlack, i - 1), byteAt(p.innerBlack, i));

const cycleFrom = (
  opening: number,
  alone: Float64Array,
  pairs: Float64Array,
  triples: Float64Array,
): readonly [cost: number, fingers: readonly number[]] => {
  const size = alone.length / 5;
  const [first, second] = [Math.floor(opening / 5), opening % 5];
  // From the end: what the moments after j cost, by the fingers of j - 1 and j.
  let ahead = new Float64Array(25);
  for (let s = 0; s < 25; s++)
    ahead[s] =
      sumAt(pairs, (s % 5) * 5 + first) + sumAt(triples, s * 5 + first) + sumAt(triples, 125 + (s % 5) * 25 + opening);
  const choices = new Uint8Array(size * 25);
  for (let j = size - 1; j >= 2; j--) {
    const here = new Float64Array(25);
    for (let s = 0; s < 25; s++) {
      const b = s % 5;
      let least = Number.POSITIVE_INFINITY;
      for (let c = 0; c < 5; c++) {
        const cost =
          sumAt(alone, j * 5 + c) +
          sumAt(pairs, j * 25 + b * 5 + c) +
          sumAt(triples, j * 125 + s * 5 + c) +
          sumAt(ahead, b * 5 + c);
        if (cost < least) {
          least = cost;
          choices[j * 25 + s] = c;
        }
      }
      here[s] = least;
    }
    ahead = here;
  }
  const cost = sumAt(alone, first) + sumAt(alone, 5 + second) + sumAt(pairs, 25 + opening) + sumAt(ahead, opening);
  const fingers = [first, second];
  let state = opening;
  for (let j = 2; j < size; j++) {
    const finger = byteAt(choices, j * 25 + state);
    fingers.push(finger);
    state = (state % 5) * 5 + finger;
  }
  return [cost, fingers];
};

/**
 * Figures of two to sixteen moments, two chords or double notes among them, that come back at once to the semitone, with a rest between
 * or without: at least twice. Where several fit, the one that covers most, then the shortest.
 */
export const chordRepetitionsIn = (p: Passage): readonly Repetition[] => {
  if (!p.chord.includes(1)) return [];
  // Moments on the same keys have the same number; and so have those that the hand comes to in the same way besides.
  const names = new Map<string, number>();
  const numbered = (name: string): number => kept(names, name, () => names.size);
  const same = Int32Array.from(p.moments, ({ keys }) =>
    numbered(keys.map(({ note, struck }) => `${p.keys[note]}${struck ? "" : "~"}`).join()),
  );
  const apart = (i: number): boolean => p.kinds[i] === SLIDE || p.kinds[i] === CRUSHED;
  const width = p.length + 1;
  const again = new Int32Array((LONGEST + 1) * width);
  for (let size = 2; size <= LONGEST; size++)
    for (let i = p.length - 1; i >= size; i--)
      if (same[i] === same[i - size] && p.kinds[i] === p.kinds[i - size] && !apart(i))
        again[size * width + i] = costAt(again, size * width + i + 1) + 1;
  const chords = new Int32Array(width).fill(p.length);
  // For each moment, where the second chord from it on is.
  let [first, second] = [p.length, p.length];
  for (let i = p.length - 1; i >= 0; i--) {
    if (p.chord[i] === 1) [first, second] = [i, first];
    chords[i] = second;
  }
  const found: Repetition[] = [];
  for (let from = 0; from < p.length; ) {
    let [size, times] = [0, 0];
    for (let one = Math.max(2, costAt(chords, from) - from + 1); one <= LONGEST; one++) {
      let here = 1;
      for (let at = from + one; at + one <= p.length; at += one, here++)
        if (same[at] !== same[at - one] || apart(at) || costAt(again, one * width + at + 1) < one - 1) break;
      if (here > 1 && !apart(from) && one * here > size * times) [size, times] = [one, here];
    }
    if (times > 0) found.push({ from, size, times });
    from += Math.max(1, size * times);
  }
  return found;
};

/**
 * Gives the notes of repeated figures of chords the fingers that are cheapest where the figure leads back to itself without end, with the
 * fingers that are settled at any of its times.
 */
const giveChordSequences = (model: Model, p: Passage): readonly Repetition[] =>
  chordRepetitionsIn(p).filter(({ from, size, times }) => {
    const places = Array.from({ length: size }, (_, j) => {
      const all = Array.from({ length: times }, (_, time) => from + time * size + j);
      return all.reduce((best, i) => (gripsAt(p.grips, i).count < gripsAt(p.grips, best).count ? i : best));
    });
    const notes = p.moments.slice(from, from + size * times).flatMap(({ keys }) => keys.map(({ note }) => note));
    if (notes.some((note) => p.role[note] !== 0)) return false;
    // The second time is led to by the first.
    const figure: Passage = {
      ...stretch(p, from + size, from + 2 * size),
      moments: places.map((i) => nth(p.moments, i)),
      grips: places.map((i) => gripsAt(p.grips, i)),
    };
    const way = solveCycle(model, figure);
    for (let n = 0; n < size * times; n++) {
      const j = n % size;
      const { width, fingers } = gripsAt(figure.grips, j);
      nth(p.moments, from + n).keys.forEach(({ note, struck }, k) => {
        if (struck)
          p.role[note] = sequenceRole(fingerOf(byteAt(fingers, byteAt(way, j) * width + k) + 1), times > 2, true);
      });
    }
    return true;
  });

/** Gives the notes of repeated figures the fingers that they share; notes of a recognised scale keep theirs. */
export const giveSequences = (model: Model, p: Passage): readonly Repetition[] => [
  ...giveChordSequences(model, p),
  ...giveSingleSequences(model, p),
];

const giveSingleSequences = (model: Model, p: Passage): readonly Repetition[] =>
  repetitionsIn(p).filter((repetition) => {
    const notes = Array.from(
      { length: repetition.size * repetition.times },
      (_, n) => p.moments[repetition.from + n]?.keys[0]?.note ?? 0,
    );
    if (notes.some((note) => p.role[note] !== 0)) return false;
    const fingers = sharedFingers(model, [p], repetition);
    notes.forEach((note, n) => (p.role[note] = sequenceRole(nth(fingers, n % repetition.size), repetition.times > 2)));
    return true;
  });
