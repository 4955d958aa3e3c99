import type { Family } from "./family.ts";
import { FAMILIES } from "./family.ts";

/** A chord as the search sees it: neighbours that are equal are one. */
export interface Unit {
  /** Pitch class of its root. */
  readonly root: number;
  readonly family: Family;
  /** Length in quarter notes. */
  readonly length: number;
}

/** Points for a reading; a cost is what it has less. Every table is flat. */
export interface Weights {
  /** A chord on its degree of a key: mode, degree, family. */
  readonly chord: Float64Array;
  /** The same by length: below two quarter notes, below four, four and more. */
  readonly length: Float64Array;
  /** A step inside of a key, by its degrees: mode, from, to. */
  readonly step: Float64Array;
  /** The same by families: mode, from, its family, to, its family. */
  readonly pair: Float64Array;
  /** The last chord before a key is left: mode, degree, family. */
  readonly leave: Float64Array;
  /** The first chord of a new key: mode, degree, family. */
  readonly enter: Float64Array;
  /** A change of key: semitones up, mode before, mode after. */
  readonly change: Float64Array;
  /** Staying in a key: mode. */
  readonly stay: Float64Array;
}

const F = FAMILIES.length;
/** Keys by number: twelve major ones from C, then twelve minor ones. */
export const KEYS = 24;
export const LENGTHS = 3;

export const noWeights = (): Weights => ({
  chord: new Float64Array(24 * F),
  length: new Float64Array(24 * F * LENGTHS),
  step: new Float64Array(24 * 12),
  pair: new Float64Array(24 * F * 12 * F),
  leave: new Float64Array(24 * F),
  enter: new Float64Array(24 * F),
  change: new Float64Array(48),
  stay: new Float64Array(2),
});

/** Which entries of the tables a reading adds up. */
export type Add = (table: keyof Weights, index: number) => void;

const numbers = new Map<Family, number>(FAMILIES.map((family, i) => [family, i]));

const lengthClass = (length: number): number => (length < 2 ? 0 : length < 4 ? 1 : 2);

const degreeIn = (key: number, root: number): number => (root - (key % 12) + 12) % 12;
const placeOf = (key: number, root: number): number => (key < 12 ? 0 : 12) + degreeIn(key, root);

/** What a chord adds in a key. */
export const chordEntries = ({ root, family, length }: Unit, key: number, add: Add): void => {
  const at = placeOf(key, root) * F + (numbers.get(family) ?? 0);
  add("chord", at);
  add("length", at * LENGTHS + lengthClass(length));
};

/** What a step from chord to chord adds. */
export const stepEntries = (from: Unit, to: Unit, before: number, after: number, add: Add): void => {
  const [a, b] = [numbers.get(from.family) ?? 0, numbers.get(to.family) ?? 0];
  const place = placeOf(before, from.root);
  if (before === after) {
    const degree = degreeIn(after, to.root);
    add("stay", before < 12 ? 0 : 1);
    add("step", place * 12 + degree);
    add("pair", ((place * F + a) * 12 + degree) * F + b);
    return;
  }
  add("leave", place * F + a);
  add("enter", placeOf(after, to.root) * F + b);
  add("change", degreeIn(before, after % 12) * 4 + (before < 12 ? 0 : 2) + (after < 12 ? 0 : 1));
};

/** The best reading: a key for each chord, and for each chord and key how much the best reading with it falls short. */
export interface Reading {
  readonly keys: readonly number[];
  readonly points: number;
  /** A row of 24 for each chord. */
  readonly short: () => readonly Float64Array[];
}

/**
 * The one best reading of all, by dynamic programming forwards and backwards; of equal ones that with the lower key numbers from the end.
 *
 * Source: Viterbi, A. (1967), Error bounds for convolutional codes and an asymptotically optimum decoding algorithm, IEEE Trans. Inf. Theory
 * 13, 260–269, for the method.
 *
 * @param less - points taken from keys of chords, for learning
 */
