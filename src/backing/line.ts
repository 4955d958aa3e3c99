import { nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
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
    moodOf(problem, index, note) +
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

const moodOf = ({ low, moods }: LineProblem, index: number, note: number): number => moods[index]?.[note - low] ?? 0;

// What a note costs by itself, whatever the mood: how far it lies from where the hand is at home, a little below the middle.
const alone = ({ slots, row, low, high }: LineProblem, index: number, note: number): number => {
  const slot = nth(slots, index);
  if (slot.enters ? note % 12 !== slot.harmony.bass : slot.only?.includes(note % 12) === false) return FORBIDDEN;
  const home = (low + high) / 2 - 3;
  const away = Math.max(0, Math.ceil(Math.abs(note - home) - (high - low) / 3));
  return row.taste.register * away;
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
  const tables = tablesOf(problem);
  const kinds = problem.slots.map(kindOf);
  const candidates = problem.slots.map((slot, i) =>
    kept(tables.candidates, nth(kinds, i), () => candidatesOf(problem, slot)),
  );
  if (candidates.some((notes) => notes.length === 0)) return undefined;
  const last = candidates.length - 1;
  const stages = candidates.slice(0, -1).map((notes, i) => {
    const make = (): Stage => stageOf(problem, i, candidates[i - 1] ?? [NONE], notes, candidates[i + 1] ?? [NONE]);
    return kept(tables.stages, `${kinds[i - 1] ?? ""},${kinds[i] ?? ""},${kinds[i + 1] ?? ""}`, make);
  });
  const endFor = (then: number): Stage =>
    kept(tables.stages, `${kinds[last - 1] ?? ""},${kinds[last] ?? ""},then ${then}`, () =>
      stageOf(problem, last, candidates[last - 1] ?? [NONE], candidates[last] ?? [], [then]),
    );
  const runs =
    problem.then === "first"
      ? (candidates[0] ?? []).map((first) => ({ first, end: endFor(first) }))
      : [{ first: undefined, end: endFor(problem.then ?? NONE) }];
  return solve(problem, stages, runs, tables.bends);
};

/** What lines of one manner and range have in common: the same places come again in every chorus and for every seed. */
interface Tables {
  readonly bends: Float64Array;
  readonly candidates: Map<string, readonly number[]>;
  readonly stages: Map<string, Stage>;
}

// A chorus has some fifty different places; a table takes up to ten thousand bytes.
const MOST_STAGES = 500;
const MOST_RANGES = 8;
const known = /* @__PURE__ */ new WeakMap<object, Map<string, Tables>>();

const tablesOf = ({ row, low, high }: LineProblem): Tables => {
  const ranges = known.get(row) ?? new Map<string, Tables>();
  known.set(row, ranges);
  if (ranges.size > MOST_RANGES) ranges.clear();
  const tables = kept(ranges, `${low} ${high}`, () => ({
    bends: bendTable(row.taste),
    candidates: new Map(),
    stages: new Map(),
  }));
  if (tables.stages.size > MOST_STAGES) {
    tables.stages.clear();
    tables.candidates.clear();
  }
  return tables;
};

const numbers = /* @__PURE__ */ new WeakMap<object, number>();
let count = 0;
const numberOf = (harmony: object): number => {
  const number = numbers.get(harmony) ?? count++;
  numbers.set(harmony, number);
  return number;
};

/** What is the same for two places that want the same of a note. */
const kindOf = ({ harmony, enters, leads, only, pedal, place }: BassSlot): string =>
  `${numberOf(harmony)} ${enters} ${leads} ${only?.join("/") ?? ""} ${pedal} ${place}`;

/**
 * One place with all that its points need but the mood: `arrivals[a * notes + b]`, `departures[b * after + c]`, and for each b the places in `after` that
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

/** A line that begins with a note (or any), and its last place with the note that follows. */
interface Run {
  readonly first: number | undefined;
  readonly end: Stage;
}

/** How far a run has come. */
interface Way {
  readonly run: Run;
  /** sums[a * notes + b]: fewest points of the notes before b, which follows a. */
  sums: Float64Array;
  readonly choices: Int16Array;
  /** From this stage on it goes the way of another, always so many points dearer. */
  joins?: { readonly way: Way; readonly stage: number; readonly by: number };
}

const solve = (
  problem: LineProblem,
  stages: readonly Stage[],
  runs: readonly Run[],
  bends: Float64Array,
): SolvedLine | undefined => {
  const whole = [...stages, nth(runs, 0).end];
  const cells = whole.map(({ notes, after }) => notes.length * after.length);
  const size = Math.max(nth(whole, 0).notes.length, ...cells);
  const total = cells.reduce((sum, cell) => sum + cell, 0);
  const ways = runs.map((run): Way => {
    const sums = new Float64Array(size);
    nth(whole, 0).notes.forEach((note, b) => {
      sums[b] = run.first === undefined || note === run.first ? 0 : FORBIDDEN;
    });
    return { run, sums, choices: new Int16Array(total).fill(-1) };
  });
  const advance = stepper(problem, bends, Math.max(...whole.map(({ before }) => before.length)));
  let next: Float64Array = new Float64Array(size);
  let offset = 0;
  let apart = ways;
  stages.forEach((stage, i) => {
    step();
    const width = cells[i] ?? 0;
    for (const way of apart) {
      advance(stage, i, way.sums, next, way.choices, offset);
      [way.sums, next] = [next, way.sums];
    }
    offset += width;
    // Ways that began on different notes meet sooner or later, and then what is best for one is best for all.
    apart = apart.filter((way, w) => {
      for (const other of apart.slice(0, w)) {
        const by = other.joins === undefined ? differenceOf(way.sums, other.sums, width) : undefined;
        if (by === undefined) continue;
        way.joins = { way: other, stage: i + 1, by };
        return false;
      }
      return true;
    });
  });
  let best: SolvedLine | undefined;
  for (const way of ways) {
    const { leader, by } = ledBy(way);
    advance(way.run.end, stages.length, leader.sums, next, leader.choices, offset);
    const ends = next.subarray(0, way.run.end.notes.length);
    const last = ends.reduce((least, sum, b) => (sum < (ends[least] ?? FORBIDDEN) ? b : least), 0);
    const points = (ends[last] ?? FORBIDDEN) + by;
    if (points < (best?.points ?? FORBIDDEN)) best = { notes: traced([...stages, way.run.end], way, last), points };
  }
  return best;
};

const ledBy = (way: Way): { readonly leader: Way; readonly by: number } => {
  let [leader, by] = [way, 0];
  while (leader.joins !== undefined) {
    by += leader.joins.by;
    leader = leader.joins.way;
  }
  return { leader, by };
};

/** By how much one list lies above another everywhere; `undefined` where it is not the same everywhere. */
const differenceOf = (a: Float64Array, b: Float64Array, width: number): number | undefined => {
  let by: number | undefined;
  for (let i = 0; i < width; i++) {
    const [x, y] = [a[i] ?? FORBIDDEN, b[i] ?? FORBIDDEN];
    if (x === FORBIDDEN || y === FORBIDDEN) {
      if (x !== y) return undefined;
    } else {
      by ??= x - y;
      if (x - y !== by) return undefined;
    }
  }
  return by;
};

type Step = (
  stage: Stage,
  index: number,
  sums: Float64Array,
  next: Float64Array,
  choices: Int16Array,
  offset: number,
) => void;

const stepper = ({ moods, low }: LineProblem, bends: Float64Array, widest: number): Step => {
  const sofar = new Float64Array(widest);
  const most = bends.reduce((dearest, points) => Math.max(dearest, points), 0);
  const order: number[] = [];
  const near: number[] = [];
  return ({ before, notes, after, arrivals, departures, free, stepped }, index, sums, next, choices, offset) => {
    const mood = nth(moods, index);
    next.fill(FORBIDDEN, 0, notes.length * after.length);
    for (let b = 0; b < notes.length; b++) {
      const note = notes[b] ?? NONE;
      const own = mood[note - low] ?? 0;
      let least = FORBIDDEN;
      for (let a = 0; a < before.length; a++) {
        const cell = a * notes.length + b;
        const sum = (sums[cell] ?? FORBIDDEN) + (arrivals[cell] ?? FORBIDDEN) + own;
        sofar[a] = sum;
        if (sum < least) least = sum;
      }
      if (least === FORBIDDEN) continue;
      // No bend costs more than the most, so that what is dearer by that much comes from nowhere; the rest in order of points, then of place.
      order.length = 0;
      near.length = 0;
      for (let a = 0; a < before.length; a++) {
        const sum = sofar[a] ?? FORBIDDEN;
        if (sum === FORBIDDEN) continue;
        if (Math.abs(note - (before[a] ?? NONE)) <= 2) near.push(a);
        if (sum > least + most) continue;
        let place = order.length;
        while (place > 0 && (sofar[order[place - 1] ?? 0] ?? 0) > sum) {
          order[place] = order[place - 1] ?? 0;
          place--;
        }
        order[place] = a;
      }
      for (const c of free[b] ?? NOWHERE) {
        const to = after[c] ?? NONE;
        const turn = WIDEST + (to === NONE ? 0 : to - note);
        let best = FORBIDDEN;
        let choice = -1;
        for (const a of order) {
          const points = sofar[a] ?? FORBIDDEN;
          // A bend costs nothing at the least, so what comes later is no better.
          if (points > best) break;
          const from = before[a] ?? NONE;
          const sum = points + (bends[((from === NONE ? 0 : note - from) + WIDEST) * MOVES + turn] ?? 0);
          if (sum < best || (sum === best && a < choice)) {
            best = sum;
            choice = a;
          }
        }
        const cell = b * after.length + c;
        next[cell] = best + (departures[cell] ?? FORBIDDEN);
        choices[offset + cell] = choice;
      }
      for (const c of stepped[b] ?? NOWHERE) {
        const on = (after[c] ?? NONE) - note;
        let best = FORBIDDEN;
        let choice = -1;
        for (const a of near) {
          const move = note - (before[a] ?? NONE);
          if (!passes(move, on)) continue;
          const sum = (sofar[a] ?? FORBIDDEN) + (bends[(move + WIDEST) * MOVES + WIDEST + on] ?? 0);
          if (sum < best) {
            best = sum;
            choice = a;
          }
        }
        const cell = b * after.length + c;
        next[cell] = best + (departures[cell] ?? FORBIDDEN);
        choices[offset + cell] = choice;
      }
    }
  };
};

const traced = (stages: readonly Stage[], way: Way, last: number): readonly number[] => {
  const line: number[] = [];
  let offset = stages.slice(0, -1).reduce((sum, { notes, after }) => sum + notes.length * after.length, 0);
  for (let i = stages.length - 1, b = last, c = 0; i >= 0; i--) {
    const { notes, after } = nth(stages, i);
    let leader = way;
    while (leader.joins !== undefined && i >= leader.joins.stage) leader = leader.joins.way;
    line[i] = notes[b] ?? NONE;
    const a = leader.choices[offset + b * after.length + c] ?? 0;
    const { notes: earlier, after: own } = stages[i - 1] ?? { notes: [], after: [] };
    offset -= earlier.length * own.length;
    c = b;
    b = a;
  }
  return line;
};
