import { describe, expect, it } from "vitest";
import type { IntervalName, PitchName } from "../../src/pitch/index.ts";
import { interval, midiNumber, parsePitch, pitchName, transpose } from "../../src/pitch/index.ts";
import { lowIntervalBreaches, lowIntervalLimits } from "../../src/voicing/index.ts";

// Low-interval limits, table A: a convention of the arranging textbooks (Lowell & Pullig 2003); figures read in
// open-source code, not in print. Unison and octave are unlimited: common practice, no source.
const TABLE_A: readonly (readonly [IntervalName, number, PitchName, number])[] = [
  ["m2", 1, "E3", 52],
  ["M2", 2, "Eb3", 51],
  ["m3", 3, "C3", 48],
  ["M3", 4, "Bb2", 46],
  ["P4", 5, "Bb2", 46],
  ["A4", 6, "Bb2", 46],
  ["P5", 7, "Bb1", 34],
  ["m6", 8, "G2", 43],
  ["M6", 9, "F2", 41],
  ["m7", 10, "F2", 41],
  ["M7", 11, "F2", 41],
  ["m9", 13, "E2", 40],
  ["M9", 14, "Eb2", 39],
  ["m10", 15, "C2", 36],
  ["M10", 16, "Bb1", 34],
];

describe("low-interval limits", () => {
  it.each(TABLE_A)("arranging-course chart: %s (%i semitones) not below %s", (name, semitones, lowest, midi) => {
    const row = lowIntervalLimits.find((r) => r.semitones === semitones);
    expect(row?.lowest).toBe(lowest);
    expect(midiNumber(parsePitch(lowest))).toBe(midi);
    const at = parsePitch(lowest);
    const below = transpose(at, interval("-m2"));
    expect(lowIntervalBreaches([at, transpose(at, interval(name))])).toEqual([]);
    expect(lowIntervalBreaches([below, transpose(below, interval(name))]).map((breach) => breach.limit)).toEqual([row]);
  });

  it("unison, octave and what is wider than a tenth have no limit (common practice, no source)", () => {
    const low = parsePitch("A0");
    for (const name of ["P1", "P8", "P11", "P15"] as const)
      expect(lowIntervalBreaches([low, transpose(low, interval(name))])).toEqual([]);
    expect(lowIntervalLimits).toHaveLength(TABLE_A.length);
  });

  it("notes that are no neighbours count too", () => {
    expect(
      lowIntervalBreaches(["E2", "B2", "D3"].map((n) => parsePitch(n))).map(
        ({ lower, upper }) => `${pitchName(lower)} ${pitchName(upper)}`,
      ),
    ).toEqual(["E2 D3", "B2 D3"]);
  });

  // The rule of the assumed root, and its example of an inverted Am7: common practice, no source.
  it("a root assumed below tests one interval more, unless the lowest note is the root", () => {
    const inverted = ["C3", "E3", "G3"].map((n) => parsePitch(n));
    expect(lowIntervalBreaches(inverted)).toEqual([]);
    expect(
      lowIntervalBreaches(inverted, { root: "A" }).map(({ lower, limit }) => [pitchName(lower), limit.interval]),
    ).toEqual([["A2", "m3"]]);
    // A2 C3 breaks a limit by itself; A1 below it would break another.
    expect(
      lowIntervalBreaches(
        ["A2", "C3"].map((n) => parsePitch(n)),
        { root: "A" },
      ),
    ).toHaveLength(1);
  });
});
