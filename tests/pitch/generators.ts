import fc from "fast-check";
import type { Interval, Pitch } from "../../src/pitch/index.ts";
import { parsePitch, transpose } from "../../src/pitch/index.ts";

/** Pitches with at most three accidentals, octaves 0 to 8. */
export const namedPitch: fc.Arbitrary<Pitch> = fc
  .tuple(
    fc.constantFrom("C", "D", "E", "F", "G", "A", "B"),
    fc.constantFrom("bbb", "bb", "b", "", "#", "##", "###"),
    fc.integer({ min: 0, max: 8 }),
  )
  .map(([letter, accidental, octave]) => parsePitch(`${letter}${accidental}${octave}`));

/** Any interval as a pair of integers within two octaves, plausible or not. */
export const anyInterval: fc.Arbitrary<Interval> = fc
  .tuple(fc.integer({ min: -14, max: 14 }), fc.integer({ min: -26, max: 26 }))
  .map(([steps, semitones]) => ({ kind: "interval", steps, semitones }));

/** Any pitch as a pair of integers: a named one moved by any interval. */
export const anyPitch: fc.Arbitrary<Pitch> = fc.tuple(namedPitch, anyInterval).map(([p, i]) => transpose(p, i));
