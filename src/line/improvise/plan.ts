import type { Chance } from "../../ground/chance.ts";
import type { Grid, LineValues } from "../grid.ts";
import type { Grade, RhythmCell } from "./grades.ts";
import { QUARTER as QUARTER_CELL, TRIPLET } from "./grades.ts";

/** What a phrase does with its motif. */
export type MotifRole = "statement" | "return" | "answer" | "variation";

/** A note whose pitch is still open, in ticks. */
export interface PlannedNote {
  readonly at: number;
  readonly duration: number;
  /** Index of its phrase. */
  readonly phrase: number;
  /** Letter steps from the note before, where the motif asks for some. */
  readonly step?: number | undefined;
}

/** A phrase whose rhythm is settled. */
export interface PlannedPhrase {
  /** Which motif it begins with: 0 for the first that was heard. */
  readonly motif: number;
  readonly role: MotifRole;
  /** Indexes of its first and last note. */
  readonly first: number;
  readonly last: number;
  /** Index of the note at which its contour is highest. */
  readonly peak: number;
  /** Height of its contour over the middle of the range at each note, in semitones. */
  readonly contour: readonly number[];
}

/** The rhythm and the form of a line. */
export interface Plan {
  readonly notes: readonly PlannedNote[];
  readonly phrases: readonly PlannedPhrase[];
}

// Phrases are kept to the middle half of the corpus, cut at rests of a quarter note: 7 to 25 notes, 3.9 to 13.5 quarter notes.
const FEWEST_NOTES = 7;
const MOST_NOTES = 25;
const SHORTEST = 4;
const LONGEST = 13.5;
const QUARTER = 12;
/** The least room that a line is made for. */
export const LEAST_ROOM = SHORTEST * QUARTER;
/** The least share of its room that a phrase fills: what is left is silence. */
const LEAST_SHARE = 0.6;
/** Tries at a phrase before the one that is least outside these bounds is taken, where a short form leaves no room. */
const TRIES = 24;

/** What counts as the corpus's quarter note: the beat itself where that is a half note. */
const unitOf = ({ compound, pulse }: Grid): number => (compound ? QUARTER : Math.max(QUARTER, pulse));

/** The silence after a phrase at least. */
const restOf = ({ pulse }: Grid): number => Math.max(QUARTER, pulse);

/** Whole bars for each phrase and the silence after it. */
const periodsOf = (bars: number, grid: Grid, chance: Chance): readonly number[] => {
  const least = Math.ceil((SHORTEST * unitOf(grid) + restOf(grid)) / grid.bar);
  const most = Math.max(least, Math.floor((16 * unitOf(grid)) / grid.bar));
  const periods: number[] = [];
  let left = bars;
  while (left > 0) {
    const done = bars - left;
    const choices: (readonly [number, number])[] = [];
    for (let size = least; size <= Math.min(most, left); size++) {
      if (left - size !== 0 && left - size < least) continue;
      const square = (done + size) % 4 === 0;
      choices.push([size, square ? 12 : size === least && size % 2 === 0 ? 5 : 1]);
    }
    const size = choices.length === 0 ? left : chance.pick(choices);
    periods.push(size);
    left -= size;
  }
  return periods;
};

interface Motif {
  readonly cells: readonly RhythmCell[];
  /** How far into its beat it starts. */
  readonly into: number;
  readonly steps: readonly number[];
}

const STEPS: readonly (readonly [number, number])[] = [
  [1, 25],
  [-1, 27],
  [2, 16],
  [-2, 16],
  [3, 5],
  [-3, 5],
  [0, 3],
];

/** Where a phrase may start, in pulses from its first bar line; negative for a pickup. */
const STARTS: readonly (readonly [number, number])[] = [
  [0, 22],
  [0.5, 24],
  [1, 14],
  [1.5, 12],
  [-0.5, 10],
  [-1, 8],
  [-1.5, 6],
  [2, 4],
];
/** Where there is no room to wait. */
const AT_ONCE: readonly (readonly [number, number])[] = [[0, 1]];
const FIRST_STARTS = STARTS.filter(([start]) => start >= 0);

