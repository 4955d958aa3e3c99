import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Interval } from "../../src/pitch/index.ts";
import {
  addIntervals,
  degreeInterval,
  interval,
  intervalBetween,
  intervalName,
  invert,
  negate,
  parseInterval,
  parsePitch,
  simple,
  transpose,
} from "../../src/pitch/index.ts";
import { anyInterval, anyPitch } from "./generators.ts";

// Schmidt-Jones, C., "Interval", Connexions/OpenStax CNX module m10867 v2.23 (CC-BY 1.0); the same text in
// Understanding Basic Music Theory (2013), p. 133. Read in source. Rows: name, semitones, diatonic steps.
const MAIN = [
  ["P1", 0, 0],
  ["m2", 1, 1],
  ["M2", 2, 1],
  ["m3", 3, 2],
  ["M3", 4, 2],
  ["P4", 5, 3],
  ["A4", 6, 3],
  ["d5", 6, 4],
  ["P5", 7, 4],
  ["m6", 8, 5],
  ["M6", 9, 5],
  ["m7", 10, 6],
  ["M7", 11, 6],
  ["P8", 12, 7],
  ["m9", 13, 8],
  ["M9", 14, 8],
  ["m10", 15, 9],
  ["M10", 16, 9],
  ["P11", 17, 10],
  ["A11", 18, 10],
  ["d12", 18, 11],
  ["P12", 19, 11],
  ["m13", 20, 12],
  ["M13", 21, 12],
  ["m14", 22, 13],
  ["M14", 23, 13],
  ["P15", 24, 14],
] as const;

// The same source gives the rule (augmented: a half step wider, diminished: narrower); the values were computed from it.
const ENHARMONIC = [
  ["A1", 1, 0],
  ["d2", 0, 1],
  ["A2", 3, 1],
  ["d3", 2, 2],
  ["A3", 5, 2],
  ["d4", 4, 3],
  ["A5", 8, 4],
  ["d6", 7, 5],
  ["A6", 10, 5],
  ["d7", 9, 6],
  ["A7", 12, 6],
  ["d8", 11, 7],
  ["A8", 13, 7],
  ["d9", 12, 8],
  ["A9", 15, 8],
  ["d10", 14, 9],
  ["d11", 16, 10],
  ["A12", 20, 11],
  ["d13", 19, 12],
  ["A13", 22, 12],
] as const;

// Examples from C4 of the same table: name, upper note.
const EXAMPLES = [
  ["m2", "C4", "Db4"],
  ["M2", "C4", "D4"],
  ["m3", "C4", "Eb4"],
  ["M3", "C4", "E4"],
  ["P4", "C4", "F4"],
  ["A4", "C4", "F#4"],
  ["A4", "F4", "B4"],
  ["d5", "C4", "Gb4"],
  ["d5", "B3", "F4"],
  ["P5", "C4", "G4"],
  ["m6", "C4", "Ab4"],
  ["M6", "C4", "A4"],
  ["m7", "C4", "Bb4"],
  ["M7", "C4", "B4"],
  ["m9", "C4", "Db5"],
  ["M9", "C4", "D5"],
  ["A11", "C4", "F#5"],
  ["m13", "C4", "Ab5"],
  ["M13", "C4", "A5"],
  ["A2", "C4", "D#4"],
  ["d4", "C4", "Fb4"],
  ["d4", "E4", "Ab4"],
  ["A5", "C4", "G#4"],
  ["A6", "C4", "A#4"],
  ["A6", "Ab3", "F#4"],
  ["d7", "C4", "Bbb4"],
  ["d7", "B3", "Ab4"],
  ["A9", "C4", "D#5"],
] as const;

// Rule read in source: M<->m, A<->d, P<->P, the numbers add to 9; worked there: M2->m7, M6->m3, P1->P8, P4->P5, A4->d5, d7->A2.
const INVERSIONS = [
  ["P1", "P8"],
  ["m2", "M7"],
  ["M2", "m7"],
  ["m3", "M6"],
  ["M3", "m6"],
  ["P4", "P5"],
  ["A4", "d5"],
  ["d5", "A4"],
  ["P5", "P4"],
  ["m6", "M3"],
  ["M6", "m3"],
  ["m7", "M2"],
  ["M7", "m2"],
  ["P8", "P1"],
  ["A1", "d8"],
  ["d2", "A7"],
  ["A2", "d7"],
  ["d3", "A6"],
  ["A3", "d6"],
  ["d4", "A5"],
  ["A5", "d4"],
  ["d6", "A3"],
  ["A6", "d3"],
  ["d7", "A2"],
  ["A7", "d2"],
  ["d8", "A1"],
] as const;

