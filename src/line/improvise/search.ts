import type { Chance } from "../../ground/chance.ts";
import { RANGE } from "../../line-model/inner.ts";
import type { Model } from "./model.ts";
import { INTERVALS, NO_RUN, RUNS, stepRun } from "./model.ts";

/**
 * An idea whose rhythm is settled: the search for its pitches. Pitches count in semitones from the lowest.
 *
 * Each note is drawn from the model's distribution of intervals after the last three, times how likely the interval is over the chord and after a run
 * of so many in one direction, times `weight`, times `echo`, times `circling` where it goes to and fro, times a factor where a seventh `falls` to the third of the next chord, times `bonus` where it is `wanted`, made to sum to one; or, with a chance of `entering`, a figure begins, where `entries` has any.
 * What must hold is `may`, `thirds` and `allows`; a line is drawn from that distribution given that all of it holds.
 */
export interface Idea {
  readonly length: number;
  readonly width: number;
  /** MIDI note of the lowest pitch. */
  readonly low: number;
  /** Weights of the first note. */
  readonly start: Float64Array;
  /** `length × width`. */
  readonly weight: Float64Array;
  /** By note: kind of chord × 12, and pitch class of its root. */
  readonly kind: Int32Array;
  readonly root: Int32Array;
  readonly place: Int32Array;
  /** `paces × INTERVALS`: weights of the kind of idea, at each pace of the hand. */
  readonly moves: Float64Array;
  /** By note: how fast it comes after the one before, from 0 for no hurry. */
  readonly pace: Uint8Array;
  /** By history: how much likelier each interval is, since it has followed that history in the line before. */
  readonly echo?: ReadonlyMap<number, Float64Array> | undefined;
  /** How much likelier an interval is that goes on circling between two notes or on one. */
  readonly circling: number;
  /** By note: 12 × the pitch class of the seventh that is wanted to fall into it, and that of the third that it falls to; -1 for none. */
  readonly falls: Int16Array;
  /** The interval wanted into each note, or {@link NOTHING}. */
  readonly wanted: Int8Array;
  readonly bonus: number;
  readonly entering: number;
  /** Which figures may begin at a note. */
  readonly entries: (i: number, p: number) => readonly number[];
  /** The intervals of each figure of the vocabulary, from its first note to its last. */
  readonly figures: readonly (readonly number[])[];
  /** `length × width`: whether a note may be played. */
  readonly may: Uint8Array;
  /** Stretches of notes over one dominant: its third is awaited in them, and where `must` says so it has to sound. */
  readonly thirds: readonly {
    readonly first: number;
    readonly last: number;
    readonly sound: number;
    readonly must: boolean;
  }[];
  /** Rules of the caller's own; the pitch before is undefined for the first. */
  readonly allows?: ((i: number, p: number, before: number | undefined) => boolean) | undefined;
}

/** Nothing wanted. */
export const NOTHING = 127;

/** A drawn line: pitches, and which figures begin where. */
export interface Drawn {
  readonly pitches: readonly number[];
  readonly figures: readonly { readonly row: number; readonly at: number }[];
}

// Tries for each note, before all ways are weighed.
const MOST_TRIES = 60;
// How much likelier the third of a dominant is while it is still to come.
const AWAITED = 2;
// How much likelier a leap back after a leap is where the hand has to hurry. Ours, from reading lines.
const THERE_AND_BACK = 0.2;
// How much likelier a seventh falls to the third of the chord that its own leads to. Ours, a preference: the corpus has it less often.
const FALLING = 3;

