import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { degreeOver, formatDegree, parseChord } from "../../src/chord/index.ts";
import type { NoteName } from "../../src/pitch/index.ts";
import { degreeInterval, noteInterval, simple } from "../../src/pitch/index.ts";

const notes = fc
  .tuple(fc.constantFrom("C", "D", "E", "F", "G", "A", "B"), fc.constantFrom("b", "", "#"))
  .map(([letter, accidental]) => `${letter}${accidental}` as NoteName);

describe("degree", () => {
  it("law: the interval of the degree of a note over a root is the interval between them", () => {
    fc.assert(
      fc.property(notes, notes, (root, note) => {
        const between = noteInterval(root, note);
        const plain = degreeInterval(`${between.steps + 1}` as "1").semitones;
        fc.pre(Math.abs(between.semitones - plain) <= 2);
        expect(degreeInterval(degreeOver(root, note))).toEqual(between);
      }),
    );
  });

  it("law: a chord's own tones are found by the letter of their degree", () => {
    for (const symbol of ["C13(b9)", "Ebm11", "F#dim7", "Ab7alt", "Bm7b5"]) {
      const chord = parseChord(symbol);
      for (const { degree, note } of chord.tones)
        expect(degreeInterval(degreeOver(chord.root, note))).toEqual(simple(degreeInterval(degree)));
    }
  });

  // Counted on the fingers; common practice, no source.
  it.each([
    ["C", "Eb", "b3"],
    ["C", "C", "1"],
    ["C", "Cb", "b1"],
    ["C", "C#", "#1"],
    ["G", "C#", "#4"],
    ["F", "B", "#4"],
    ["B", "F", "b5"],
    ["Cb", "F#", "##4"],
    ["C#", "Bb", "bb7"],
    ["Ab", "G", "7"],
  ] as const)("over %s, %s is the degree %s", (root, note, degree) => expect(degreeOver(root, note)).toBe(degree));

  it("refuses what is no note", () => {
    expect(() => degreeOver("H" as "B", "C")).toThrowError(expect.objectContaining({ code: "pitch/name", input: "H" }));
    expect(() => degreeOver("C", "4" as "B")).toThrowError(expect.objectContaining({ code: "pitch/name", input: "4" }));
  });

  it("prints ♭ and ♯ for every accidental", () => {
    expect((["1", "b3", "#11", "bb7", "##4"] as const).map(formatDegree)).toEqual(["1", "♭3", "♯11", "♭♭7", "♯♯4"]);
  });
});
