import type { Metric } from "./metric.ts";
import { finished, joined } from "./metric.ts";
import { bestPairing } from "./pairing.ts";

/** What the search knows of a candidate. */
export interface Stop {
  /** Semitones of the notes whose motion counts, from low to high. */
  readonly notes: readonly number[];
  /** The third aim, a whole number. */
  readonly off: number;
  /** Neighbours must not have equal ones, when they alternate. */
  readonly label: string | undefined;
}

export interface SearchRules {
  readonly metric: Metric;
  readonly loop: boolean;
  /** A larger move of the top note is a leap. */
  readonly leap: number;
  /** No move of the top note may be larger. */
  readonly maxTopMove: number;
  readonly alternate: boolean;
}

/** The best choice of each set, or the place after which nothing leads on (the last place: back to the first). */
export type SearchResult =
  | { readonly found: true; readonly choice: readonly number[] }
  | { readonly found: false; readonly after: number };

/**
 * Distances are compared as whole numbers, so that equal sums are equal whatever the order of adding; a Euclidean one
 * is rounded to a 2^-20th of a semitone.
 */
const EUCLIDEAN_UNIT = 2 ** 20;

export const wholeDistance = (a: readonly number[], b: readonly number[], metric: Metric): number => {
  let size = 0;
  if (a.length === b.length) {
    for (let i = 0; i < a.length; i++) size = joined(metric, size, (a[i] as number) - (b[i] as number));
  } else {
    for (const [i, j] of bestPairing(a, b, metric)) size = joined(metric, size, (a[i] as number) - (b[j] as number));
  }
  return metric === "euclidean" ? Math.round(finished(metric, size) * EUCLIDEAN_UNIT) : size;
};

/** All steps from one set to another: distance (infinite where forbidden) and whether the top note leaps. */
interface Steps {
  readonly distance: Float64Array;
  readonly leaps: Float64Array;
}

const topOf = (stop: Stop): number => stop.notes[stop.notes.length - 1] as number;

const stepsBetween = (from: readonly Stop[], to: readonly Stop[], rules: SearchRules, leapCost: number): Steps => {
  const distance = new Float64Array(from.length * to.length);
  const leaps = new Float64Array(distance.length);
  let at = 0;
  for (const a of from) {
    for (const b of to) {
      const topMove = Math.abs(topOf(a) - topOf(b));
      const forbidden = topMove > rules.maxTopMove || (rules.alternate && a.label === b.label);
      distance[at] = forbidden ? Number.POSITIVE_INFINITY : wholeDistance(a.notes, b.notes, rules.metric);
      leaps[at] = topMove > rules.leap ? leapCost : 0;
      at++;
    }
  }
  return { distance, leaps };
};

/** The aims below the first as one number: leaps, then distance from the middle; and the first. */
interface Costs {
  readonly motion: Float64Array;
  readonly rest: Float64Array;
}

const costs = (length: number): Costs => ({ motion: new Float64Array(length), rest: new Float64Array(length) });

/**
 * Chooses one stop from each set: least motion, then fewest leaps of the top note, then least sum of `off`, then the
 * first in the order of the sets' own indices, place by place. Exact, by dynamic programming from the end; a loop is
 * solved once for each first stop that could still win. Time grows with the number of places.
 *
 * Source: Bellman, R. (1957), Dynamic Programming, Princeton University Press.
 *
 * @param sets - equal sets should be the same array, so that steps between them are worked out once
 */