/** Weights of each interval into note `i` from a pitch; gives their sum. */
const weigh = (
  idea: Idea,
  model: Model,
  state: number,
  run: number,
  i: number,
  p: number,
  awaited: number,
  into: Float64Array,
): number => {
  const { width, weight, low, moves } = idea;
  const { melody, harmony, runs, circles } = model;
  const place = idea.place[i] ?? 0;
  const r = (2 * run + (place < 2 ? 0 : 1)) * INTERVALS;
  const fall = idea.falls[i] ?? -1;
  const falling = fall >= 0 && (p + low) % 12 === Math.floor(fall / 12) ? fall % 12 : -1;
  const from = (p + low - (idea.root[i] ?? 0) + 120) % 12;
  const h = (((idea.kind[i] ?? 0) + from) * 4 + place) * INTERVALS;
  const m = state * INTERVALS;
  const v = (idea.pace[i] ?? 0) * INTERVALS;
  const w = i * width + p - RANGE;
  const first = Math.max(0, RANGE - p);
  const last = Math.min(INTERVALS - 1, width - 1 - p + RANGE);
  const wanted = (idea.wanted[i] ?? NOTHING) + RANGE;
  const echo = idea.echo?.get(state);
  let total = 0;
  for (let d = 0; d < first; d++) into[d] = 0;
  for (let d = last + 1; d < INTERVALS; d++) into[d] = 0;
  for (let d = first; d <= last; d++) {
    let share =
      (melody[m + d] as number) *
      (harmony[h + d] as number) *
      (runs[r + d] as number) *
      (moves[v + d] as number) *
      (weight[w + d] as number);
    const circle = circles[m + d] as number;
    if (circle > 0 && (circle === 1 || v > 0)) share *= circle === 1 ? idea.circling : THERE_AND_BACK;
    if (d === wanted) share *= idea.bonus;
    if (echo !== undefined) share *= echo[d] as number;
    if (falling >= 0 && d < RANGE && d >= RANGE - 2 && (p + d - RANGE + low) % 12 === falling) share *= FALLING;
    if (awaited >= 0 && (p + d - RANGE + low) % 12 === awaited) share *= AWAITED;
    into[d] = share;
    total += share;
  }
  return total;
};

/** Whether all that must hold of a note, and of the step into it, does; the thirds are seen to by the caller. */
const holds = (idea: Idea, i: number, p: number, before: number | undefined): boolean => {
  const at = i * idea.width + p;
  if (idea.may[at] === 0) return false;
  return idea.allows === undefined || idea.allows(i, p, before);
};

const drawFrom = (weights: Float64Array, total: number, chance: Chance): number => {
  let left = chance.share() * total;
  for (let d = 0; d < weights.length; d++) {
    left -= weights[d] as number;
    if (left < 0) return d;
  }
  return weights.findLastIndex((weight) => weight > 0);
};

/** By note: the stretch in which a third has to sound, or -1. */
const spansOf = ({ length, thirds }: Idea): Int8Array => {
  const spans = new Int8Array(length).fill(-1);
  thirds.forEach(({ first, last }, k) => {
    spans.fill(k, first, last + 1);
  });
  return spans;
};

const FAILED = 2;

/** The pitch class of a third that is still to come at a note, or -1. */
const awaitedAt = ({ thirds }: Idea, span: number, i: number, before: number): number => {
  const third = thirds[span];
  return third === undefined || (before === 1 && i > third.first) ? -1 : third.sound;
};

/** Whether the third of the stretch has sounded by a note, 1 or 0; {@link FAILED} where the stretch ends without it. */
const stateThird = ({ thirds, low }: Idea, span: number, i: number, p: number, before: number): number => {
  const third = thirds[span];
  if (third === undefined) return 0;
  const stated = (p + low) % 12 === third.sound ? 1 : i === third.first ? 0 : before;
  return i < third.last ? stated : stated === 1 || !third.must ? 0 : FAILED;
};

