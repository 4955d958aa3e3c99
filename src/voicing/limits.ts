import * as v from "valibot";
import { check } from "../ground/check.ts";
import type { IntervalName, NoteName, Pitch, PitchName } from "../pitch/index.ts";
import { parsePitch, pitchAtOrAbove, transpose } from "../pitch/index.ts";
import { pitchOf } from "../pitch/inner.ts";
import { OCTAVE_DOWN } from "./place.ts";
import { namedPitchesSchema, noteSchema } from "./shape.ts";

/** How low the lower note of an interval may lie before the interval turns muddy. */
export interface LowIntervalLimit {
  readonly interval: IntervalName;
  readonly semitones: number;
  /** The lowest lower note. */
  readonly lowest: PitchName;
}

/**
 * Low-interval limits, minor second to major tenth; unison and octave have none.
 *
 * Source: a convention of the arranging textbooks, which may be bent; the figures were read in open-source code
 * that follows the usual arranging-course chart (Lowell & Pullig 2003), not in print. Charts differ on the tritone
 * (B♭2 or B2) and the minor sixth (F2, G2 or A♭2).
 *
 * @example
 * ```ts
 * import { lowIntervalLimits } from "hands-together/voicing";
 *
 * lowIntervalLimits.find((row) => row.interval === "m3")?.lowest; // => "C3"
 * ```
 */
export const lowIntervalLimits: readonly LowIntervalLimit[] = (
  [
    ["m2", 1, "E3"],
    ["M2", 2, "Eb3"],
    ["m3", 3, "C3"],
    ["M3", 4, "Bb2"],
    ["P4", 5, "Bb2"],
    ["A4", 6, "Bb2"],
    ["P5", 7, "Bb1"],
    ["m6", 8, "G2"],
    ["M6", 9, "F2"],
    ["m7", 10, "F2"],
    ["M7", 11, "F2"],
    ["m9", 13, "E2"],
    ["M9", 14, "Eb2"],
    ["m10", 15, "C2"],
    ["M10", 16, "Bb1"],
  ] as const
).map(([interval, semitones, lowest]) => ({ interval, semitones, lowest }));

const LIMITS: ReadonlyMap<number, { readonly limit: LowIntervalLimit; readonly floor: number }> = new Map(
  lowIntervalLimits.map((limit) => [limit.semitones, { limit, floor: parsePitch(limit.lowest).semitones }]),
);

const HIGHEST_LIMIT = Math.max(...[...LIMITS.values()].map(({ floor }) => floor));

const optionsSchema = /* @__PURE__ */ v.strictObject({ root: /* @__PURE__ */ v.optional(noteSchema) });

/** Two notes that sound lower than their interval allows. */
export interface LowIntervalBreach {
  readonly lower: Pitch;
  readonly upper: Pitch;
  readonly limit: LowIntervalLimit;
}

/** Options of {@link lowIntervalBreaches}. */
export interface LowIntervalOptions {
  /** A root that a bass player is taken to add just below the lowest note, tested too (common practice, no source). @defaultValue none */
  readonly root?: NoteName | undefined;
}

/**
 * The pairs of notes, neighbours or not, that lie below the low-interval limit of their interval.
 *
 * @param pitches - notes that sound together, from low to high
 * @returns none when all is clear
 *
 * @example
 * ```ts
 * import { pitch } from "hands-together";
 * import { lowIntervalBreaches } from "hands-together/voicing";
 *
 * lowIntervalBreaches([pitch("A2"), pitch("C3")]).length; // => 1
 * lowIntervalBreaches(["C3", "E3"]).length; // => 0
 * lowIntervalBreaches([pitch("C3"), pitch("E3")], { root: "A" }).length; // => 1
 * ```
 */
export function lowIntervalBreaches(
  pitches: readonly (Pitch | PitchName)[],
  options: LowIntervalOptions = {},
): readonly LowIntervalBreach[] {
  check(namedPitchesSchema, pitches, "voicing/argument");
  check(optionsSchema, options, "voicing/argument");
  return breachesOf(pitches.map(pitchOf), options.root);
}

/** As {@link lowIntervalBreaches}, of what has been checked. */
export const breachesOf = (
  pitches: readonly Pitch[],
  assumedRoot: NoteName | undefined,
): readonly LowIntervalBreach[] => {
  const lowest = pitches[0];
  if (lowest === undefined || (assumedRoot === undefined && lowest.semitones >= HIGHEST_LIMIT)) return [];
  const root = assumedRoot === undefined ? undefined : rootBelow(assumedRoot, lowest);
  const sounding = root === undefined ? pitches : [root, ...pitches];
  const breaches: LowIntervalBreach[] = [];
  for (const [i, lower] of sounding.entries()) {
    for (const upper of sounding.slice(i + 1)) {
      const found = LIMITS.get(upper.semitones - lower.semitones);
      if (found !== undefined && lower.semitones < found.floor) breaches.push({ lower, upper, limit: found.limit });
    }
  }
  return breaches;
};

// The limits by the number of semitones; none is below every note.
const FLOORS: readonly number[] = Array.from({ length: 18 }, (_, semitones) => LIMITS.get(semitones)?.floor ?? 0);

/** How many pairs {@link breachesOf} would find, in numbers: a stack over its base, over a struck bass where there is one. */
export const countBreaches = (
  stack: readonly number[],
  base: number,
  bass: number | undefined,
  assumedRoot: NoteName | undefined,
  rootAtZero: Pitch,
): number => {
  const lowest = bass ?? base + (stack[0] ?? 0);
  if (assumedRoot === undefined && lowest >= HIGHEST_LIMIT) return 0;
  let count = 0;
  const against = (lower: number, from: number): void => {
    for (let i = from; i < stack.length; i++) {
      const above = base + (stack[i] ?? 0) - lower;
      if (above < FLOORS.length && lower < (FLOORS[above] ?? 0)) count++;
    }
  };
  if (bass !== undefined) against(bass, 0);
  for (let i = 0; i < stack.length; i++) against(base + (stack[i] ?? 0), i + 1);
  if (assumedRoot === undefined) return count;
  // None where the lowest note is the root itself.
  const below = (((lowest - rootAtZero.semitones) % 12) + 12) % 12;
  if (below === 0) return count;
  const root = lowest - below;
  if (bass !== undefined && root < (FLOORS[bass - root] ?? 0)) count++;
  against(root, 0);
  return count;
};

// None when the lowest note is the root itself.
const rootBelow = (root: NoteName, lowest: Pitch): Pitch | undefined => {
  const above = pitchAtOrAbove(root, lowest);
  return above.semitones === lowest.semitones ? undefined : transpose(above, OCTAVE_DOWN);
};
