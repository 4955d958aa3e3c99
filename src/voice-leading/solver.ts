import type { VoicingCandidate } from "./candidate.ts";
import { moving } from "./candidate.ts";
import type { VoiceLeadingMetric } from "./metric.ts";
import { finished, joined } from "./metric.ts";
import { bestPairing } from "./pairing.ts";
import { refusal } from "./refusal.ts";

export interface SearchRules {
  readonly metric: VoiceLeadingMetric;
  readonly loop: boolean;
  /** A larger move of the top note is a leap. */
  readonly leap: number;
  /** No move of the top note may be larger. */
  readonly maxTopMove: number;
  /** Neighbours must not have equal labels. */
  readonly alternate: boolean;
  /** What motion counts, a whole number. */
  readonly motionWeight: number;
  /** What a candidate costs by itself, a whole number. Absent: nothing. */
  readonly own?: (candidate: VoicingCandidate) => number;
  /** What a step costs beside its motion, a whole number. Absent: nothing. */
  readonly step?: (from: VoicingCandidate, to: VoicingCandidate) => number;
}

/** The best choice of each set, or the place after which nothing leads on (the last place: back to the first). */
export type SearchResult = readonly number[] | number;

/**
 * All candidates of all distinct sets in a row. The search runs on plain numbers in flat arrays: that, and working
 * out the steps between two sets only once, is where its speed comes from.
 */
interface Field {
  /** Which set stands at each place. */
  readonly setAt: Int32Array;
  /** Index of each set's first candidate; one more entry for the end. */
  readonly firstOf: readonly number[];
  /** Semitones from low to high. */
  readonly notes: Int32Array;
  /** Where each candidate's notes begin; one more entry for the end. */
  readonly notesFrom: Int32Array;
  /** Distance from the middle of the register, in half semitones. */
  readonly off: Int32Array;
  readonly labels: readonly (string | undefined)[];
  readonly candidates: readonly VoicingCandidate[];
  readonly widest: number;
}

const fieldOf = (sets: readonly (readonly VoicingCandidate[])[]): Field => {
  const ids = new Map<readonly VoicingCandidate[], number>();
  const setAt = new Int32Array(sets.length);
  const firstOf = [0];
  let [candidates, notesInAll, widest] = [0, 0, 0];
  sets.forEach((set, i) => {
    let id = ids.get(set);
    if (id === undefined) {
      id = ids.size;
      ids.set(set, id);
      candidates += set.length;
      firstOf.push(candidates);
      widest = Math.max(widest, set.length);
      for (const candidate of set) notesInAll += moving(candidate).length;
    }
    setAt[i] = id;
  });
  const notes = new Int32Array(notesInAll);
  const notesFrom = new Int32Array(candidates + 1);
  const off = new Int32Array(candidates);
  const labels: (string | undefined)[] = [];
  const all: VoicingCandidate[] = [];
  let [c, n] = [0, 0];
  for (const set of ids.keys()) {
    for (const candidate of set) {
      const from = n;
      let rising = true;
      for (const { semitones } of moving(candidate)) {
        if (n > from && (notes[n - 1] ?? 0) > semitones) rising = false;
        notes[n++] = semitones;
      }
      if (!rising) notes.subarray(from, n).sort();
      notesFrom[c + 1] = n;
      off[c++] = Math.round(2 * (candidate.offMiddle ?? 0));
      labels.push(candidate.label);
      all.push(candidate);
    }
  }
  return { setAt, firstOf, notes, notesFrom, off, labels, candidates: all, widest };
};

/**
 * Distances are compared as whole numbers, so that equal sums are equal whatever the order of adding; a Euclidean one
 * is rounded to a 2^-20th of a semitone.
 */
export const EUCLIDEAN_UNIT = 2 ** 20;

