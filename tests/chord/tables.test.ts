import { describe, expect, it } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import { musicXmlHarmony } from "../../src/musicxml/index.ts";
import { HARMONY_KINDS } from "../../src/musicxml/kinds.ts";
import { semitonesOf } from "./symbols.ts";

const tonesOf = (symbol: string) => parseChord(symbol).tones.map((tone) => tone.note);
const degreesOf = (symbol: string) => parseChord(symbol).tones.map((tone) => tone.degree);

// W3C Music Notation Community Group, MusicXML 4.0 (2021), musicxml.xsd, simple type kind-value (verified: read in source).
// The last column is a symbol that means the kind, common practice; 11 is no part of a jazz 13, so those kinds need it added.
const KINDS: readonly (readonly [kind: string, degrees: string, semitones: string, symbol: string])[] = [
  ["major", "1 3 5", "0 4 7", "C"],
  ["minor", "1 b3 5", "0 3 7", "Cm"],
  ["augmented", "1 3 #5", "0 4 8", "C+"],
  ["diminished", "1 b3 b5", "0 3 6", "Co"],
  ["dominant", "1 3 5 b7", "0 4 7 10", "C7"],
  ["major-seventh", "1 3 5 7", "0 4 7 11", "CΔ"],
  ["minor-seventh", "1 b3 5 b7", "0 3 7 10", "C-7"],
  ["diminished-seventh", "1 b3 b5 bb7", "0 3 6 9", "C°7"],
  ["augmented-seventh", "1 3 #5 b7", "0 4 8 10", "C+7"],
  ["half-diminished", "1 b3 b5 b7", "0 3 6 10", "Cø"],
  ["major-minor", "1 b3 5 7", "0 3 7 11", "Cm(maj7)"],
  ["major-sixth", "1 3 5 6", "0 4 7 9", "C6"],
  ["minor-sixth", "1 b3 5 6", "0 3 7 9", "Cm6"],
  ["dominant-ninth", "1 3 5 b7 9", "0 4 7 10 14", "C9"],
  ["major-ninth", "1 3 5 7 9", "0 4 7 11 14", "Cmaj9"],
  ["minor-ninth", "1 b3 5 b7 9", "0 3 7 10 14", "Cm9"],
  ["dominant-11th", "1 3 5 b7 9 11", "0 4 7 10 14 17", "C11"],
  ["major-11th", "1 3 5 7 9 11", "0 4 7 11 14 17", "Cmaj11"],
  ["minor-11th", "1 b3 5 b7 9 11", "0 3 7 10 14 17", "Cm11"],
  ["dominant-13th", "1 3 5 b7 9 11 13", "0 4 7 10 14 17 21", "C13(add11)"],
  ["major-13th", "1 3 5 7 9 11 13", "0 4 7 11 14 17 21", "Cmaj13(add11)"],
  ["minor-13th", "1 b3 5 b7 9 11 13", "0 3 7 10 14 17 21", "Cm13(add11)"],
  ["suspended-second", "1 2 5", "0 2 7", "Csus2"],
  ["suspended-fourth", "1 4 5", "0 5 7", "Csus"],
  ["power", "1 5", "0 7", "C5"],
];
// The other kinds of the same type: a function, a pedal, or none, so no symbol asks for them.
const UNBUILT = ["Neapolitan", "Italian", "French", "German", "pedal", "Tristan", "other", "none"];

describe("MusicXML 4.0, kind-value", () => {
  it("MusicXML 4.0: 33 kinds, 25 of them built of degrees", () => {
    expect(KINDS.length + UNBUILT.length).toBe(33);
    expect(HARMONY_KINDS.map((row) => [row.kind, row.degrees.join(" ")])).toEqual(
      KINDS.map(([kind, degrees]) => [kind, degrees]),
    );
  });

  it.each(KINDS)("MusicXML 4.0: %s is %s", (kind, degrees, semitones, symbol) => {
    expect(degreesOf(symbol)).toEqual(degrees.split(" "));
    expect(degreesOf(symbol).map(semitonesOf)).toEqual(semitones.split(" ").map(Number));
    expect(musicXmlHarmony(parseChord(symbol))).toMatchObject({ root: "C", kind, degrees: [] });
  });
});

