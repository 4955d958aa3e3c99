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
  return alone(problem, index, note) + arriving(problem, index, before, note) + leaving(problem, index, note, after) + bend(problem.row.taste, move, on);
};

/** What a note is where no chord enters; `undefined` where the rules forbid it. */
export const roleAt = (problem: LineProblem, index: number, before: number, note: number, after: number): LineRole | undefined => {
  const role = roleToward(problem, index, note, after);
  return role === "passing" && (before === NONE || !passes(note - before, after - note)) ? undefined : role;
};

const roleToward = ({ slots, row }: LineProblem, index: number, note: number, after: number): LineRole | undefined => {
  const slot = slots[index] as BassSlot;
  const tone = slot.harmony.tones[note % 12];
  const on = after === NONE ? 0 : after - note;
  const byStep = Math.abs(on) === 1 || (Math.abs(on) === 2 && tone !== undefined);
  if (slot.leads && after !== NONE && (row.walks || tone?.kind !== "chord")) return byStep || (row.walks && (on === 5 || on === -7)) ? "approach" : undefined;
  if (tone?.kind === "chord") return "chord";
  return row.walks && slot.place !== "downbeat" && byStep ? "passing" : undefined;
};

// The scale goes by one or two semitones into a passing note, and on in the same direction.
const passes = (move: number, on: number): boolean => move !== 0 && Math.abs(move) <= 2 && move > 0 === on > 0;

const needsStep = (problem: LineProblem, index: number, note: number, after: number): boolean =>
  !(problem.slots[index] as BassSlot).enters && roleToward(problem, index, note, after) === "passing";

// What a note costs by itself: its mood, and how far it lies from where the hand is at home, a little below the middle.
const alone = ({ slots, row, low, high, moods }: LineProblem, index: number, note: number): number => {
  const slot = slots[index] as BassSlot;
  if (slot.enters && note % 12 !== slot.harmony.bass) return FORBIDDEN;
  const home = (low + high) / 2 - 3;
  const away = Math.max(0, Math.ceil(Math.abs(note - home) - (high - low) / 3));
  return ((moods[index] as Int16Array)[note - low] as number) + row.taste.register * away;
};

const arriving = (problem: LineProblem, index: number, before: number, note: number): number => {
  if (before === NONE) return 0;
  const { slots, row } = problem;
  const size = Math.abs(note - before);
  if (size > WIDEST || (size === 0 && !mayRepeat(problem, index))) return FORBIDDEN;
  const slot = slots[index] as BassSlot;
  // A leap into a note outside the chord sticks out.
  const out = size > 4 && !slot.enters && slot.harmony.tones[note % 12]?.kind !== "chord" ? row.taste.onAfterLeap : 0;
  return (row.taste.moves[size] as number) + out;
};

// A note may come twice running in a manner that repeats, and for chords of one note each that keep their bass.
const mayRepeat = ({ slots, row }: LineProblem, index: number): boolean => {
  const [last, slot] = [slots[index - 1], slots[index]];
  return row.repeats || (last?.enters === true && slot?.enters === true && last.harmony.bass === slot.harmony.bass);
};

const leaving = (problem: LineProblem, index: number, note: number, after: number): number => {
  const slot = problem.slots[index] as BassSlot;
  if (slot.enters) return 0;
  const { taste } = problem.row;
  const tone = slot.harmony.tones[note % 12];
  const on = Math.abs(after - note);
  switch (roleToward(problem, index, note, after)) {
    case undefined: return FORBIDDEN;
    case "chord": return (slot.place === "downbeat" ? taste.downbeat : taste.degrees)[tone?.number as 1];
    case "approach": return (on === 1 ? taste.approach.semitone : on === 2 ? taste.approach.step : taste.approach.fifth) + (tone === undefined ? taste.approach.chromatic : 0);
    case "passing": return (tone === undefined ? taste.passing.chromatic : taste.passing.scale) + (slot.place === "middle" ? taste.passing.middle : 0);
  }
};