const distanceBetween = ({ notes, notesFrom }: Field, a: number, b: number, metric: VoiceLeadingMetric): number => {
  const [fromA, fromB] = [notesFrom[a] ?? 0, notesFrom[b] ?? 0];
  const [endA, endB] = [notesFrom[a + 1] ?? 0, notesFrom[b + 1] ?? 0];
  let size = 0;
  if (endA - fromA !== endB - fromB) {
    for (const [i, j] of bestPairing([...notes.subarray(fromA, endA)], [...notes.subarray(fromB, endB)], metric)) {
      size = joined(metric, size, (notes[fromA + i] ?? 0) - (notes[fromB + j] ?? 0));
    }
  } else if (metric === "sum") {
    for (let i = fromA, j = fromB; i < endA; i++, j++) size += Math.abs((notes[i] ?? 0) - (notes[j] ?? 0));
  } else {
    for (let i = fromA, j = fromB; i < endA; i++, j++) size = joined(metric, size, (notes[i] ?? 0) - (notes[j] ?? 0));
  }
  return metric === "euclidean" ? Math.round(finished(metric, size) * EUCLIDEAN_UNIT) : size;
};

/** Steps from place to place, those of equal pairs of sets shared. */
interface Steps {
  /** Where the steps after each place begin. */
  readonly after: Int32Array;
  /** Infinite where a step is forbidden. */
  readonly distance: Float64Array;
  /** 1 where the top note leaps. */
  readonly leap: Uint8Array;
}

// Their table takes 180 MB.
const MOST_STEPS = 20_000_000;

const stepsOf = (field: Field, rules: SearchRules): Steps => {
  const { setAt, firstOf, notes, notesFrom, labels } = field;
  const places = setAt.length;
  const after = new Int32Array(rules.loop ? places : places - 1);
  const offsets = new Map<number, number>();
  let total = 0;
  const sizeOf = (set: number): number => (firstOf[set + 1] ?? 0) - (firstOf[set] ?? 0);
  const key = (from: number, to: number): number => from * firstOf.length + to;
  for (let i = 0; i < after.length; i++) {
    const [from, to] = [setAt[i] ?? 0, setAt[i + 1 < places ? i + 1 : 0] ?? 0];
    let offset = offsets.get(key(from, to));
    if (offset === undefined) {
      offset = total;
      offsets.set(key(from, to), offset);
      total += sizeOf(from) * sizeOf(to);
    }
    after[i] = offset;
  }
  if (total > MOST_STEPS || places * field.widest > MOST_STEPS)
    throw refusal("size", places, `at most ${MOST_STEPS} steps between candidates of different chords`);
  const distance = new Float64Array(total);
  const leap = new Uint8Array(total);
  for (const [pair, offset] of offsets) {
    const [from, to] = [Math.floor(pair / firstOf.length), pair % firstOf.length];
    let at = offset;
    for (let a = firstOf[from] ?? 0; a < (firstOf[from + 1] ?? 0); a++) {
      const topA = notes[(notesFrom[a + 1] ?? 0) - 1] ?? 0;
      for (let b = firstOf[to] ?? 0; b < (firstOf[to + 1] ?? 0); b++, at++) {
        const topMove = Math.abs(topA - (notes[(notesFrom[b + 1] ?? 0) - 1] ?? 0));
        const forbidden = topMove > rules.maxTopMove || (rules.alternate && labels[a] === labels[b]);
        distance[at] = forbidden ? Infinity : rules.motionWeight * distanceBetween(field, a, b, rules.metric);
        leap[at] = topMove > rules.leap ? 1 : 0;
      }
    }
  }
  if (rules.step !== undefined) addSteps(field, offsets, distance, rules.step);
  return { after, distance, leap };
};