// Spelling follows the kinds above; tensions follow Terefenko, D. (2014), Jazz Theory, ch. 5 abstract, and MacDonald's handout
// (verified: kinds read in source, spelling derived). Degrees are (value, alter, type).
const SPELLED: readonly (readonly [
  symbol: string,
  tones: string,
  kind: string,
  degrees: readonly (readonly [number, number, string])[],
])[] = [
  ["C6", "C E G A", "major-sixth", []],
  ["Cmaj7", "C E G B", "major-seventh", []],
  ["Cmaj7#11", "C E G B F#", "major-seventh", [[11, 1, "add"]]],
  ["Cm7", "C Eb G Bb", "minor-seventh", []],
  ["Cm11", "C Eb G Bb D F", "minor-11th", []],
  ["CmMaj7", "C Eb G B", "major-minor", []],
  ["Cdim7", "C Eb Gb Bbb", "diminished-seventh", []],
  ["C9", "C E G Bb D", "dominant-ninth", []],
  ["C7b9", "C E G Bb Db", "dominant", [[9, -1, "add"]]],
  ["C7#11", "C E G Bb F#", "dominant", [[11, 1, "add"]]],
  ["C7#5", "C E G# Bb", "augmented-seventh", []],
  // The table says "add b7"; by `degree-alter` an added degree is counted against a dominant chord, whose 7 is minor, so alter is 0.
  ["C7sus4", "C F G Bb", "suspended-fourth", [[7, 0, "add"]]],
];

describe("symbols spelled in C", () => {
  it.each(SPELLED)("MusicXML kinds with Terefenko's tensions: %s is %s", (symbol, tones, kind, degrees) => {
    expect([...tonesOf(symbol)].sort()).toEqual(tones.split(" ").sort());
    expect(musicXmlHarmony(parseChord(symbol))).toMatchObject({
      kind,
      degrees: degrees.map(([value, alter, type]) => ({ value, alter, type })),
    });
  });
});

describe("naming rules", () => {
  // MacDonald, E. (University of Connecticut), handout "Rootless Left Hand Piano Voicings" (verified: read in source).
  it("MacDonald: 9 implies 7; 11 implies 9 and 7; 13 implies 9 and 7 but not 11", () => {
    expect(degreesOf("C9")).toEqual(expect.arrayContaining(["b7", "9"]));
    expect(degreesOf("C11")).toEqual(expect.arrayContaining(["b7", "9", "11"]));
    expect(degreesOf("C13")).toEqual(expect.arrayContaining(["b7", "9", "13"]));
    for (const symbol of ["C13", "Cm13", "Cmaj13"]) {
      expect(degreesOf(symbol)).not.toContain("11");
      expect(degreesOf(symbol)).not.toContain("#11");
    }
  });

  // Garcia, A. J., "Clear Chord Symbols", banddirector.com (verified: read in source).
  it("Garcia: with a 7th present a 6th is called 13; a number alone has a minor 7th", () => {
    for (const symbol of ["C7(6)", "C7/6", "C7add6", "Cmaj7add6", "Cm7(6)"]) expect(degreesOf(symbol)).toContain("13");
    for (const symbol of ["C7(6)", "Cmaj7add6"]) expect(degreesOf(symbol)).not.toContain("6");
    for (const symbol of ["C7", "C9", "C11", "C13"]) expect(degreesOf(symbol)).toContain("b7");
  });

  // Public note page cuppajoeman.com (low authority), matching the chromatic extensions of Terefenko, Jazz Theory, ch. 5 (abstract).
  it("altered dominants: alt is the dominant with b9 #9 #11 b13", () => {
    const tensions = degreesOf("C7alt").filter((degree) => !["1", "3", "5", "b7"].includes(degree));
    expect(tensions).toEqual(["b9", "#9", "#11", "b13"]);
    expect(tensions.map((degree) => semitonesOf(degree) % 12)).toEqual([1, 3, 6, 8]);
  });

  // Terefenko, D. (2014). Jazz Theory. Routledge, ch. 5 abstract, DOI 10.4324/9780203380000-13 (verified: read in source).
  it.each([
    ["Cmaj7", ["9", "13", "#11"]],
    ["Cm7", ["9", "11", "13", "b13", "#11"]],
    ["Cm7b5", ["9", "11", "b13"]],
    ["Cdim7", ["9", "11", "b13"]],
    ["C7", ["9", "13", "b9", "#9", "#11", "b13"]],
    ["C7sus4", ["9", "13", "b9", "#9", "b13"]],
  ] as const)("Terefenko: %s takes its family's extensions, added one by one and all at once", (symbol, extensions) => {
    const plain = degreesOf(symbol);
    for (const extension of extensions) expect(degreesOf(`${symbol}(${extension})`)).toEqual([...plain, extension]);
    const all = degreesOf(`${symbol}(${extensions.map((extension) => `add${extension}`).join(",")})`);
    expect([...all].sort()).toEqual([...plain, ...extensions].sort());
  });

  it.each(["Cmaj7", "C7"])("Terefenko: %s takes b5 and #5 in place of its fifth", (symbol) => {
    for (const fifth of ["b5", "#5"] as const)
      expect(degreesOf(symbol + fifth)).toEqual(degreesOf(symbol).map((degree) => (degree === "5" ? fifth : degree)));
  });
});
