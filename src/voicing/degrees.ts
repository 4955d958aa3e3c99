import type { Degree } from "../pitch/index.ts";
import { degreeInterval } from "../pitch/index.ts";

// Degrees as whole numbers: five alterations to a number, 1 to 15.
const SIGNS = ["bb", "b", "", "#", "##"] as const;
const ALTERATIONS = SIGNS.length;

/** Degree names by whole number. */
export const DEGREES: readonly Degree[] = Array.from({ length: 15 * ALTERATIONS }, (_, id) =>
  `${SIGNS[id % ALTERATIONS] as ""}${Math.floor(id / ALTERATIONS) + 1}` as Degree);

const IDS: ReadonlyMap<string, number> = new Map(DEGREES.map((degree, id) => [degree, id]));
export const DEGREE_COUNT = DEGREES.length;

/** The whole number of a degree. */
export const idOf = (degree: Degree): number => IDS.get(degree) as number;
/** Its number without alteration: 3 for ♭3. */
export const numberOf = (id: number): number => Math.floor(id / ALTERATIONS) + 1;
/** Whether it stands as the major scale has it. */
export const isPlain = (id: number): boolean => SIGNS[id % ALTERATIONS] === "";
/** The degree an octave higher or lower, 13 for 6. */
export const octaveTwin = (id: number): number => (numberOf(id) > 7 ? id - 7 * ALTERATIONS : id + 7 * ALTERATIONS);

const INTERVALS = DEGREES.map(degreeInterval);
/** Steps and semitones over the root, brought within its octave. */
export const SIMPLE: readonly { readonly steps: number; readonly semitones: number }[] = INTERVALS.map(({ steps, semitones }) => {
  const octaves = Math.floor(semitones / 12);
  return { steps: steps - 7 * octaves, semitones: semitones - 12 * octaves };
});