const addSteps = (
  { firstOf, candidates }: Field,
  offsets: ReadonlyMap<number, number>,
  distance: Float64Array,
  step: NonNullable<SearchRules["step"]>,
): void => {
  const setOf = (id: number): readonly VoicingCandidate[] => candidates.slice(firstOf[id], firstOf[id + 1]);
  for (const [pair, offset] of offsets) {
    const to = setOf(pair % firstOf.length);
    for (const [i, a] of setOf(Math.floor(pair / firstOf.length)).entries()) {
      for (const [j, b] of to.entries()) {
        const at = offset + i * to.length + j;
        distance[at] = (distance[at] ?? 0) + step(a, b);
      }
    }
  }
};

/** The first aim, and those below it as one number. */
interface Costs {
  readonly motion: Float64Array;
  readonly rest: Float64Array;
}

const costs = (length: number): Costs => ({ motion: new Float64Array(length), rest: new Float64Array(length) });

const before = (motionA: number, restA: number, motionB: number, restB: number): boolean =>
  motionA < motionB || (motionA === motionB && restA < restB);

/**
 * Chooses one candidate from each set: least motion, then fewest leaps of the top note, then least sum of distances
 * from the middle, then the first in the order of the sets' own indices, place by place. Exact, by dynamic programming
 * from the end; a loop is solved for each first candidate that could still win. Time grows with the number of places.
 *
 * Source: Bellman, R. (1957), Dynamic Programming, Princeton University Press.
 *
 * @param sets - equal sets should be the same array, so that steps between them are worked out once
 */