const lengthsOf = ({ beats, shares }: RhythmCell, pulse: number): readonly number[] => {
  const whole = shares.reduce((sum, share) => sum + Math.abs(share), 0);
  return shares.map((share) => (share * beats * pulse) / whole);
};

interface Spot {
  readonly at: number;
  readonly duration: number;
}

/** Whether a phrase that ends at a moment has to hold its last note for a beat. */
export type Holds = (tick: number) => boolean;

/** Settles the form, the motifs and the rhythm of a line: the first plan in which a motif's rhythm comes back, where there are three phrases or more. */
export const planLine = (
  bars: number,
  grid: Grid,
  grade: Grade,
  values: LineValues | undefined,
  chance: Chance,
  holds: Holds,
): Plan => {
  let plan: Plan;
  do plan = draftPlan(bars, grid, grade, values, chance, holds);
  while (!isAnswered(plan));
  return plan;
};

const OPENING = 4;

const isAnswered = ({ notes, phrases }: Plan): boolean => {
  const openings = phrases.map(({ first }) =>
    notes
      .slice(first + 1, first + OPENING)
      .map((note, i) => note.at - (notes[first + i] as PlannedNote).at)
      .join(),
  );
  return openings.length < 3 || new Set(openings).size < openings.length;
};

const draftPlan = (
  bars: number,
  grid: Grid,
  grade: Grade,
  values: LineValues | undefined,
  chance: Chance,
  holds: Holds,
): Plan => {
  const table = cellsOf(grade, grid, values);
  const periods = periodsOf(bars, grid, chance);
  const motifs: Motif[] = [];
  const notes: PlannedNote[] = [];
  const phrases: PlannedPhrase[] = [];
  const rest = restOf(grid);
  let bar = 0;
  let free = 0;
  let onOne = 0;
  periods.forEach((size, index) => {
    const open = bar * grid.bar;
    const close = open + size * grid.bar;
    const { motif, role, fresh } = chooseMotif(index, periods.length, motifs, chance);
    // What a phrase can wait, or leave to the next one's pickup.
    const slack = size * grid.bar - rest - SHORTEST * unitOf(grid);
    const cramped = slack < grid.pulse;
    const isLast = index === periods.length - 1;
    const starts = cramped
      ? AT_ONCE
      : startsFor(index === 0, grid, motifs[motif], isLast && onOne === index && index > 0, slack);
    let from = open;
    for (let tries = 0; tries < 6; tries++) {
      from = open + chance.pick(starts) * grid.pulse;
      if (from >= free) break;
      from = open;
    }
    if (from === open) onOne += 1;
    // Room for the next phrase's pickup, and a rest before it.
    const pickup = isLast || chance.below(2) === 0 || from - open + grid.pulse > slack ? 0 : grid.pulse;
    const phrase = fillPhrase(
      from,
      isLast && cramped ? close : close - pickup - rest,
      isLast ? () => true : holds,
      table,
      grid,
      motifs[motif],
      chance,
    );
    if (fresh) motifs.push(newMotif(phrase, from, grid, chance));
    const heard = motifs[motif] as Motif;
    const steps = stepsOf(heard, role, chance);
    const first = notes.length;
    phrase.spots.forEach((spot, i) => notes.push({ ...spot, phrase: index, step: steps[i - 1] }));
    const last = notes.length - 1;
    const contour = contourOf(last - first + 1, grade, chance);
    phrases.push({ motif, role, first, last, peak: first + contour.indexOf(Math.max(...contour)), contour });
    const end = notes[last] as PlannedNote;
    free = end.at + end.duration + rest;
    bar += size;
  });
  return { notes, phrases };
};

/** A triplet of sixteenths: where the beat is shorter than a quarter, rhythms with shorter notes are left out. */
const SHORTEST_NOTE = 2;

