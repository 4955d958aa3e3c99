import { nth } from "../ground/list.ts";
import { step } from "../ground/watch.ts";
import type { BassRow, BassTaste } from "./bass-catalogue.ts";
import type { BassSlot } from "./slots.ts";

/** Where a line is sought: the places, the manner, the range, and the mood of the player. */
export interface LineProblem {
  /** Without gaps between them. */
  readonly slots: readonly BassSlot[];
  readonly row: Pick<BassRow, "walks" | "repeats" | "taste">;
  /** Lowest and highest MIDI note. */
  readonly low: number;
  readonly high: number;
  /** One row a slot, one handicap a note from the lowest, in points. */
  readonly moods: readonly Int16Array[];
  /** MIDI note after the line: one that is known, or the line's own first note. */
  readonly then: number | "first" | undefined;
}

/** What a note is where no chord enters. */
export type LineRole = "chord" | "approach" | "passing";

const FORBIDDEN = Number.POSITIVE_INFINITY;
const NONE = -1;
const NOWHERE: readonly number[] = [];
const WIDEST = 12;

/**
 * The points of one note between its neighbours, infinite where the rules forbid it. A line's points are the sum over its notes.
 *
 * @param before - MIDI note before, -1 for none
 * @param after - MIDI note after, -1 for none
 */
export const pointsOf = (problem: LineProblem, index: number, before: number, note: number, after: number): number => {
  const move = before === NONE ? 0 : note - before;
  const on = after === NONE ? 0 : after - note;
  if (needsStep(problem, index, note, after) && !passes(move, on)) return FORBIDDEN;
  return (
    alone(problem, index, note) +
    arriving(problem, index, before, note) +
    leaving(problem, index, note, after) +
    bend(problem.row.taste, move, on)
  );
};

/** What a note is where no chord enters; `undefined` where the rules forbid it. */
export const roleAt = (
  problem: LineProblem,
  index: number,
  before: number,
  note: number,
  after: number,
): LineRole | undefined => {
  const role = roleToward(problem, index, note, after);
  return role === "passing" && (before === NONE || !passes(note - before, after - note)) ? undefined : role;
};

const roleToward = ({ slots, row }: LineProblem, index: number, note: number, after: number): LineRole | undefined => {
  const slot = nth(slots, index);
  const tone = slot.harmony.tones[note % 12];
  if (slot.only !== undefined) return "chord";
  const on = after === NONE ? 0 : after - note;
  const byStep = Math.abs(on) === 1 || (Math.abs(on) === 2 && tone !== undefined);
  if (slot.leads && after !== NONE && (row.walks || tone?.kind !== "chord"))
    return byStep || (row.walks && (on === 5 || on === -7)) ? "approach" : undefined;
  if (tone?.kind === "chord") return "chord";
  return row.walks && slot.place !== "downbeat" && byStep ? "passing" : undefined;
};

// The scale goes by one or two semitones into a passing note, and on in the same direction.
const passes = (move: number, on: number): boolean => move !== 0 && Math.abs(move) <= 2 && move > 0 === on > 0;

const needsStep = (problem: LineProblem, index: number, note: number, after: number): boolean =>
  !nth(problem.slots, index).enters && roleToward(problem, index, note, after) === "passing";

// What a note costs by itself: its mood, and how far it lies from where the hand is at home, a little below the middle.
const alone = ({ slots, row, low, high, moods }: LineProblem, index: number, note: number): number => {
  const slot = nth(slots, index);
  if (slot.enters ? note % 12 !== slot.harmony.bass : slot.only?.includes(note % 12) === false) return FORBIDDEN;
  const home = (low + high) / 2 - 3;
  const away = Math.max(0, Math.ceil(Math.abs(note - home) - (high - low) / 3));
  return (moods[index]?.[note - low] ?? 0) + row.taste.register * away;
};

const arriving = (problem: LineProblem, index: number, before: number, note: number): number => {
  if (before === NONE) return 0;
  const { slots, row } = problem;
  const size = Math.abs(note - before);
  if (size > WIDEST || (size === 0 && !mayRepeat(problem, index))) return FORBIDDEN;
  const slot = nth(slots, index);
  if (slot.pedal && size === 0) return 0;
  // A leap into a note outside the chord sticks out.
  const out = size > 4 && !slot.enters && slot.harmony.tones[note % 12]?.kind !== "chord" ? row.taste.onAfterLeap : 0;
  return (row.taste.moves[size] ?? FORBIDDEN) + out;
};