describe("interval", () => {
  it.each([...MAIN, ...ENHARMONIC])(
    "Schmidt-Jones 2013, interval table: %s is %i semitones and %i steps",
    (name, semitones, steps) => {
      expect(parseInterval(name)).toEqual({ kind: "interval", steps, semitones });
      expect(intervalName({ kind: "interval", steps, semitones })).toBe(name);
    },
  );

  // The source's rule, carried on by halves of a step: a major or perfect interval widened, a minor or perfect one narrowed.
  it.each(MAIN.filter(([name]) => "PMm".includes(name.charAt(0)) && name !== "P1"))(
    "Schmidt-Jones 2013, augmented and diminished: %s widened and narrowed up to three times",
    (name, semitones, steps) => {
      for (const times of [1, 2, 3]) {
        for (const [sign, by] of [
          ["A", times],
          ["d", -times],
        ] as const) {
          if (name.startsWith(sign === "A" ? "m" : "M")) continue;
          const altered = sign.repeat(times) + (steps + 1);
          expect(parseInterval(altered)).toEqual({ kind: "interval", steps, semitones: semitones + by });
          expect(intervalName({ kind: "interval", steps, semitones: semitones + by })).toBe(altered);
        }
      }
      expect(() => intervalName({ kind: "interval", steps, semitones: semitones + 5 })).toThrowError(
        expect.objectContaining({
          code: "pitch/interval",
          reason: "cannot-be-done",
          input: { kind: "interval", steps, semitones: semitones + 5 },
        }),
      );
    },
  );

  it("reads a name that the type checker has read", () => {
    expect(interval("-M9")).toEqual({ kind: "interval", steps: -8, semitones: -14 });
    expect(negate(interval("P1"))).toEqual({ kind: "interval", steps: 0, semitones: 0 });
  });

  it.each(EXAMPLES)("Schmidt-Jones 2013, examples: %s leads from %s to %s", (name, from, to) => {
    expect(transpose(parsePitch(from), parseInterval(name))).toEqual(parsePitch(to));
    expect(intervalName(intervalBetween(parsePitch(from), parsePitch(to)))).toBe(name);
  });

  it.each(INVERSIONS)("Schmidt-Jones 2013, inversion: %s becomes %s", (name, inverted) => {
    expect(intervalName(invert(parseInterval(name)))).toBe(inverted);
  });

  it.each(MAIN.filter(([, , steps]) => steps > 7 && steps < 14))(
    "Schmidt-Jones 2013, compound intervals: %s keeps its quality and loses seven in number",
    (name, semitones, steps) => {
      expect(intervalName(simple(parseInterval(name)))).toBe(`${name.charAt(0)}${steps + 1 - 7}`);
      expect(simple(parseInterval(name)).semitones).toBe(semitones - 12);
    },
  );

  it("law: the simple form lies within an octave in the same direction, whole octaves away; an octave and its multiples become an octave", () => {
    fc.assert(
      fc.property(anyInterval, fc.integer({ min: 0, max: 4 }), (i, octaves) => {
        const form = simple(addIntervals(i, { kind: "interval", steps: 7 * octaves, semitones: 12 * octaves }));
        const less = {
          steps: i.steps + 7 * octaves - form.steps,
          semitones: i.semitones + 12 * octaves - form.semitones,
        };
        expect(less.steps * 12).toBe(less.semitones * 7);
        expect(Math.abs(less.steps) % 7).toBe(0);
        expect(Math.abs(form.steps)).toBeLessThanOrEqual(7);
        expect(form.steps * less.steps).toBeGreaterThanOrEqual(0);
      }),
    );
    expect(["P1", "P8", "P15", "-P15", "-M9", "P22"].map((name) => intervalName(simple(parseInterval(name))))).toEqual([
      "P1",
      "P8",
      "P8",
      "-P8",
      "-M2",
      "P8",
    ]);
  });

  it("law: an interval and its inversion sum to an octave", () => {
    fc.assert(
      fc.property(fc.constantFrom(...[...MAIN, ...ENHARMONIC].filter(([, , steps]) => steps <= 7)), ([name]) => {
        const i = parseInterval(name);
        expect(intervalName(addIntervals(i, invert(i)))).toBe("P8");
      }),
    );
  });

  it("law: transposing is a group action: by a then by b is by a + b, and by -a undoes a", () => {
    fc.assert(
      fc.property(anyPitch, anyInterval, anyInterval, (p, a, b) => {
        expect(transpose(transpose(p, a), b)).toEqual(transpose(p, addIntervals(a, b)));
        expect(transpose(transpose(p, a), negate(a))).toEqual(p);
        expect(transpose(p, parseInterval("P1"))).toEqual(p);
      }),
    );
  });

  it("law: the distance between two pitches, transposed by, returns the second", () => {
    fc.assert(
      fc.property(anyPitch, anyPitch, (a, b) => {
        expect(transpose(a, intervalBetween(a, b))).toEqual(b);
      }),
    );
  });

  it("law: reading an interval's name gives the interval back", () => {
    const named = fc.constantFrom(...[...MAIN, ...ENHARMONIC].map(([name]) => name));
    fc.assert(
      fc.property(named, fc.boolean(), (name, falls) => {
        const i: Interval = falls ? negate(parseInterval(name)) : parseInterval(name);
        fc.pre(i.steps !== 0 || i.semitones >= 0); // an augmented unison that falls has no name of its own
        expect(parseInterval(intervalName(i))).toEqual(i);
      }),
    );
  });

  // How chord symbols count their degrees; common practice, no source.
  it.each([
    ["b3", "m3"],
    ["#11", "A11"],
    ["bb7", "d7"],
    ["b9", "m9"],
    ["#9", "A9"],
    ["b13", "m13"],
    ["#5", "A5"],
    ["13", "M13"],
    ["##4", "AA4"],
    ["#2", "A2"],
    ["15", "P15"],
  ] as const)("the degree %s is the interval %s above the root", (degree, name) =>
    expect(degreeInterval(degree)).toEqual(parseInterval(name)),
  );

  it.each(["", "3", "M5", "P3", "m", "M0", "m-3", "P4 ", "AAAA4", "X3", "xP4", undefined, null, 4, ["P4"]])(
    "refuses %j with one MusicError",
    (text) => {
      expect(() => parseInterval(text as string)).toThrowError(
        expect.objectContaining({ code: "pitch/interval", input: text, reason: "bad-input" }),
      );
    },
  );

  it("tells which qualities a number has, where that is what is wrong", () => {
    expect(() => parseInterval("M5")).toThrowError(
      expect.objectContaining({ hint: expect.stringMatching(/^a 5 is perfect,/) as string }),
    );
    expect(() => parseInterval("P3")).toThrowError(
      expect.objectContaining({ hint: expect.stringMatching(/^a 3 is major, minor,/) as string }),
    );
    expect(() => parseInterval("X3")).toThrowError(expect.not.objectContaining({ hint: expect.anything() as unknown }));
  });

  it.each(["", "0", "16", "b", "bbb3", "###3", "b#3", "3b", "x3", undefined, null, 3, ["3"]])(
    "refuses the degree %j and shows some",
    (text) => {
      expect(() => degreeInterval(text as "3")).toThrowError(
        expect.objectContaining({
          code: "pitch/degree",
          input: text,
          expected: expect.stringContaining("1 to 15") as string,
        }),
      );
    },
  );

  it("refuses to invert what is wider than an octave or falls", () => {
    expect(() => invert(parseInterval("M9"))).toThrowError(
      expect.objectContaining({ code: "pitch/invert", hint: expect.stringContaining("simple()") as string }),
    );
    expect(() => invert(parseInterval("-m3"))).toThrowError(expect.objectContaining({ code: "pitch/invert" }));
  });
});