const cellsOf = (
  grade: Grade,
  grid: Grid,
  values: LineValues | undefined,
): readonly (readonly [RhythmCell, number])[] => {
  const cells = (grid.compound ? grade.compound : cellsWith(grade, values)).filter(([cell]) =>
    lengthsOf(cell, grid.pulse).every((length) => Math.abs(length) >= SHORTEST_NOTE),
  );
  return cells.length === 0 ? [[QUARTER_CELL, 1]] : cells;
};

const cellsWith = (grade: Grade, values: LineValues | undefined): readonly (readonly [RhythmCell, number])[] => {
  if (values === undefined || values === "mixed") return grade.cells;
  const fits = grade.cells.filter(
    ([cell]) => cell.kind === "long" || cell.kind === (values === "eighths" ? "even" : "triplet"),
  );
  return fits.some(([cell]) => cell.kind !== "long") ? fits : [[TRIPLET, 70], ...fits];
};

const chooseMotif = (
  index: number,
  count: number,
  motifs: readonly Motif[],
  chance: Chance,
): { motif: number; role: MotifRole; fresh: boolean } => {
  const mustReturn = index === count - 1 && motifs.length === index;
  const fresh =
    index === 0 ||
    (!mustReturn &&
      motifs.length < 2 &&
      chance.pick([
        [true, 30],
        [false, 70],
      ]));
  if (fresh) return { motif: motifs.length, role: "statement", fresh };
  const role = chance.pick<MotifRole>([
    ["return", 40],
    ["answer", 30],
    ["variation", 30],
  ]);
  return { motif: chance.below(motifs.length), role, fresh };
};

const startsFor = (
  isFirst: boolean,
  grid: Grid,
  motif: Motif | undefined,
  notOnOne: boolean,
  slack: number,
): readonly (readonly [number, number])[] => {
  const halves = (start: number): boolean => !grid.compound || Number.isInteger(start);
  const all = (isFirst ? FIRST_STARTS : STARTS).filter(
    ([start]) => halves(start) && start * grid.pulse <= slack && !(notOnOne && start === 0),
  );
  return motif === undefined ? all : all.filter(([start]) => intoBeat(start * grid.pulse, grid) === motif.into);
};

/** How far into its beat a moment lies. */
const intoBeat = (at: number, { pulse }: Grid): number => ((at % pulse) + pulse) % pulse;

interface Filled {
  readonly spots: readonly Spot[];
  readonly cells: readonly RhythmCell[];
}

const fillPhrase = (
  from: number,
  limit: number,
  holds: Holds,
  table: readonly (readonly [RhythmCell, number])[],
  grid: Grid,
  motif: Motif | undefined,
  chance: Chance,
): Filled => {
  let best: Filled | undefined;
  let least = Infinity;
  for (let tries = 0; tries < TRIES && least > 0; tries++) {
    const room = Math.min(limit - from, LONGEST * unitOf(grid));
    const shortest = Math.min(room, Math.max(SHORTEST * unitOf(grid), Math.round(room * LEAST_SHARE)));
    const wanted = shortest + chance.below(Math.max(1, room - shortest + 1));
    const longer = shortest + chance.below(Math.max(1, room - shortest + 1));
    const filled = fill(from, from + Math.max(wanted, longer), from + room, holds, table, grid, motif, chance);
    const off = outOfBounds(filled, from, grid);
    if (off >= least) continue;
    best = filled;
    least = off;
  }
  return best as Filled;
};

/** By how many notes a phrase is too short or too long; less than one where it has notes enough in too little time. */
const outOfBounds = ({ spots }: Filled, from: number, grid: Grid): number => {
  const end = spots.at(-1) as Spot;
  const brief = end.at + end.duration - from < SHORTEST * unitOf(grid) ? 0.5 : 0;
  return Math.max(FEWEST_NOTES - spots.length, spots.length - MOST_NOTES, brief);
};

