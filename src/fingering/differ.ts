import { nth } from "../ground/list.ts";
import type { Model } from "./model.ts";
import type { Passage } from "./passage.ts";
import { byteAt, costAt, gripsAt, stepAt, sumAt } from "./reading.ts";
import { pairTable, tripleTables, unaryTable } from "./solve.ts";

const IMPOSSIBLE = 1e12;

/** Whether the hand is set anew between two moments: its fingers do not move as its keys do. */
const moved = (p: Passage, i: number, a: number, b: number): boolean => {
  const step = stepAt(p.innerMoves, i);
  const [from, to] = [gripsAt(p.grips, i - 1), gripsAt(p.grips, i)];
  const fingers = byteAt(to.inner, b) - byteAt(from.inner, a);
  return step !== 0 && Math.sign(fingers) !== Math.sign(step);
};

/**
 * The best way through a passage that sets the hand anew at other places than each of some ways before it; none where there is no other. Exact:
 * dynamic programming over pairs of grips and over which of the ways before are already left. Ties to the lower finger, as ever.
 */
export const solveDiffering = (model: Model, p: Passage, before: readonly Uint8Array[]): Uint8Array | undefined => {
  const { length, grips } = p;
  if (length < 2) return undefined;
  const masks = 2 ** before.length;
  const told = before.map((way) =>
    Uint8Array.from(way, (grip, i) => (i > 0 && moved(p, i, byteAt(way, i - 1), grip) ? 1 : 0)),
  );
  const left = (i: number, a: number, b: number): number => {
    const now = moved(p, i, a, b) ? 1 : 0;
    return told.reduce((mask, places, n) => (places[i] === now ? mask : mask | (1 << n)), 0);
  };
  const sizeAt = (i: number): number => gripsAt(grips, i).count;
  const choices: Uint8Array[] = [];
  // By state and mask: the least cost from here on, if all are to be left in the end.
  let ahead = new Float64Array(sizeAt(length - 2) * sizeAt(length - 1) * masks).fill(IMPOSSIBLE);
  for (let i = length - 1; i > 0; i--) {
    const [A, B] = [sizeAt(i - 1), sizeAt(i)];
    const alone = unaryTable(model, p, i, false);
    const pairs = pairTable(model, p, i - 1, i);
    const C = i < length - 1 ? sizeAt(i + 1) : 0;
    const voices = i < length - 1 ? tripleTables(model, p, i - 1, i, i + 1) : undefined;
    const [first, middle, last] = [gripsAt(grips, i - 1), gripsAt(grips, i), grips[i + 1]];
    const here = new Float64Array(A * B * masks).fill(IMPOSSIBLE);
    const choice = new Uint8Array(A * B * masks);
    for (let a = 0; a < A; a++)
      for (let b = 0; b < B; b++) {
        const own = costAt(pairs, a * B + b) + costAt(alone, b);
        const leaving = left(i, a, b);
        for (let mask = 0; mask < masks; mask++) {
          const after = mask | leaving;
          const at = (a * B + b) * masks + mask;
          if (C === 0) {
            if (after === masks - 1) here[at] = own;
            continue;
          }
          let least = IMPOSSIBLE;
          for (let c = 0; c < C; c++) {
            const inner =
              voices?.inner[byteAt(first.inner, a) * 25 + byteAt(middle.inner, b) * 5 + (last?.inner[c] ?? 0)] ?? 0;
            const outer =
              voices?.outer?.[byteAt(first.outer, a) * 25 + byteAt(middle.outer, b) * 5 + (last?.outer[c] ?? 0)] ?? 0;
            const cost = inner + outer + sumAt(ahead, (b * C + c) * masks + after);
            if (cost < least) {
              least = cost;
              choice[at] = c;
            }
          }
          if (least < IMPOSSIBLE) here[at] = least + own;
        }
      }
    choices[i] = choice;
    ahead = here;
  }
  const alone = unaryTable(model, p, 0, false);
  const second = sizeAt(1);
  let least = IMPOSSIBLE;
  let [a, b] = [-1, -1];
  for (let s = 0; s < sizeAt(0) * second; s++) {
    const total = sumAt(ahead, s * masks) + costAt(alone, Math.floor(s / second));
    if (total < least) [least, a, b] = [total, Math.floor(s / second), s % second];
  }
  if (a < 0) return undefined;
  const way = new Uint8Array(length);
  way[0] = a;
  let mask = 0;
  for (let i = 1; i < length; i++) {
    way[i] = b;
    const next = byteAt(nth(choices, i), (a * sizeAt(i) + b) * masks + mask);
    mask |= left(i, a, b);
    [a, b] = [b, next];
  }
  return way;
};