export const search = (sets: readonly (readonly Stop[])[], rules: SearchRules): SearchResult => {
  const places = sets.length;
  const ids = new Map<readonly Stop[], number>();
  for (const set of sets) if (!ids.has(set)) ids.set(set, ids.size);
  const distinct = [...ids.keys()];
  const idAt = Int32Array.from(sets, (set) => ids.get(set) as number);
  const widest = distinct.reduce((most, set) => Math.max(most, set.length), 0);
  // More than all distances from the middle together, so that one leap outweighs them.
  const leapCost = 1 + places * distinct.reduce((most, set) => set.reduce((far, stop) => Math.max(far, stop.off), most), 0);

  const memo = new Map<number, Steps>();
  const stepsAfter: Steps[] = Array.from({ length: rules.loop ? places : places - 1 }, (_, i) => {
    const [a, b] = [idAt[i] as number, idAt[(i + 1) % places] as number];
    const key = a * distinct.length + b;
    const known = memo.get(key);
    if (known !== undefined) return known;
    const steps = stepsBetween(distinct[a] as readonly Stop[], distinct[b] as readonly Stop[], rules, leapCost);
    memo.set(key, steps);
    return steps;
  });
  const offs = distinct.map((set) => Float64Array.from(set, (stop) => stop.off));
  const offsAt = Array.from(idAt, (id) => offs[id] as Float64Array);

  const open = costs(widest);
  const spare = costs(widest);
  const choices = new Uint32Array(places * widest);
  const last = places - 1;
  const lastSize = (sets[last] as readonly Stop[]).length;
  const closing = stepsAfter[last];

  /** Costs to go from the first place, given what the last place costs; fills `choices` on request. */
  const solve = (endMotion: (c: number) => number, endRest: (c: number) => number, keep: boolean): Costs => {
    let after = open;
    let here = spare;
    const lastOffs = offsAt[last] as Float64Array;
    for (let c = 0; c < lastSize; c++) {
      after.motion[c] = endMotion(c);
      after.rest[c] = endRest(c) + (lastOffs[c] as number);
    }
    for (let i = last - 1; i >= 0; i--) {
      relax(stepsAfter[i] as Steps, offsAt[i] as Float64Array, (offsAt[i + 1] as Float64Array).length, after, here, keep ? choices : undefined, i * widest);
      [after, here] = [here, after];
    }
    return after;
  };

  const firstSize = (sets[0] as readonly Stop[]).length;
  const trace = (start: number): SearchResult => {
    const choice = [start];
    for (let i = 0; i < last; i++) choice.push(choices[i * widest + (choice[i] as number)] as number);
    return { found: true, choice };
  };

  if (closing === undefined) {
    const total = solve(() => 0, () => 0, true);
    const start = lowest(total, firstSize);
    return start < 0 ? { found: false, after: blockedAfter(stepsAfter, firstSize, offsAt) } : trace(start);
  }

  // What each start can't undercut: its best path when the way back costs the least from wherever it ends.
  const back = costs(lastSize);
  for (let c = 0; c < lastSize; c++) {
    let [motion, rest] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
    for (let s = 0; s < firstSize; s++) {
      const at = c * firstSize + s;
      if (before(closing.distance[at] as number, closing.leaps[at] as number, motion, rest)) {
        [motion, rest] = [closing.distance[at] as number, closing.leaps[at] as number];
      }
    }
    back.motion[c] = motion;
    back.rest[c] = rest;
  }
  const bound = solve((c) => back.motion[c] as number, (c) => back.rest[c] as number, false);
  const starts = Array.from({ length: firstSize }, (_, start) => ({ start, motion: bound.motion[start] as number, rest: bound.rest[start] as number }))
    .sort((a, b) => (before(a.motion, a.rest, b.motion, b.rest) ? -1 : before(b.motion, b.rest, a.motion, a.rest) ? 1 : a.start - b.start));
  let best = { start: -1, motion: Number.POSITIVE_INFINITY, rest: Number.POSITIVE_INFINITY };
  const closed = (start: number, keep: boolean): Costs =>
    solve((c) => closing.distance[c * firstSize + start] as number, (c) => closing.leaps[c * firstSize + start] as number, keep);
  for (const { start, motion, rest } of starts) {
    if (before(best.motion, best.rest, motion, rest)) break;
    const total = closed(start, false);
    const found = { start, motion: total.motion[start] as number, rest: total.rest[start] as number };
    const better = before(found.motion, found.rest, best.motion, best.rest);
    const equal = !better && !before(best.motion, best.rest, found.motion, found.rest);
    if (found.motion < Number.POSITIVE_INFINITY && (better || (equal && start < best.start))) best = found;
  }
  if (best.start < 0) return { found: false, after: blockedAfter(stepsAfter.slice(0, last), firstSize, offsAt) };
  closed(best.start, true);
  return trace(best.start);
};

const before = (motionA: number, restA: number, motionB: number, restB: number): boolean =>
  motionA < motionB || (motionA === motionB && restA < restB);

const lowest = (total: Costs, size: number): number => {
  let best = -1;
  for (let c = 0; c < size; c++) {
    if ((total.motion[c] as number) === Number.POSITIVE_INFINITY) continue;
    if (best < 0 || before(total.motion[c] as number, total.rest[c] as number, total.motion[best] as number, total.rest[best] as number)) best = c;
  }
  return best;
};

// The first of equal partners wins: that makes the whole answer the first in index order.
const relax = (
  steps: Steps, offs: Float64Array, nextSize: number, after: Costs, here: Costs, choices: Uint32Array | undefined, base: number,
): void => {
  const { distance, leaps } = steps;
  const { motion: afterMotion, rest: afterRest } = after;
  let at = 0;
  for (let c = 0; c < offs.length; c++) {
    let motion = Number.POSITIVE_INFINITY;
    let rest = Number.POSITIVE_INFINITY;
    let choice = 0;
    for (let d = 0; d < nextSize; d++, at++) {
      const m = (distance[at] as number) + (afterMotion[d] as number);
      if (m > motion) continue;
      const r = (leaps[at] as number) + (afterRest[d] as number);
      if (m < motion || r < rest) {
        motion = m;
        rest = r;
        choice = d;
      }
    }
    here.motion[c] = motion;
    here.rest[c] = rest + (offs[c] as number);
    if (choices !== undefined) choices[base + c] = choice;
  }
};

/** The first place that nothing reachable leads on from; the last place when only the way back is missing. */
const blockedAfter = (stepsAfter: readonly Steps[], firstSize: number, offsAt: readonly Float64Array[]): number => {
  let reached = new Array<boolean>(firstSize).fill(true);
  for (let i = 0; i < stepsAfter.length; i++) {
    const { distance } = stepsAfter[i] as Steps;
    const size = (offsAt[i + 1] as Float64Array).length;
    const next = Array.from({ length: size }, (_, d) => reached.some((on, c) => on && (distance[c * size + d] as number) < Number.POSITIVE_INFINITY));
    if (!next.includes(true)) return i;
    reached = next;
  }
  return stepsAfter.length;
};
