import * as v from "valibot";
import { kept } from "../ground/memo.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import type { Laid } from "./candidate.ts";
import { topOf, wholeOf } from "./candidate.ts";
import type { Beside } from "./solver.ts";

/** A term that a path can be asked to keep small, beside its motion. */
export interface AimRow {
  readonly id: string;
  readonly title: string;
  /** What one point of it is. */
  readonly point: string;
  readonly source: string;
}

const COMMON = "common practice, no source";

/**
 * The terms that a path weighs, each a whole number of points for a chord or for a step from chord to chord.
 *
 * @example
 * ```ts
 * import { aimCatalogue } from "hands-together/voice-leading";
 *
 * aimCatalogue.map((row) => row.id); // => ["motion", "register", "low", "line", "contrary", "variety", "melody", "open", "closed"]
 * ```
 */
export const aimCatalogue = [
  { id: "motion", title: "little motion", point: "a semitone that a voice moves, under the metric", source: COMMON },
  {
    id: "register",
    title: "the middle of the keyboard",
    point: "a semitone beyond the comfortable part of the register: for rootless forms the top from C4 to A4",
    source:
      "MacDonald, handout 'Rootless Left Hand Piano Voicings', for C4 to C5; that its upper third is seldom used is common practice, no source",
  },
  {
    id: "low",
    title: "no mud",
    point: "an interval below its low-interval limit",
    source: "Lowell & Pullig (2003), by way of open-source code (see lowIntervalLimits)",
  },
  {
    id: "line",
    title: "a top line that sings",
    point: "for its move: none for a step, 1 where it stays, 2 for a third, 4 up to a fifth, then a semitone each",
    source: COMMON,
  },
  {
    id: "contrary",
    title: "contrary to the bass",
    point: "where top and bass move: none for contrary motion, 1 where one of them stays, 2 for one direction",
    source: "contrary motion between the outer voices: common practice, no source",
  },
  {
    id: "variety",
    title: "variety where a chord lasts",
    point: "a voicing repeated on the same chord",
    source: COMMON,
  },
  {
    id: "melody",
    title: "clear below a melody",
    point:
      "3 for a note a semitone or a minor ninth below a note of the melody, 2 for one at or above it, 1 for a top less than a third below it",
    source: COMMON,
  },
  { id: "open", title: "open position", point: "two neighbouring notes a whole tone apart or less", source: COMMON },
  { id: "closed", title: "closed position", point: "two neighbouring notes more than a fourth apart", source: COMMON },
] as const satisfies readonly AimRow[];

/** The ids of {@link aimCatalogue}. */
export type AimId = (typeof aimCatalogue)[number]["id"];

/** How much a point of each term counts; terms that are not named count nothing. */
export type AimWeights = { readonly [id in AimId]?: number | undefined };

/** Named sets of weights. */
export type AimSetId = "smooth" | "pianist";

/**
 * The weights behind the named sets: `"smooth"` is the least motion alone, `"pianist"` what a left hand does in a band. Variety is where more of it
 * changes little more on charts (the table in `docs/harmony.md`).
 */
export const AIM_SETS: Readonly<Record<AimSetId, AimWeights>> = {
  smooth: { motion: 1 },
  pianist: { motion: 2, register: 4, low: 12, line: 3, contrary: 2, variety: 16, melody: 8 },
};

const HEAVIEST = 1000;
const weight = /* @__PURE__ */ v.optional(
  /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.number(),
    /* @__PURE__ */ v.integer(),
    /* @__PURE__ */ v.minValue(0),
    /* @__PURE__ */ v.maxValue(HEAVIEST),
  ),
);

/** A named set, or weights as whole numbers. */
export const aimsSchema = /* @__PURE__ */ v.union([
  /* @__PURE__ */ v.picklist(["smooth", "pianist"]),
  /* @__PURE__ */ v.strictObject({
    motion: weight,
    register: weight,
    low: weight,
    line: weight,
    contrary: weight,
    variety: weight,
    melody: weight,
    open: weight,
    closed: weight,
  }),
]);

export const weightsOf = (aims: AimSetId | AimWeights): AimWeights =>
  typeof aims === "string" ? AIM_SETS[aims] : aims;

/** How many points of each term. */
export type Points = { readonly [id in AimId]: number };

export const NO_POINTS: Points = {
  motion: 0,
  register: 0,
  low: 0,
  line: 0,
  contrary: 0,
  variety: 0,
  melody: 0,
  open: 0,
  closed: 0,
};

