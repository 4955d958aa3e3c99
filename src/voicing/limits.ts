import type { IntervalName, NoteName, Pitch, PitchName } from "../pitch/index.ts";
import { interval, parsePitch, pitchAtOrAbove, transpose } from "../pitch/index.ts";

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
 * import { lowIntervalLimits } from "hands-together";
 *
 * lowIntervalLimits.find((row) => row.interval === "m3")?.lowest; // => "C3"
 * ```
 */
export const lowIntervalLimits: readonly LowIntervalLimit[] = [
  { interval: "m2", semitones: 1, lowest: "E3" },
  { interval: "M2", semitones: 2, lowest: "Eb3" },
  { interval: "m3", semitones: 3, lowest: "C3" },
  { interval: "M3", semitones: 4, lowest: "Bb2" },
  { interval: "P4", semitones: 5, lowest: "Bb2" },
  { interval: "A4", semitones: 6, lowest: "Bb2" },
  { interval: "P5", semitones: 7, lowest: "Bb1" },
  { interval: "m6", semitones: 8, lowest: "G2" },
  { interval: "M6", semitones: 9, lowest: "F2" },
  { interval: "m7", semitones: 10, lowest: "F2" },
  { interval: "M7", semitones: 11, lowest: "F2" },
  { interval: "m9", semitones: 13, lowest: "E2" },
  { interval: "M9", semitones: 14, lowest: "Eb2" },
  { interval: "m10", semitones: 15, lowest: "C2" },
  { interval: "M10", semitones: 16, lowest: "Bb1" },
];

const LIMIT_BY_SEMITONES: ReadonlyMap<number, LowIntervalLimit> = new Map(lowIntervalLimits.map((row) => [row.semitones, row]));
const LOWEST_BY_SEMITONES: ReadonlyMap<number, number> = new Map(lowIntervalLimits.map((row) => [row.semitones, parsePitch(row.lowest).semitones]));

const HIGHEST_LIMIT = Math.max(...LOWEST_BY_SEMITONES.values());

/** Two notes that sound lower than their interval allows. */
export interface LowIntervalBreach {
  readonly lower: Pitch;
  readonly upper: Pitch;
  readonly limit: LowIntervalLimit;
}

/**
 * The pairs of notes, neighbours or not, that lie below the low-interval limit of their interval.
 *
 * @param pitches - notes that sound together, from low to high
 * @param assumedRoot - a root that a bass player is taken to add just below the lowest note, tested too (common practice, no source)
 * @returns none when all is clear
 *
 * @example
 * ```ts
 * import { lowIntervalBreaches, pitch } from "hands-together";
 *
 * lowIntervalBreaches([pitch("A2"), pitch("C3")]).length; // => 1
 * lowIntervalBreaches([pitch("C3"), pitch("E3")]).length; // => 0
 * lowIntervalBreaches([pitch("C3"), pitch("E3")], "A").length; // => 1
 * ```
 */
export function lowIntervalBreaches(pitches: readonly Pitch[], assumedRoot?: NoteName): readonly LowIntervalBreach[] {
  const lowest = pitches[0];
  if (lowest === undefined || (assumedRoot === undefined && lowest.semitones >= HIGHEST_LIMIT)) return [];
  const root = assumedRoot === undefined ? undefined : rootBelow(assumedRoot, lowest);
  const sounding = root === undefined ? pitches : [root, ...pitches];
  const breaches: LowIntervalBreach[] = [];
  sounding.forEach((lower, i) => {
    for (let j = i + 1; j < sounding.length; j++) {
      const upper = sounding[j] as Pitch;
      const width = upper.semitones - lower.semitones;
      const floor = LOWEST_BY_SEMITONES.get(width);
      if (floor !== undefined && lower.semitones < floor) breaches.push({ lower, upper, limit: LIMIT_BY_SEMITONES.get(width) as LowIntervalLimit });
    }
  });
  return breaches;
}

// None when the lowest note is the root itself.
const rootBelow = (root: NoteName, lowest: Pitch): Pitch | undefined => {
  const above = pitchAtOrAbove(root, lowest);
  return above.semitones === lowest.semitones ? undefined : transpose(above, interval("-P8"));
};
