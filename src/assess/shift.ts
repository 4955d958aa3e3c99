import type { Hand } from "../event/index.ts";
import { COST } from "./cost.ts";
import type { Struck, Wanted } from "./solve.ts";
import { solve } from "./solve.ts";

/** Semitones by which each hand was played above what is written. */
export type Shift = Readonly<Record<Hand, number>>;

// Keys from which the shift is told; enough for any hand position, and bounded for long takes.
const LISTENED = 48;
// What another octave or another key must save before it is believed.
const OCTAVE_PRICE = 4;
const KEY_PRICE = 6;

const NONE: Shift = { right: 0, left: 0 };

const candidates = (): readonly { readonly shift: Shift; readonly price: number }[] => {
  const found = [{ shift: NONE, price: 0 }];
  for (let by = 1; by <= 24; by++) {
    for (const both of [by, -by]) found.push({ shift: { right: both, left: both }, price: both % 12 === 0 ? OCTAVE_PRICE : KEY_PRICE });
  }
  for (const right of [0, 12, -12]) {
    for (const left of [0, 12, -12]) if (right !== left) found.push({ shift: { right, left }, price: OCTAVE_PRICE });
  }
  return found;
};

const countKeys = (keys: readonly number[]): ReadonlyMap<number, number> => {
  const counts = new Map<number, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  return counts;
};

/**
 * How a take is transposed: the shift of cheapest exact reading for its first 48 keys, of all shifts of both hands up to two
 * octaves and of octaves of either hand.
 */
export const findShift = (wanted: readonly Wanted[], struck: readonly Struck[]): Shift => {
  const heard = struck.slice(0, LISTENED);
  const played = countKeys(heard.map((key) => key.midi));
  const likely = (shift: Shift): number => {
    const asked = countKeys(wanted.slice(0, LISTENED).map((note) => note.midi + shift[note.hand]));
    return [...played].reduce((sum, [key, count]) => sum + Math.min(count, asked.get(key) ?? 0), 0);
  };
  const pitches = { right: new Set<number>(), left: new Set<number>() };
  for (const note of wanted) pitches[note.hand].add(note.midi);
  // Keys that a shift finds nowhere in the score cost at least an extra note each, or a little more.
  const atLeast = (shift: Shift): number => COST.extra * heard.filter(({ midi, hand }) =>
    (["right", "left"] as const).every((side) => (hand !== undefined && hand !== side) || !pitches[side].has(midi - shift[side]))).length;
  // The likeliest first, so that the others are given up early; the written key first among equals.
  const ordered = candidates().map((candidate) => ({ ...candidate, vote: likely(candidate.shift) }))
    .sort((a, b) => b.vote - a.vote || a.price - b.price);
  let [best, least, leastPrice] = [NONE, Infinity, Infinity];
  for (const { shift, price } of ordered) {
    const margin = price < leastPrice ? 0.5 : 0;
    const below = least - price + margin;
    if (atLeast(shift) >= below) continue;
    const solution = solve(wanted, heard, { jumps: true, shift, below });
    if (solution === undefined) continue;
    [best, least, leastPrice] = [shift, solution.cost + price, price];
  }
  return best;
};