/** Beats of notes from a moment up to a last note that ends near another. */
const fill = (
  from: number,
  until: number,
  limit: number,
  holds: Holds,
  table: readonly (readonly [RhythmCell, number])[],
  grid: Grid,
  motif: Motif | undefined,
  chance: Chance,
): Filled => {
  const { pulse } = grid;
  const spots: Spot[] = [];
  const cells: RhythmCell[] = [];
  let at = from;
  const into = intoBeat(at, grid);
  if (into > 0) {
    spots.push({ at, duration: pulse - into });
    at += pulse - into;
  }
  const finalHold = chance.pick<number>([
    [pulse, 50],
    [1.5 * pulse, 20],
    [2 * pulse, 30],
  ]);
  const landing = Math.max(at + pulse, Math.floor((until - finalHold) / pulse) * pulse);
  const early =
    !grid.compound &&
    chance.pick([
      [true, 35],
      [false, 65],
    ]);
  const stop = early ? landing - pulse : landing;
  for (let index = 0; at < stop; index++) {
    const asked = motif?.cells[index];
    const choice = asked ?? chance.pick(table);
    const cell = at + choice.beats * pulse <= stop ? choice : (table[0] as readonly [RhythmCell, number])[0];
    cells.push(cell);
    for (const length of lengthsOf(cell, pulse)) {
      if (length > 0) spots.push({ at, duration: length });
      at += Math.abs(length);
    }
  }
  if (early) {
    spots.push({ at, duration: pulse / 2 });
    at += pulse / 2;
  }
  const hold = early
    ? chance.pick<number>([
        [pulse / 2, 55],
        [1.5 * pulse, 45],
      ])
    : finalHold;
  spots.push({ at, duration: Math.min(holds(at) ? Math.max(hold, pulse) : hold, limit - at) });
  return { spots, cells };
};

const MOTIF_BEATS = 2;
const MOTIF_NOTES = 5;

const newMotif = (phrase: Filled, from: number, grid: Grid, chance: Chance): Motif => {
  const cells: RhythmCell[] = [];
  let beats = 0;
  for (const cell of phrase.cells) {
    if (beats >= MOTIF_BEATS) break;
    cells.push(cell);
    beats += cell.beats;
  }
  const into = intoBeat(from, grid);
  const sounding = cells.flatMap((cell) => cell.shares).filter((share) => share > 0).length + (into > 0 ? 1 : 0);
  const steps: number[] = [];
  while (steps.length < Math.min(MOTIF_NOTES, Math.max(2, sounding)) - 1) {
    const step = chance.pick(STEPS);
    // No turning to and fro: it circles.
    if (steps.length > 1 && step + (steps.at(-1) as number) === 0) continue;
    steps.push(step);
  }
  return { cells, into, steps };
};

const stepsOf = (motif: Motif, role: MotifRole, chance: Chance): readonly number[] => {
  if (role === "answer") return motif.steps.map((step) => 0 - step);
  if (role === "variation") return [...motif.steps.slice(0, -1), chance.pick(STEPS)];
  return motif.steps;
};

type Contour = "arch" | "fall" | "rise" | "bowl";
const HEIGHTS: Readonly<Record<Contour, (share: number) => number>> = {
  arch: (share) => 1 - 2 * Math.abs(share - 0.45) * 2,
  fall: (share) => 1 - 2 * share,
  rise: (share) => 2 * share - 1,
  bowl: (share) => 2 * Math.abs(share - 0.55) * 2 - 1,
};

// Mostly arches: Frieler, K. et al. (2016), 'Telling a story', Empirical Musicology Review 11(1), 68-82.
const CONTOURS: readonly (readonly [Contour, number])[] = [
  ["arch", 45],
  ["fall", 28],
  ["rise", 15],
  ["bowl", 12],
];

const contourOf = (notes: number, grade: Grade, chance: Chance): readonly number[] => {
  const height = HEIGHTS[chance.pick(CONTOURS)];
  const middle = chance.below(2 * 3 + 1) - 3;
  const bend = grade.bend - 2 + chance.below(4);
  return Array.from({ length: notes }, (_, i) => middle + Math.round(bend * height(i / (notes - 1))));
};