/** A line by trial: drawn note by note, and given up as soon as something does not hold. */
export const attempt = (idea: Idea, model: Model, chance: Chance): Drawn | undefined => {
  const { length } = idea;
  const scratch = new Float64Array(INTERVALS);
  const spans = spansOf(idea);
  const pitches: number[] = [];
  const begun: { row: number; at: number }[] = [];
  let state = model.start;
  let run = NO_RUN;
  let forced: readonly number[] = [];
  let done = 0;
  let stated = 0;
  const total = idea.start.reduce((sum, weight) => sum + weight, 0);
  if (!(total > 0)) return undefined;
  for (let i = 0; i < length; i++) {
    const before = pitches[i - 1];
    let p: number;
    if (before === undefined) p = drawFrom(idea.start, total, chance);
    else {
      if (done >= forced.length && idea.entering > 0) {
        const entries = idea.entries(i - 1, before);
        if (entries.length > 0 && chance.share() < idea.entering) {
          const row = entries[chance.below(entries.length)] ?? 0;
          forced = idea.figures[row] ?? [];
          done = 0;
          state = model.start;
          begun.push({ row, at: i - 1 });
        }
      }
      let d: number;
      if (done < forced.length) d = (forced[done++] ?? 0) + RANGE;
      else {
        const sum = weigh(idea, model, state, run, i, before, awaitedAt(idea, spans[i] ?? -1, i, stated), scratch);
        if (!(sum > 0)) return undefined;
        d = drawFrom(scratch, sum, chance);
      }
      state = model.next[state * INTERVALS + d] ?? 0;
      p = before + d - RANGE;
      run = stepRun(run, d - RANGE);
    }
    if (p < 0 || p >= idea.width || !holds(idea, i, p, before)) return undefined;
    pitches.push(p);
    stated = stateThird(idea, spans[i] ?? -1, i, p, stated);
    if (stated === FAILED) return undefined;
  }
  return { pitches, figures: begun };
};

/**
 * The product of the model's histories, the figures' states, the pitches, the runs in one direction and what has to be remembered for the thirds: every way on from a
 * state at note `i - 1` to note `i` that keeps what must hold.
 */
const productOf = (idea: Idea, model: Model) => {
  const { width, figures } = idea;
  const spans = spansOf(idea);
  const longest = Math.max(1, ...figures.map((steps) => steps.length));
  const inside = (row: number, done: number): number => model.states + row * longest + done;
  const scratch = new Float64Array(INTERVALS);
  // The history after a figure's notes alone.
  const after = figures.map((steps) => {
    let state = model.start;
    return steps.map((d) => (state = model.next[state * INTERVALS + d + RANGE] ?? 0));
  });
  const index = (state: number, p: number, run: number, stated: number): number =>
    ((state * width + p) * RUNS + run) * 2 + stated;
  type Way = (share: number, to: number, d: number, row: number) => void;
  const ways = (i: number, from: number, way: Way): void => {
    const stated = from % 2;
    const run = Math.floor(from / 2) % RUNS;
    const p = Math.floor(from / 2 / RUNS) % width;
    const state = Math.floor(from / 2 / RUNS / width);
    const go = (share: number, d: number, next: number, row: number): void => {
      const to = p + d;
      if (!(share > 0) || to < 0 || to >= width || !holds(idea, i, to, p)) return;
      const now = stateThird(idea, spans[i] ?? -1, i, to, stated);
      if (now !== FAILED) way(share, index(next, to, stepRun(run, d), now), d, row);
    };
    const play = (share: number, row: number, done: number, begun: number): void => {
      const steps = figures[row] ?? [];
      const next = done + 1 < steps.length ? inside(row, done + 1) : (after[row]?.[done] ?? 0);
      go(share, steps[done] ?? 0, next, begun);
    };
    if (state >= model.states) {
      const place = state - model.states;
      play(1, Math.floor(place / longest), place % longest, -1);
      return;
    }
    const entries = idea.entering > 0 ? idea.entries(i - 1, p) : [];
    for (const row of entries) play(idea.entering / entries.length, row, 0, row);
    const rest = entries.length > 0 ? 1 - idea.entering : 1;
    const sum = weigh(idea, model, state, run, i, p, awaitedAt(idea, spans[i] ?? -1, i, stated), scratch);
    if (!(sum > 0)) return;
    const shares = scratch.slice();
    for (let d = 0; d < INTERVALS; d++)
      go((rest * (shares[d] ?? 0)) / sum, d - RANGE, model.next[state * INTERVALS + d] ?? 0, -1);
  };
  const total = idea.start.reduce((sum, weight) => sum + weight, 0);
  const starts = (way: (share: number, to: number) => void): void => {
    for (let p = 0; p < width; p++) {
      const share = (idea.start[p] ?? 0) / total;
      if (!(share > 0) || !holds(idea, 0, p, undefined)) continue;
      const now = stateThird(idea, spans[0] ?? -1, 0, p, 0);
      if (now !== FAILED) way(share, index(model.start, p, NO_RUN, now));
    }
  };
  return { ways, starts, pitchOf: (at: number) => Math.floor(at / 2 / RUNS) % width };
};