// How the line bends at a note.
const bend = (taste: BassTaste, move: number, on: number): number => {
  if (move === 0 || on === 0) return 0;
  const turns = move > 0 !== on > 0;
  return (turns ? taste.turn : 0) + (!turns && Math.abs(move) >= 5 && Math.abs(on) >= 3 ? taste.onAfterLeap : 0) + (move === -on ? taste.back : 0);
};

// What could stand at a place at all; the neighbours decide the rest.
const candidatesOf = ({ low, high, row }: LineProblem, slot: BassSlot): readonly number[] => {
  const notes = Array.from({ length: high - low + 1 }, (_, i) => low + i);
  if (slot.enters) return notes.filter((note) => note % 12 === slot.harmony.bass);
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
  const bends = bendTable(problem.row.taste);
  const candidates = problem.slots.map((slot) => candidatesOf(problem, slot));
  if (problem.then !== "first") return solve(problem, candidates, problem.then ?? NONE, bends);
  let best: SolvedLine | undefined;
  for (const first of candidates[0] ?? []) {
    const line = solve(problem, [[first], ...candidates.slice(1)], first, bends);
    if (line !== undefined && (best === undefined || line.points < best.points)) best = line;
  }
  return best;
};

const MOVES = 2 * WIDEST + 1;
const bendTable = (taste: BassTaste): Float64Array =>
  Float64Array.from({ length: MOVES * MOVES }, (_, i) => bend(taste, Math.floor(i / MOVES) - WIDEST, (i % MOVES) - WIDEST));

const solve = (problem: LineProblem, candidates: readonly (readonly number[])[], then: number, bends: Float64Array): SolvedLine | undefined => {
  const size = candidates.length;
  let before: readonly number[] = [NONE];
  let current = candidates[0] as readonly number[];
  // sums[a * current + b]: fewest points of the notes before b, which follows a.
  let sums = new Float64Array(current.length);
  const choices: Int16Array[] = [];
  for (let i = 0; i < size; i++) {
    const after = i + 1 < size ? (candidates[i + 1] as readonly number[]) : [then];
    const next = new Float64Array(current.length * after.length).fill(FORBIDDEN);
    const choice = new Int16Array(current.length * after.length).fill(-1);
    current.forEach((note, b) => {
      const arrived = before.map((from, a) => (sums[a * current.length + b] as number) + arriving(problem, i, from, note) + alone(problem, i, note));
      after.forEach((to, c) => {
        const on = to === NONE ? 0 : to - note;
        const left = leaving(problem, i, note, to);
        if (left === FORBIDDEN || Math.abs(on) > WIDEST) return;
        const stepped = needsStep(problem, i, note, to);
        const cell = b * after.length + c;
        for (let a = 0; a < before.length; a++) {
          const sofar = arrived[a] as number;
          if (sofar === FORBIDDEN) continue;
          const move = before[a] === NONE ? 0 : note - (before[a] as number);
          if (stepped && !passes(move, on)) continue;
          const sum = sofar + left + (bends[(move + WIDEST) * MOVES + on + WIDEST] as number);
          if (sum < (next[cell] as number)) {
            next[cell] = sum;
            choice[cell] = a;
          }
        }
      });
    });
    choices.push(choice);
    sums = next;
    before = current;
    current = after;
  }
  let last = 0;
  sums.forEach((sum, b) => {
    if (sum < (sums[last] as number)) last = b;
  });
  const points = sums[last] as number;
  return points < FORBIDDEN ? { notes: traced(candidates, choices, last), points } : undefined;
};

const traced = (candidates: readonly (readonly number[])[], choices: readonly Int16Array[], last: number): readonly number[] => {
  const notes: number[] = [];
  for (let i = candidates.length - 1, b = last, c = 0; i >= 0; i--) {
    notes[i] = (candidates[i] as readonly number[])[b] as number;
    const a = (choices[i] as Int16Array)[b * (candidates[i + 1]?.length ?? 1) + c] as number;
    c = b;
    b = a;
  }
  return notes;
};