// A note may come twice running in a manner that repeats, and for chords of one note each that keep their bass.
const mayRepeat = ({ slots, row }: LineProblem, index: number): boolean => {
  const [last, slot] = [slots[index - 1], slots[index]];
  return (
    row.repeats ||
    slot?.pedal === true ||
    (last?.enters === true && slot?.enters === true && last.harmony.bass === slot.harmony.bass)
  );
};

const leaving = (problem: LineProblem, index: number, note: number, after: number): number => {
  const slot = nth(problem.slots, index);
  if (after !== NONE && Math.abs(after - note) > WIDEST) return FORBIDDEN;
  if (slot.enters) return 0;
  // Elsewhere the note after sees to it; the note after the line is given.
  if (after === note && index === problem.slots.length - 1 && !problem.row.repeats && !slot.pedal) return FORBIDDEN;
  const { taste } = problem.row;
  const tone = slot.harmony.tones[note % 12];
  const on = Math.abs(after - note);
  switch (roleToward(problem, index, note, after)) {
    case undefined:
      return FORBIDDEN;
    case "chord":
      return (slot.place === "downbeat" ? taste.downbeat : taste.degrees)[tone?.number ?? 1];
    case "approach":
      return (
        (on === 1 ? taste.approach.semitone : on === 2 ? taste.approach.step : taste.approach.fifth) +
        (tone === undefined ? taste.approach.chromatic : 0)
      );
    case "passing":
      return (
        (tone === undefined ? taste.passing.chromatic : taste.passing.scale) +
        (slot.place === "middle" ? taste.passing.middle : 0)
      );
  }
};

// How the line bends at a note.
const bend = (taste: BassTaste, move: number, on: number): number => {
  if (move === 0 || on === 0) return 0;
  const turns = move > 0 !== on > 0;
  return (
    (turns ? taste.turn : 0) +
    (!turns && Math.abs(move) >= 5 && Math.abs(on) >= 3 ? taste.onAfterLeap : 0) +
    (move === -on ? taste.back : 0)
  );
};

// What could stand at a place at all; the neighbours decide the rest.
const candidatesOf = ({ low, high, row }: LineProblem, slot: BassSlot): readonly number[] => {
  const notes = Array.from({ length: high - low + 1 }, (_, i) => low + i);
  const { only } = slot;
  if (slot.enters) return notes.filter((note) => note % 12 === slot.harmony.bass);
  if (only !== undefined) return notes.filter((note) => only.includes(note % 12));
  const free = slot.leads || (row.walks && slot.place !== "downbeat");
  return notes.filter((note) => free || slot.harmony.tones[note % 12]?.kind === "chord");
};

/** A line as MIDI notes, one a slot. */
export interface SolvedLine {
  readonly notes: readonly number[];
  readonly points: number;
}

/**
 * The line of fewest points: an exact dynamic programme over pairs of neighbouring notes. Of equal lines the one is taken whose last note
 * that differs is lower; round a form, the one with the lower first note.
 *
 * @returns `undefined` when no line keeps the rules
 */
export const bestLine = (problem: LineProblem): SolvedLine | undefined => {
  const candidates = problem.slots.map((slot) => candidatesOf(problem, slot));
  if (candidates.some((notes) => notes.length === 0)) return undefined;
  const bends = bendTable(problem.row.taste);
  const stages = candidates
    .slice(0, -1)
    .map((notes, i) => stageOf(problem, i, candidates[i - 1] ?? [NONE], notes, candidates[i + 1] ?? [NONE]));
  const solved = (then: number, first?: number): SolvedLine | undefined => {
    const last = candidates.length - 1;
    const end = stageOf(problem, last, candidates[last - 1] ?? [NONE], candidates[last] ?? [], [then]);
    return solve([...stages, end], bends, first);
  };
  if (problem.then !== "first") return solved(problem.then ?? NONE);
  let best: SolvedLine | undefined;
  for (const first of candidates[0] ?? []) {
    const line = solved(first, first);
    if (line !== undefined && (best === undefined || line.points < best.points)) best = line;
  }
  return best;
};

/**
 * One place with all that its points need: `arrivals[a * notes + b]`, `departures[b * after + c]`, and for each b the places in `after` that
 * may follow it, from a note of any kind and from a note that it passes by step.
 */
