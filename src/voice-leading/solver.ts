import { step } from "../ground/watch.ts";
import type { Laid } from "./candidate.ts";
import type { VoiceLeadingMetric } from "./metric.ts";
import { finished, joined } from "./metric.ts";
import { bestPairing } from "./pairing.ts";
import { refusal } from "./refusal.ts";
import { clearRoom, floats, wholes } from "./room.ts";

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
  /** What all candidates and steps cost beside motion. Absent: nothing. */
  readonly beside?: (candidates: readonly Laid[]) => Beside;
}

/** What candidates cost by themselves, and steps beside their motion, by their numbers in a list; whole numbers. */
export interface Beside {
  readonly own: (candidate: Laid) => number;
  readonly step: ((from: number, to: number) => number) | undefined;
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
  /** How many notes each candidate has, where all have as many; 0 otherwise. */
  readonly voices: number;
  /** Distance from the middle of the register, in half semitones. */
  readonly off: Int32Array;
  readonly candidates: readonly Laid[];
  readonly widest: number;
}

const fieldOf = (sets: readonly (readonly Laid[])[]): Field => {
  const ids = new Map<readonly Laid[], number>();
  const setAt = wholes(sets.length);
  const firstOf = [0];
  const candidates: Laid[] = [];
  let [notesInAll, widest] = [0, 0];
  let voices = sets[0]?.[0]?.stack.length ?? 0;
  for (let i = 0; i < sets.length; i++) {
    step();
    const set = sets[i] ?? [];
    let id = ids.get(set);
    if (id === undefined) {
      id = ids.size;
      ids.set(set, id);
      for (const candidate of set) {
        const { length } = candidate.stack;
        candidates.push(candidate);
        notesInAll += length;
        if (length !== voices) voices = 0;
      }
      firstOf.push(candidates.length);
      if (set.length > widest) widest = set.length;
    }
    setAt[i] = id;
  }
  const notes = wholes(notesInAll);
  const notesFrom = wholes(candidates.length + 1);
  const off = wholes(candidates.length);
  let n = 0;
  for (let c = 0; c < candidates.length; c++) {
    const candidate = candidates[c];
    if (candidate === undefined) continue;
    const { stack, base, offMiddle } = candidate;
    for (let i = 0; i < stack.length; i++) notes[n++] = base + (stack[i] ?? 0);
    notesFrom[c + 1] = n;
    off[c] = Math.round(2 * offMiddle);
  }
  return { setAt, firstOf, notes, notesFrom, voices, off, candidates, widest };
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

/** The distance between two candidates by themselves. */
export const distanceOf = (a: Laid, b: Laid, metric: VoiceLeadingMetric): number => {
  const [from, to] = [a, b].map(({ stack, base }) => stack.map((note) => base + note));
  let size = 0;
  const pairs = a.stack.length === b.stack.length ? a.stack.map((_, i) => [i, i] as const) : undefined;
  for (const [i, j] of pairs ?? bestPairing(from ?? [], to ?? [], metric))
    size = joined(metric, size, (from?.[i] ?? 0) - (to?.[j] ?? 0));
  return finished(metric, size);
};

/** Steps from place to place, those of equal pairs of sets shared. */
interface Steps {
  /** Where the steps after each place begin. */
  readonly after: Int32Array;
  /** Infinite where a step is forbidden. */
  readonly distance: Float64Array;
  /** 1 where the top note leaps. */
  readonly leap: Int32Array;
}

// Their table takes 180 MB.
const MOST_STEPS = 20_000_000;

const stepsOf = (field: Field, rules: SearchRules): Steps => {
  const { setAt, firstOf } = field;
  const places = setAt.length;
  const after = wholes(rules.loop ? places : places - 1);
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
  const distance = floats(total);
  const leap = wholes(total);
  const plain = rules.metric === "sum" && field.voices > 0 && !rules.alternate && rules.maxTopMove === Infinity;
  for (const [pair, offset] of offsets) {
    const [from, to] = [Math.floor(pair / firstOf.length), pair % firstOf.length];
    const table: Table = {
      distance,
      leap,
      offset,
      fromA: firstOf[from] ?? 0,
      endA: firstOf[from + 1] ?? 0,
      fromB: firstOf[to] ?? 0,
      endB: firstOf[to + 1] ?? 0,
    };
    if (plain) fillPlain(field, table, rules);
    else fill(field, table, rules);
  }
  return { after, distance, leap };
};

/** Where the steps between two sets go. */
interface Table {
  readonly distance: Float64Array;
  readonly leap: Int32Array;
  readonly offset: number;
  readonly fromA: number;
  readonly endA: number;
  readonly fromB: number;
  readonly endB: number;
}

const fill = (field: Field, { distance, leap, offset, fromA, endA, fromB, endB }: Table, rules: SearchRules): void => {
  const { notes, notesFrom, candidates } = field;
  let at = offset;
  for (let a = fromA; a < endA; a++) {
    const topA = notes[(notesFrom[a + 1] ?? 0) - 1] ?? 0;
    for (let b = fromB; b < endB; b++, at++) {
      const topMove = Math.abs(topA - (notes[(notesFrom[b + 1] ?? 0) - 1] ?? 0));
      const alike = rules.alternate && candidates[a]?.label === candidates[b]?.label;
      const forbidden = topMove > rules.maxTopMove || alike;
      distance[at] = forbidden ? Infinity : rules.motionWeight * distanceBetween(field, a, b, rules.metric);
      leap[at] = topMove > rules.leap ? 1 : 0;
    }
  }
};

/** As {@link fill}, where every candidate has as many notes and no step is forbidden: most of the time goes here. */
const fillPlain = (
  { notes, voices }: Field,
  { distance, leap, offset, fromA, endA, fromB, endB }: Table,
  { motionWeight, leap: most }: SearchRules,
): void => {
  let at = offset;
  for (let i = fromA * voices; i < endA * voices; i += voices) {
    for (let j = fromB * voices; j < endB * voices; j += voices, at++) {
      let [size, move] = [0, 0];
      for (let voice = 0; voice < voices; voice++) {
        move = (notes[i + voice] ?? 0) - (notes[j + voice] ?? 0);
        if (move < 0) move = -move;
        size += move;
      }
      distance[at] = motionWeight * size;
      if (move > most) leap[at] = 1;
    }
  }
};

const addSteps = ({ setAt, firstOf }: Field, { after, distance }: Steps, step: NonNullable<Beside["step"]>): void => {
  const done = new Set<number>();
  for (let i = 0; i < after.length; i++) {
    let at = after[i] ?? 0;
    if (done.has(at)) continue;
    done.add(at);
    const [from, to] = [setAt[i] ?? 0, setAt[i + 1 < setAt.length ? i + 1 : 0] ?? 0];
    for (let a = firstOf[from] ?? 0; a < (firstOf[from + 1] ?? 0); a++)
      for (let b = firstOf[to] ?? 0; b < (firstOf[to + 1] ?? 0); b++, at++)
        distance[at] = (distance[at] ?? 0) + step(a, b);
  }
};

/** The first aim, and those below it as one number. */
interface Costs {
  readonly motion: Float64Array;
  readonly rest: Float64Array;
}

const costs = (length: number): Costs => ({ motion: floats(length), rest: floats(length) });

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
export const search = (sets: readonly (readonly Laid[])[], rules: SearchRules): SearchResult => {
  clearRoom();
  const field = fieldOf(sets);
  const { setAt, firstOf, off, widest } = field;
  const steps = stepsOf(field, rules);
  const { after, distance, leap } = steps;
  const own = floats(field.candidates.length);
  const beside = rules.beside?.(field.candidates);
  if (beside !== undefined) {
    for (const [c, candidate] of field.candidates.entries()) own[c] = beside.own(candidate);
    if (beside.step !== undefined) addSteps(field, steps, beside.step);
  }
  const last = setAt.length - 1;
  const firstAt = (i: number): number => firstOf[setAt[i] ?? 0] ?? 0;
  const sizeAt = (i: number): number => (firstOf[(setAt[i] ?? 0) + 1] ?? 0) - firstAt(i);
  // More than all distances from the middle together, so that one leap outweighs them.
  const leapCost = 1 + setAt.length * off.reduce((most, o) => Math.max(most, o), 0);

  let here = costs(widest);
  let next = costs(widest);
  const choices = wholes(setAt.length * widest);

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

  if (!rules.loop) {
    setOut();
    for (let i = last - 1; i >= 0; i--) stepBack(i, true);
    let best = -1;
    for (let c = 0; c < firstSize; c++) {
      if ((here.motion[c] ?? Infinity) === Infinity) continue;
      if (best < 0 || before(here.motion[c] ?? 0, here.rest[c] ?? 0, here.motion[best] ?? 0, here.rest[best] ?? 0))
        best = c;
    }
    return best < 0 ? blockedAfter() : trace(best);
  }

  // First with the cheapest way back from each last candidate: what no start can undercut. Its costs are kept, since
  // paths from different ends soon run together: from there on they differ by one amount and choose alike.
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