export const readKeys = (
  units: readonly Unit[],
  weights: Weights,
  less?: (chord: number, key: number) => number,
): Reading => {
  const count = units.length;
  const { own, leave, enter, stay } = tablesOf(units, weights);
  if (less !== undefined)
    for (let i = 0; i < count; i++)
      for (let key = 0; key < KEYS; key++) own[i * KEYS + key] = (own[i * KEYS + key] ?? 0) - less(i, key);
  const change = changesUnder(weights);
  /** What comes to key `b` of chord `i` from key `a` of the one before. */
  const step = (i: number, a: number, b: number): number =>
    a === b
      ? (stay[i * KEYS + a] ?? 0)
      : (leave[(i - 1) * KEYS + a] ?? 0) + (change[a * KEYS + b] ?? 0) + (enter[i * KEYS + b] ?? 0);
  const forwards = Float64Array.from(own);
  for (let i = 1; i < count; i++) {
    const [from, to] = [(i - 1) * KEYS, i * KEYS];
    for (let b = 0; b < KEYS; b++) {
      let best = Number.NEGATIVE_INFINITY;
      for (let a = 0; a < KEYS; a++) {
        if (a === b) continue;
        const points = (forwards[from + a] ?? 0) + (leave[from + a] ?? 0) + (change[a * KEYS + b] ?? 0);
        if (points > best) best = points;
      }
      const staying = (forwards[from + b] ?? 0) + (stay[to + b] ?? 0);
      forwards[to + b] = (forwards[to + b] ?? 0) + Math.max(staying, best + (enter[to + b] ?? 0));
    }
  }
  const rowOf = (table: Float64Array, i: number): Float64Array => table.subarray(i * KEYS, (i + 1) * KEYS);
  const last = rowOf(forwards, Math.max(0, count - 1));
  const points = count === 0 ? 0 : Math.max(...last);
  const keys: number[] = [];
  let key = count === 0 ? 0 : last.indexOf(points);
  for (let i = count - 1; i >= 0; i--) {
    keys.push(key);
    if (i === 0) continue;
    const to = key;
    const sums = rowOf(forwards, i - 1).map((there, a) => there + step(i, a, to));
    key = sums.indexOf(Math.max(...sums));
  }
  const short = (): readonly Float64Array[] => {
    const backwards = onwardsFrom(units.length, { own, leave, enter, stay }, change);
    return units.map((_, i) => rowOf(forwards, i).map((there, k) => points - there - (backwards[i * KEYS + k] ?? 0)));
  };
  return { keys: keys.reverse(), points, short };
};

/** The most points that can follow each chord in each key. */
const onwardsFrom = (count: number, { own, leave, enter, stay }: Tables, change: Float64Array): Float64Array => {
  const backwards = new Float64Array(count * KEYS);
  const onwards = new Float64Array(KEYS);
  for (let i = count - 2; i >= 0; i--) {
    const [here, next] = [i * KEYS, (i + 1) * KEYS];
    for (let b = 0; b < KEYS; b++) onwards[b] = (own[next + b] ?? 0) + (backwards[next + b] ?? 0);
    for (let a = 0; a < KEYS; a++) {
      let best = Number.NEGATIVE_INFINITY;
      for (let b = 0; b < KEYS; b++) {
        if (a === b) continue;
        const points = (change[a * KEYS + b] ?? 0) + (enter[next + b] ?? 0) + (onwards[b] ?? 0);
        if (points > best) best = points;
      }
      const staying = (stay[next + a] ?? 0) + (onwards[a] ?? 0);
      backwards[here + a] = Math.max(staying, best + (leave[here + a] ?? 0));
    }
  }
  return backwards;
};

/** What chords and steps add, in rows of 24 keys. */
interface Tables {
  readonly own: Float64Array;
  readonly leave: Float64Array;
  readonly enter: Float64Array;
  /** Of a step to the chord from the one before, in one key. */
  readonly stay: Float64Array;
}

const tablesOf = (units: readonly Unit[], weights: Weights): Tables => {
  const room = (): Float64Array => new Float64Array(units.length * KEYS);
  const [own, leave, enter, stay] = [room(), room(), room(), room()];
  let before: { readonly root: number; readonly family: number } | undefined;
  for (const [i, { root, family: name, length }] of units.entries()) {
    const family = numbers.get(name) ?? 0;
    const long = lengthClass(length);
    for (let key = 0; key < KEYS; key++) {
      const at = placeOf(key, root) * F + family;
      const cell = i * KEYS + key;
      own[cell] = (weights.chord[at] ?? 0) + (weights.length[at * LENGTHS + long] ?? 0);
      leave[cell] = weights.leave[at] ?? 0;
      enter[cell] = weights.enter[at] ?? 0;
      if (before === undefined) continue;
      const place = placeOf(key, before.root);
      const degree = degreeIn(key, root);
      stay[cell] =
        (weights.stay[key < 12 ? 0 : 1] ?? 0) +
        (weights.step[place * 12 + degree] ?? 0) +
        (weights.pair[((place * F + before.family) * 12 + degree) * F + family] ?? 0);
    }
    before = { root, family };
  }
  return { own, leave, enter, stay };
};

const changesUnder = ({ change }: Weights): Float64Array => {
  const table = new Float64Array(KEYS * KEYS);
  for (let a = 0; a < KEYS; a++)
    for (let b = 0; b < KEYS; b++)
      table[a * KEYS + b] = change[degreeIn(a, b % 12) * 4 + (a < 12 ? 0 : 2) + (b < 12 ? 0 : 1)] ?? 0;
  return table;
};
