import * as v from "valibot";
import type { NoteName, Pitch } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import type { VoicingCandidate } from "./candidate.ts";
import { moving } from "./candidate.ts";

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

/** The weights behind the named sets: `"smooth"` is the least motion alone, `"pianist"` what a left hand does in a band. */
export const AIM_SETS: Readonly<Record<AimSetId, AimWeights>> = {
  smooth: { motion: 1 },
  pianist: { motion: 2, register: 4, low: 12, line: 3, contrary: 2, variety: 8, melody: 8 },
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

/** Points of a chord by itself, `melody` being what is sung or played over it. */
export const placePoints = (
  candidate: VoicingCandidate,
  melody: readonly Pitch[] = [],
): Partial<Record<AimId, number>> => {
  const notes = candidate.pitches.map(({ semitones }) => semitones);
  const upper = moving(candidate).map(({ semitones }) => semitones);
  const gaps = upper.slice(1).map((note, i) => note - (upper[i] ?? note));
  return {
    register: candidate.outside ?? 0,
    low: candidate.mud ?? 0,
    melody: melody.length === 0 ? 0 : melodyPoints(notes, melody),
    open: gaps.filter((gap) => gap <= 2).length,
    closed: gaps.filter((gap) => gap > 5).length,
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

const topOf = (candidate: VoicingCandidate): number => Math.max(...moving(candidate).map(({ semitones }) => semitones));

const linePoints = (move: number): number => {
  const size = Math.abs(move);
  if (size === 0) return 1;
  if (size <= 2) return 0;
  return size <= 4 ? 2 : size <= 7 ? 4 : size - 3;
};

// The bass goes the shorter way.
const bassMove = (from: NoteName | undefined, to: NoteName | undefined): number => {
  if (from === undefined || to === undefined) return 0;
  const up = (pitchClassOf(to) - pitchClassOf(from) + 12) % 12;
  return up <= 6 ? up : up - 12;
};

const sameNotes = (a: VoicingCandidate, b: VoicingCandidate): boolean =>
  a.pitches.length === b.pitches.length && a.pitches.every(({ semitones }, i) => semitones === b.pitches[i]?.semitones);

/** Points of a step, its motion aside. */
export const stepPoints = (from: VoicingCandidate, to: VoicingCandidate): Partial<Record<AimId, number>> => {
  const top = topOf(to) - topOf(from);
  const bass = bassMove(from.chord?.bass, to.chord?.bass);
  const same = from.chord !== undefined && from.chord.symbol === to.chord?.symbol;
  return {
    line: same && top === 0 ? 0 : linePoints(top),
    contrary: same || from.chord?.bass === undefined ? 0 : top * bass < 0 ? 0 : top * bass > 0 ? 2 : 1,
    variety: same && sameNotes(from, to) ? 1 : 0,
  };
};

const IDS: readonly AimId[] = aimCatalogue.map(({ id }) => id);

/** Points under weights, summed. */
export const weighed = (points: Partial<Record<AimId, number>>, weights: AimWeights): number =>
  IDS.reduce((sum, id) => sum + (points[id] ?? 0) * (weights[id] ?? 0), 0);

export { IDS as AIM_IDS };