/** Points of a chord by itself. */
export const placePoints = (laid: Laid): Points => {
  const { stack, outside, mud, sung = [] } = laid;
  let [open, closed] = [0, 0];
  for (let i = 1; i < stack.length; i++) {
    const gap = (stack[i] ?? 0) - (stack[i - 1] ?? 0);
    if (gap <= 2) open++;
    if (gap > 5) closed++;
  }
  return {
    ...NO_POINTS,
    register: outside,
    low: mud,
    melody: sung.length === 0 ? 0 : melodyPoints(wholeOf(laid), sung),
    open,
    closed,
  };
};

const melodyPoints = (notes: readonly number[], melody: readonly Pitch[]): number => {
  const top = Math.max(...notes);
  let points = 0;
  for (const { semitones } of melody) {
    if (notes.some((note) => semitones - note === 1 || semitones - note === 13)) points += 3;
    if (top >= semitones) points += 2;
    else if (semitones - top < 3) points += 1;
  }
  return points;
};

const linePoints = (move: number): number => {
  const size = Math.abs(move);
  if (size === 0) return 1;
  if (size <= 2) return 0;
  return size <= 4 ? 2 : size <= 7 ? 4 : size - 3;
};

/** What counts of a candidate in a step, beside its motion: numbers that are looked up for every pair. */
interface Outline {
  readonly top: Int32Array;
  /** Pitch class of the bass; below zero where there is none. */
  readonly bass: Int32Array;
  /** The chord, by number; below zero where there is none. */
  readonly symbol: Int32Array;
  readonly candidates: readonly Laid[];
}

const outlineOf = (candidates: readonly Laid[]): Outline => {
  const make = (value: (laid: Laid) => number): Int32Array => Int32Array.from(candidates, value);
  const symbols = new Map<string, number>();
  const basses = new Map<string, number>();
  return {
    top: make(topOf),
    bass: make(({ chord }) =>
      chord?.bass === undefined ? -1 : kept(basses, chord.bass, () => pitchClassOf(chord.bass ?? "C")),
    ),
    symbol: make(({ chord }) => (chord === undefined ? -1 : kept(symbols, chord.symbol, () => symbols.size))),
    candidates,
  };
};

/** Whether two candidates are the same notes. */
export const sameNotes = (a: Laid | undefined, b: Laid | undefined): boolean => {
  if (a === undefined || b === undefined) return false;
  if (a === b) return true;
  const [left, right] = [wholeOf(a), wholeOf(b)];
  return left.length === right.length && left.every((note, i) => note === right[i]);
};

/** What a step costs beside its motion, under weights; no objects, since it is asked for every pair. */
const stepCost = (
  { top, bass, symbol, candidates }: Outline,
  from: number,
  to: number,
  line: number,
  contrary: number,
  variety: number,
): number => {
  const move = (top[to] ?? 0) - (top[from] ?? 0);
  if (symbol[from] !== -1 && symbol[from] === symbol[to])
    return move === 0
      ? variety !== 0 && sameNotes(candidates[from], candidates[to])
        ? variety
        : 0
      : line * linePoints(move);
  const cost = line * linePoints(move);
  const left = bass[from] ?? -1;
  if (contrary === 0 || left < 0) return cost;
  const right = bass[to] ?? -1;
  // The bass goes the shorter way.
  const up = right < 0 ? 0 : (right - left + 12) % 12;
  const way = move * (up <= 6 ? up : up - 12);
  return cost + contrary * (way < 0 ? 0 : way > 0 ? 2 : 1);
};

/** Points of a step, its motion aside. */
export const stepPoints = (from: Laid, to: Laid): Points => {
  const outline = outlineOf([from, to]);
  const only = (line: number, contrary: number, variety: number): number =>
    stepCost(outline, 0, 1, line, contrary, variety);
  return { ...NO_POINTS, line: only(1, 0, 0), contrary: only(0, 1, 0), variety: only(0, 0, 1) };
};

/** Points under weights, summed. */
export const weighed = (points: Points, weights: AimWeights): number =>
  AIM_IDS.reduce((sum, id) => sum + points[id] * (weights[id] ?? 0), 0);

/** What weights make of candidates and of the steps between them, their motion aside. */
export const besideMotion =
  (weights: AimWeights, unit: number) =>
  (candidates: readonly Laid[]): Beside => {
    const outline = outlineOf(candidates);
    const [line, contrary, variety] = [weights.line ?? 0, weights.contrary ?? 0, weights.variety ?? 0];
    return {
      own: (laid) => unit * weighed(placePoints(laid), weights),
      step:
        line + contrary + variety === 0
          ? undefined
          : (from, to) => unit * stepCost(outline, from, to, line, contrary, variety),
    };
  };

export const AIM_IDS: readonly AimId[] = aimCatalogue.map(({ id }) => id);