interface Stage {
  readonly before: readonly number[];
  readonly notes: readonly number[];
  readonly after: readonly number[];
  readonly arrivals: Float64Array;
  readonly departures: Float64Array;
  readonly free: readonly (readonly number[])[];
  readonly stepped: readonly (readonly number[])[];
}

const stageOf = (
  problem: LineProblem,
  i: number,
  before: readonly number[],
  notes: readonly number[],
  after: readonly number[],
): Stage => {
  const own = notes.map((note) => alone(problem, i, note));
  const arrivals = new Float64Array(before.length * notes.length);
  before.forEach((from, a) => {
    notes.forEach((note, b) => {
      arrivals[a * notes.length + b] = arriving(problem, i, from, note) + (own[b] ?? 0);
    });
  });
  const departures = new Float64Array(notes.length * after.length);
  const free: number[][] = [];
  const stepped: number[][] = [];
  notes.forEach((note, b) => {
    const [anyhow, byStep]: [number[], number[]] = [[], []];
    after.forEach((to, c) => {
      const points = leaving(problem, i, note, to);
      departures[b * after.length + c] = points;
      if (points < FORBIDDEN) (needsStep(problem, i, note, to) ? byStep : anyhow).push(c);
    });
    free.push(anyhow);
    stepped.push(byStep);
  });
  return { before, notes, after, arrivals, departures, free, stepped };
};

const MOVES = 2 * WIDEST + 1;
const bendTable = (taste: BassTaste): Float64Array =>
  Float64Array.from({ length: MOVES * MOVES }, (_, i) =>
    bend(taste, Math.floor(i / MOVES) - WIDEST, (i % MOVES) - WIDEST),
  );

const solve = (stages: readonly Stage[], bends: Float64Array, first: number | undefined): SolvedLine | undefined => {
  // sums[a * notes + b]: fewest points of the notes before b, which follows a.
  let sums = Float64Array.from(nth(stages, 0).notes, (note) => (first === undefined || note === first ? 0 : FORBIDDEN));
  const choices: Int16Array[] = [];
  for (const { before, notes, after, arrivals, departures, free, stepped } of stages) {
    step();
    const next = new Float64Array(notes.length * after.length).fill(FORBIDDEN);
    const choice = new Int16Array(notes.length * after.length).fill(-1);
    for (let a = 0; a < before.length; a++) {
      const from = before[a] ?? NONE;
      for (let b = 0; b < notes.length; b++) {
        const note = notes[b] ?? NONE;
        const sofar = (sums[a * notes.length + b] ?? FORBIDDEN) + (arrivals[a * notes.length + b] ?? FORBIDDEN);
        if (sofar === FORBIDDEN) continue;
        const move = from === NONE ? 0 : note - from;
        const row = (move + WIDEST) * MOVES + WIDEST;
        const steps = move !== 0 && move <= 2 && move >= -2 ? (stepped[b] ?? NOWHERE) : NOWHERE;
        const ways = free[b] ?? NOWHERE;
        for (let w = 0; w < ways.length + steps.length; w++) {
          const c = (w < ways.length ? ways[w] : steps[w - ways.length]) ?? 0;
          const to = after[c] ?? NONE;
          const on = to === NONE ? 0 : to - note;
          if (w >= ways.length && !passes(move, on)) continue;
          const cell = b * after.length + c;
          const sum = sofar + (departures[cell] ?? FORBIDDEN) + (bends[row + on] ?? 0);
          if (sum < (next[cell] ?? FORBIDDEN)) {
            next[cell] = sum;
            choice[cell] = a;
          }
        }
      }
    }
    choices.push(choice);
    sums = next;
  }
  const last = sums.reduce((best, sum, b) => (sum < (sums[best] ?? FORBIDDEN) ? b : best), 0);
  const points = sums[last] ?? FORBIDDEN;
  return points < FORBIDDEN ? { notes: traced(stages, choices, last), points } : undefined;
};

const traced = (stages: readonly Stage[], choices: readonly Int16Array[], last: number): readonly number[] => {
  const line: number[] = [];
  for (let i = stages.length - 1, b = last, c = 0; i >= 0; i--) {
    const { notes, after } = nth(stages, i);
    line[i] = notes[b] ?? NONE;
    const a = choices[i]?.[b * after.length + c] ?? 0;
    c = b;
    b = a;
  }
  return line;
};
