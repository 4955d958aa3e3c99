import type { Hand } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";
import { COST } from "./cost.ts";
import type { Struck, Wanted } from "./solve.ts";
import { solve } from "./solve.ts";

/** Semitones by which each hand was played above what is written. */
export type Shift = Readonly<Record<Hand, number>>;

// Keys from which the shift is told; enough for any hand position, and bounded for long takes.
const LISTENED = 48;
// What another octave or another key must save before it is believed: 4 and 6. The fractions, with a hundredth for each semitone,
// settle ties, as the costs of readings are whole: the written key first, then octaves, of both hands before one, then what is nearer.
const OCTAVE_PRICE = 4;
const APART_PRICE = 4.25;
const KEY_PRICE = 6.5;

/** A shift, and what it must save. */
export interface PricedShift {
  readonly shift: Shift;
  readonly price: number;
}

const candidate = (right: number, left: number, price: number): PricedShift => ({
  shift: { right, left },
  price: price + (Math.abs(right) + Math.abs(left)) / 200,
});

/** Every shift that is thought of, none first. */
export const SHIFTS: readonly PricedShift[] = [
  candidate(0, 0, 0),
  ...Array.from({ length: 24 }, (_, i) => i + 1).flatMap((by) =>
    [by, -by].map((both) => candidate(both, both, by % 12 === 0 ? OCTAVE_PRICE : KEY_PRICE)),
  ),
  ...(
    [
      [12, 0],
      [-12, 0],
      [0, 12],
      [0, -12],
      [12, -12],
      [-12, 12],
    ] as const
  ).map(([right, left]) => candidate(right, left, APART_PRICE)),
];

const HANDS = ["right", "left"] as const;

/**
 * How a take is transposed: the shift of cheapest exact reading for its first 48 keys, of all shifts of both hands up to two
 * octaves and of octaves of either hand.
 */
export const findShift = (wanted: readonly Wanted[], struck: readonly Struck[]): Shift => {
  const heard = struck.slice(0, LISTENED);
  // A key that a shift finds nowhere in the score costs at least what one beside the score does.
  const names = HANDS.map(
    (hand) => [hand, [...new Set(wanted.filter((note) => note.hand === hand).map(({ midi }) => midi))]] as const,
  );
  const bounded = SHIFTS.map(({ shift, price }) => {
    const keys = new Set(names.flatMap(([hand, own]) => own.map((midi) => midi + shift[hand])));
    return { shift, price, atLeast: price + COST.aside * heard.filter(({ midi }) => !keys.has(midi)).length };
  }).sort((a, b) => a.atLeast - b.atLeast);
  let [best, least] = [nth(bounded, 0).shift, Infinity];
  for (const { shift, price, atLeast } of bounded) {
    if (atLeast >= least) break;
    const solution = solve(wanted, heard, { jumps: true, shift, below: least - price });
    if (solution !== undefined) [best, least] = [shift, solution.cost + price];
  }
  return best;
};
