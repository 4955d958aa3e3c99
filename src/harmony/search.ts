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
  readonly short: readonly Float64Array[];
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
  let sum = 0;
  const add: Add = (table, index) => {
    sum += weights[table][index] ?? 0;
  };
  const own = units.map((unit, i) => {
    const row = new Float64Array(KEYS);
    for (let key = 0; key < KEYS; key++) {
      sum = 0;
      chordEntries(unit, key, add);
      row[key] = sum - (less?.(i, key) ?? 0);
    }
    return row;
  });
  const steps = units.slice(1).map((to, i) => {
    const table = new Float64Array(KEYS * KEYS);
    const from = units[i] ?? to;
    for (let a = 0; a < KEYS; a++) {
      for (let b = 0; b < KEYS; b++) {
        sum = 0;
        stepEntries(from, to, a, b, add);
        table[a * KEYS + b] = sum;
      }
    }
    return table;
  });
  const forwards = own.map((row) => Float64Array.from(row));
  for (let i = 1; i < units.length; i++) {
    const [before, here, step] = [forwards[i - 1], forwards[i], steps[i - 1]];
    if (before === undefined || here === undefined || step === undefined) continue;
    for (let b = 0; b < KEYS; b++)
      here[b] = (here[b] ?? 0) + bestOf((a) => (before[a] ?? 0) + (step[a * KEYS + b] ?? 0));
  }
  const backwards = own.map(() => new Float64Array(KEYS));
  for (let i = units.length - 2; i >= 0; i--) {
    const [after, here, step, next] = [backwards[i + 1], backwards[i], steps[i], own[i + 1]];
    if (after === undefined || here === undefined || step === undefined || next === undefined) continue;
    for (let a = 0; a < KEYS; a++)
      here[a] = bestOf((b) => (step[a * KEYS + b] ?? 0) + (next[b] ?? 0) + (after[b] ?? 0));
  }
  const last = forwards.at(-1);
  const points = last === undefined ? 0 : Math.max(...last);
  const keys: number[] = [];
  let key = last?.indexOf(points) ?? 0;
  for (let i = units.length - 1; i >= 0; i--) {
    keys.unshift(key);
    const [before, step] = [forwards[i - 1], steps[i - 1]];
    if (before === undefined || step === undefined) continue;
    const sums = Array.from(before, (points, a) => points + (step[a * KEYS + key] ?? 0));
    key = sums.indexOf(Math.max(...sums));
  }
  const short = forwards.map((row, i) => row.map((there, k) => points - there - (backwards[i]?.[k] ?? 0)));
  return { keys, points, short };
};

const bestOf = (points: (key: number) => number): number => {
  let best = Number.NEGATIVE_INFINITY;
  for (let key = 0; key < KEYS; key++) {
    const here = points(key);
    if (here > best) best = here;
  }
  return best;
};