type Fold = (before: number, share: number) => number;

/** By note, what is still to come from each state that is reached there, folded backwards: the chance that all holds, or that of the likeliest way. */
const ahead = (
  idea: Idea,
  product: ReturnType<typeof productOf>,
  fold: Fold,
): readonly ReadonlyMap<number, number>[] => {
  const values: Map<number, number>[] = [new Map<number, number>()];
  product.starts((_share, to) => values[0]?.set(to, 0));
  for (let i = 1; i < idea.length; i++) {
    const layer = new Map<number, number>();
    for (const from of values[i - 1]?.keys() ?? []) product.ways(i, from, (_share, to) => layer.set(to, 0));
    values.push(layer);
  }
  const last = values.at(-1);
  for (const at of last?.keys() ?? []) last?.set(at, 1);
  for (let i = idea.length - 1; i > 0; i--) {
    const [here, next] = [values[i - 1], values[i]];
    for (const from of here?.keys() ?? []) {
      let value = 0;
      product.ways(i, from, (share, to) => {
        value = fold(value, share * (next?.get(to) ?? 0));
      });
      here?.set(from, value);
    }
  }
  return values;
};

/** Goes forward through the product, choosing among the ways by what is still to come from each. */
const follow = (
  idea: Idea,
  product: ReturnType<typeof productOf>,
  values: readonly ReadonlyMap<number, number>[],
  choose: (weights: readonly number[]) => number,
): Drawn | undefined => {
  const pitches: number[] = [];
  const figures: { row: number; at: number }[] = [];
  let state = -1;
  for (let i = 0; i < idea.length; i++) {
    const here = values[i];
    const weights: number[] = [];
    const targets: number[] = [];
    const rows: number[] = [];
    const way = (share: number, to: number, _d = 0, row = -1): void => {
      weights.push(share * (here?.get(to) ?? 0));
      targets.push(to);
      rows.push(row);
    };
    if (i === 0) product.starts(way);
    else product.ways(i, state, way);
    const chosen = choose(weights);
    if (!((weights[chosen] ?? 0) > 0)) return undefined;
    state = targets[chosen] ?? 0;
    pitches.push(product.pitchOf(state));
    const row = rows[chosen] ?? -1;
    if (row >= 0) figures.push({ row, at: i - 1 });
  }
  return { pitches, figures };
};

/** A line from the model's distribution given all that must hold, by weighing every way backwards and drawing forwards. */
export const drawExactly = (idea: Idea, model: Model, chance: Chance): Drawn | undefined => {
  const product = productOf(idea, model);
  const values = ahead(idea, product, (sum, share) => sum + share);
  return follow(idea, product, values, (weights) => {
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    return total > 0 ? drawFrom(Float64Array.from(weights), total, chance) : -1;
  });
};

/** The likeliest line of those that keep what must hold; of several, the one that is met first, from low to high. */
export const likeliest = (idea: Idea, model: Model): Drawn | undefined => {
  const product = productOf(idea, model);
  const values = ahead(idea, product, Math.max);
  return follow(idea, product, values, (weights) => weights.indexOf(Math.max(...weights)));
};

/**
 * A line from the model's distribution given all that must hold; undefined where there is none. Most ideas are met by trial sooner than all
 * their ways are weighed; either way the chance of each line is the same, so which was quicker leaves no trace.
 */
export const drawLine = (idea: Idea, model: Model, chance: Chance): Drawn | undefined => {
  for (let tries = 0; tries < MOST_TRIES * idea.length; tries++) {
    const drawn = attempt(idea, model, chance);
    if (drawn !== undefined) return drawn;
  }
  return drawExactly(idea, model, chance);
};