export const search = (sets: readonly (readonly VoicingCandidate[])[], rules: SearchRules): SearchResult => {
  const field = fieldOf(sets);
  const { setAt, firstOf, off, widest } = field;
  const { after, distance, leap } = stepsOf(field, rules);
  const own = new Float64Array(field.candidates.length);
  if (rules.own !== undefined) own.set(field.candidates.map(rules.own));
  const last = setAt.length - 1;
  const firstAt = (i: number): number => firstOf[setAt[i] ?? 0] ?? 0;
  const sizeAt = (i: number): number => (firstOf[(setAt[i] ?? 0) + 1] ?? 0) - firstAt(i);
  // More than all distances from the middle together, so that one leap outweighs them.
  const leapCost = 1 + setAt.length * off.reduce((most, o) => Math.max(most, o), 0);

  let here = costs(widest);
  let next = costs(widest);
  const choices = new Uint32Array(setAt.length * widest);

  /** From costs of the place after `i`, in `here`, to those of place `i`; by the way recording each best partner. */
  const stepBack = (i: number, record: boolean): void => {
    [here, next] = [next, here];
    const [first, size, nextSize] = [firstAt(i), sizeAt(i), sizeAt(i + 1)];
    const { motion: nextMotion, rest: nextRest } = next;
    let at = after[i] ?? 0;
    for (let c = 0; c < size; c++) {
      let motion = Infinity;
      let rest = Infinity;
      let choice = 0;
      for (let d = 0; d < nextSize; d++, at++) {
        const m = (distance[at] ?? 0) + (nextMotion[d] ?? 0);
        if (m > motion) continue;
        const r = (leap[at] ?? 0) * leapCost + (nextRest[d] ?? 0);
        // The first of equal partners stays: that makes the whole answer the first in index order.
        if (m === motion && r >= rest) continue;
        motion = m;
        rest = r;
        choice = d;
      }
      here.motion[c] = motion + (own[first + c] ?? 0);
      here.rest[c] = rest + (off[first + c] ?? 0);
      if (record) choices[i * widest + c] = choice;
    }
  };
  const trace = (start: number): SearchResult => {
    const choice = [start];
    for (let i = 0; i < last; i++) choice.push(choices[i * widest + (choice[i] ?? 0)] ?? 0);
    return choice;
  };
  const [firstSize, lastSize] = [sizeAt(0), sizeAt(last)];

  /** Sets out from the last place; in a loop, with the way back that leads to `start`, or to whatever start costs the least. */
  const setOut = (start?: number): void => {
    for (let c = 0; c < lastSize; c++) {
      let [motion, rest] = rules.loop ? [Infinity, Infinity] : [0, 0];
      for (let s = start ?? 0; rules.loop && s < (start === undefined ? firstSize : start + 1); s++) {
        const at = (after[last] ?? 0) + c * firstSize + s;
        const [m, r] = [distance[at] ?? 0, (leap[at] ?? 0) * leapCost];
        if (before(m, r, motion, rest)) [motion, rest] = [m, r];
      }
      here.motion[c] = motion + (own[firstAt(last) + c] ?? 0);
      here.rest[c] = rest + (off[firstAt(last) + c] ?? 0);
    }
  };

  // First with the cheapest way back from each last candidate: what no start can undercut. Its costs are kept, since
  // paths from different ends soon run together: from there on they differ by one amount and choose alike.
  // (Without a loop they all run alike from the end.)
  const kept = costs(choices.length);
  setOut();
  for (let i = last; i >= 0; i--) {
    if (i < last) stepBack(i, true);
    kept.motion.set(here.motion, i * widest);
    kept.rest.set(here.rest, i * widest);
  }

  /** By how much all costs in `here` exceed those kept for place `i`; `undefined` when not all by the same. */
  const excess = (i: number): readonly [motion: number, rest: number] | undefined => {
    let motion = Infinity;
    let rest = 0;
    for (let c = 0; c < sizeAt(i); c++) {
      const m = (here.motion[c] ?? 0) - (kept.motion[i * widest + c] ?? 0);
      const r = (here.rest[c] ?? 0) - (kept.rest[i * widest + c] ?? 0);
      // Neither has a way on.
      if (Number.isNaN(m)) continue;
      if (m === Infinity || (motion < Infinity && (m !== motion || r !== rest))) return undefined;
      motion = m;
      rest = r;
    }
    return motion < Infinity ? [motion, rest] : undefined;
  };

  /** Costs of the best way from `start`, in a loop back to it. */
  const solveFrom = (start: number, record: boolean): readonly [motion: number, rest: number] => {
    setOut(start);
    for (let i = last; i > 0; i--) {
      const more = excess(i);
      if (more !== undefined) return [(kept.motion[start] ?? 0) + more[0], (kept.rest[start] ?? 0) + more[1]];
      stepBack(i - 1, record);
    }
    return [here.motion[start] ?? 0, here.rest[start] ?? 0];
  };

  const bounds = Array.from({ length: firstSize }, (_, start) => ({
    start,
    motion: kept.motion[start] ?? 0,
    rest: kept.rest[start] ?? 0,
  })).sort((a, b) => a.motion - b.motion || a.rest - b.rest || a.start - b.start);
  let [best, bestMotion, bestRest] = [-1, Infinity, Infinity];
  for (const { start, motion, rest } of bounds) {
    // No start can undercut its bound, and those to come have bounds no lower.
    if (motion === Infinity || before(bestMotion, bestRest, motion, rest)) break;
    const [m, r] = solveFrom(start, false);
    const equal = m === bestMotion && r === bestRest;
    if (m < Infinity && (before(m, r, bestMotion, bestRest) || (equal && start < best)))
      [best, bestMotion, bestRest] = [start, m, r];
  }
  if (best < 0) return blockedAfter();
  solveFrom(best, true);
  return trace(best);

  /** The first place that nothing reachable leads on from; the last place when only the way back is missing. */
  function blockedAfter(): number {
    let reached = new Array<boolean>(sizeAt(0)).fill(true);
    for (let i = 0; i < last; i++) {
      const size = sizeAt(i + 1);
      const from = after[i] ?? 0;
      const leads = (c: number, d: number): boolean => (distance[from + c * size + d] ?? 0) < Infinity;
      const on = Array.from({ length: size }, (_, d) => reached.some((yes, c) => yes && leads(c, d)));
      if (!on.includes(true)) return i;
      reached = on;
    }
    return last;
  }
};
