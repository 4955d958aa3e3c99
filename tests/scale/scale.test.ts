import fc from "fast-check";
import { Scale as TonalScale } from "tonal";
import { describe, expect, it } from "vitest";
import type { Degree, NoteName } from "../../src/pitch/index.ts";
import {
  degreeInterval,
  letterOf,
  parseInterval,
  parseKey,
  parsePitch,
  pitch,
  pitchClassOf,
  pitchName,
  signatureNotes,
  transposeNote,
} from "../../src/pitch/index.ts";
import {
  bestTonic,
  parseScale,
  scale,
  scaleCatalogue,
  scaleNames,
  scalePitchAt,
  scalePitches,
  scalePitchesBetween,
  transposeScale,
  twelveKeys,
} from "../../src/scale/index.ts";

const KEYS = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"] as const;

describe("scale", () => {
  // Wikipedia, "Blues scale": degrees and semitones; read in source.
  it.each([
    ["minor blues", [0, 3, 5, 6, 7, 10], ["C", "Eb", "F", "Gb", "G", "Bb"]],
    ["major blues", [0, 2, 3, 4, 7, 9], ["C", "D", "Eb", "E", "G", "A"]],
  ] as const)("Wikipedia, Blues scale: %s in C", (type, semitones, notes) => {
    expect(scale("C", type).notes).toEqual(notes);
    expect(scale("C", type).degrees.map((d) => degreeInterval(d).semitones)).toEqual(semitones);
  });

  it.each(KEYS)("Wikipedia, Blues scale: the %s major blues has the keys of the minor blues on its sixth", (tonic) => {
    const sixth = transposeNote(tonic, parseInterval("M6"));
    const keys = (type: "major blues" | "minor blues", on: NoteName): number[] =>
      scale(on, type)
        .notes.map(pitchClassOf)
        .sort((a, b) => a - b);
    expect(keys("major blues", tonic)).toEqual(keys("minor blues", sixth));
  });

  it("law: every note keeps the letter of its degree, in 15 keys", () => {
    for (const tonic of KEYS) {
      for (const { id } of scaleCatalogue) {
        const s = scale(tonic, id);
        s.degrees.forEach((degree, i) => {
          const letters = "CDEFGAB";
          const expected = letters[(letters.indexOf(tonic.charAt(0)) + degreeInterval(degree).steps) % 7];
          expect(s.notes[i]?.charAt(0)).toBe(expected);
          expect((pitchClassOf(s.notes[i] as NoteName) - pitchClassOf(tonic) + 12) % 12).toBe(
            degreeInterval(degree).semitones,
          );
        });
      }
    }
  });

  it("law: transposing commutes with building", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...KEYS),
        fc.constantFrom("m2", "M3", "P4", "P5", "m7"),
        fc.constantFrom(...scaleCatalogue),
        (tonic, by, row) => {
          const moved = transposeScale(scale(tonic, row.id), parseInterval(by));
          expect(moved).toEqual(scale(transposeNote(tonic, parseInterval(by)), row.id));
        },
      ),
    );
  });

  // tonal 6.4.3 (npm): its Scale.get spells the dictionary's scales independently of our degrees.
  it("tonal: names outside the catalogue are spelled as the dictionary spells them", () => {
    for (const name of ["major", "dorian", "harmonic minor", "melodic minor", "whole tone", "altered", "bebop"]) {
      for (const tonic of ["C", "F#", "Bb", "Eb", "A"])
        expect(parseScale(`${tonic} ${name}`).notes).toEqual(TonalScale.get(`${tonic} ${name}`).notes);
    }
  });

  it("law: pitches rise, are the scale's notes in turn, and index -n is n turns down", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...KEYS),
        fc.constantFrom(...scaleCatalogue),
        fc.integer({ min: 1, max: 4 }),
        (tonic, row, octaves) => {
          const s = scale(tonic, row.id);
          const pitches = scalePitches(s, { octaves, floor: pitch("C3") });
          expect(pitches).toHaveLength(octaves * s.degrees.length + 1);
          pitches.forEach((p, i) => {
            if (i > 0) expect(p.semitones).toBeGreaterThan((pitches[i - 1] as typeof p).semitones);
            expect(pitchName(p).replace(/\d$/, "")).toBe(s.notes[i % s.notes.length]);
          });
          const [low] = pitches as [(typeof pitches)[number]];
          expect(scalePitchAt(s, low, -s.degrees.length).semitones).toBe(low.semitones - 12);
        },
      ),
    );
  });

  it("law: the pitches between two bounds are all of the scale's within them", () => {
    fc.assert(
      fc.property(fc.constantFrom(...KEYS), fc.integer({ min: 0, max: 30 }), (tonic, width) => {
        const s = scale(tonic, "major blues");
        const low = parsePitch("E3");
        const found = scalePitchesBetween(s, low, { ...low, semitones: low.semitones + width });
        const expected = Array.from({ length: width + 1 }, (_, i) => low.semitones + i).filter((n) =>
          s.notes.some((note) => pitchClassOf(note) === n % 12),
        );
        expect(found.map((p) => p.semitones)).toEqual(expected);
        for (const p of found) expect(s.notes.some((note) => note.charAt(0) === letterOf(p))).toBe(true);
      }),
    );
  });

  // The design's spelling rule; common practice, no source.
  it("names a key by the spelling that reads best with every note written out", () => {
    expect(bestTonic(6, scale("C", "major blues").degrees)).toBe("F#");
    expect(bestTonic(6, scale("C", "minor blues").degrees)).toBe("F#");
    expect(bestTonic(1, scale("C", "major blues").degrees)).toBe("Db");
    expect(bestTonic(10, scale("C", "major blues").degrees)).toBe("Bb");
    expect(scale("Gb", "minor blues").notes).toEqual(["Gb", "Bbb", "Cb", "Dbb", "Db", "Fb"]);
  });

  it("law: twelve keys are twelve different keys, each with a signature, in the asked order", () => {
    for (const { degrees } of scaleCatalogue) {
      for (const [order, stride] of [
        ["fourths", 5],
        ["fifths", 7],
        ["chromatic", 1],
      ] as const) {
        const keys = twelveKeys({ degrees, order });
        expect(keys.map(pitchClassOf)).toEqual(Array.from({ length: 12 }, (_, i) => (i * stride) % 12));
        for (const key of keys) expect(signatureNotes(parseKey(key)).length).toBeLessThanOrEqual(7);
      }
    }
  });

  it("law: scale ids and aliases are unique, and every name is readable", () => {
    const names = scaleCatalogue.flatMap((row): string[] => [row.id, ...row.aliases]);
    expect(new Set(names).size).toBe(names.length);
    for (const name of scaleNames()) expect(parseScale(`C ${name}`).degrees.length).toBeGreaterThan(3);
  });

  it.each([
    ["", "scale/tonic"],
    ["H major", "scale/tonic"],
    ["c major", "scale/tonic"],
    ["C majr blues", "scale/type"],
    ["C ionosphere", "scale/type"],
    ["Cmajor", "scale/tonic"],
  ])("refuses %j with %s", (text, code) =>
    expect(() => parseScale(text)).toThrowError(expect.objectContaining({ name: "MusicError", code, input: text })),
  );

  it("hints, and refuses what lies outside", () => {
    expect(() => parseScale("C majr blues")).toThrowError(/did you mean "C major blues"\?/);
    expect(() => parseScale("eb major blues")).toThrowError(/did you mean "Eb major blues"\?/);
    expect(() => bestTonic(12, ["1"])).toThrowError(expect.objectContaining({ code: "scale/pitch-class" }));
    expect(() => scalePitches(scale("C", "major blues"), { octaves: 0 })).toThrowError(
      expect.objectContaining({ code: "scale/octaves" }),
    );
    expect(() => scalePitchAt(scale("C", "major blues"), pitch("D4"), 0)).toThrowError(
      expect.objectContaining({ code: "scale/index" }),
    );
    expect(() => scalePitchAt(scale("C", "major blues"), pitch("C4"), 0.5)).toThrowError(
      expect.objectContaining({ code: "scale/index" }),
    );
  });

  // The cycle of fourths with the usual signatures, five flats to five sharps, and G flat for six; any handbook.
  it("names the twelve keys as they are usually written, in fourths, where nothing else is asked", () => {
    expect(twelveKeys()).toEqual(["C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G"]);
    expect(twelveKeys({ order: undefined, degrees: undefined })).toEqual(twelveKeys());
    expect(() => twelveKeys({ order: "thirds" as "fifths" })).toThrowError(
      expect.objectContaining({ code: "scale/order" }),
    );
  });

  const rising = fc
    .uniqueArray(fc.constantFrom("b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7"), { minLength: 1 })
    .map((degrees) => ["1", ...degrees] as Degree[])
    .map((degrees) => degrees.sort((a, b) => degreeInterval(a).semitones - degreeInterval(b).semitones));

  it("law: a row of a user's own goes everywhere where the name of a shipped one goes", () => {
    fc.assert(
      fc.property(fc.constantFrom(...KEYS), rising, (tonic, degrees) => {
        const row = { id: "own scale", title: "Own", source: "a test", degrees };
        const s = scale(tonic, row);
        expect(s).toEqual({
          kind: "scale",
          tonic,
          type: "own scale",
          degrees,
          notes: degrees.map((degree) => transposeNote(tonic, degreeInterval(degree))),
        });
        expect(scalePitches(s)).toHaveLength(degrees.length + 1);
        expect(transposeScale(s, "P5").notes[0]).toBe(transposeNote(tonic, "P5"));
        for (const shipped of scaleCatalogue) expect(scale(tonic, shipped)).toEqual(scale(tonic, shipped.id));
      }),
    );
  });

  it.each([
    ["a row without a source", { source: "" }],
    ["an id with a capital", { id: "Own" }],
    ["degrees that fall", { degrees: ["1", "3", "2"] }],
    ["the same key twice", { degrees: ["1", "#2", "b3"] }],
    ["degrees that do not start from 1", { degrees: ["2", "3"] }],
    ["degrees beyond the octave", { degrees: ["1", "9"] }],
    ["no degrees", { degrees: [] }],
  ])("refuses %s", (_, change) => {
    const row = { id: "own", title: "Own", source: "a test", degrees: ["1", "3"], ...change };
    expect(() => scale("C", row as never)).toThrowError(expect.objectContaining({ code: "scale/type", input: row }));
  });

  it("reads names of pitches, refuses bounds that no piano has, and scales whose notes are not theirs", () => {
    const s = scale("C", "major blues");
    expect(scalePitchesBetween(s, "G4", "D5").map(pitchName)).toEqual(["G4", "A4", "C5", "D5"]);
    expect(scalePitchesBetween(s, "D5", "G4")).toEqual([]);
    const high = { kind: "pitch", steps: 7_000_000, semitones: 12_000_000 } as const;
    expect(() => scalePitchesBetween(s, "C4", high)).toThrowError(expect.objectContaining({ code: "scale/argument" }));
    expect(() => scalePitches({ ...s, notes: [...s.notes].reverse() })).toThrowError(
      expect.objectContaining({ code: "scale/argument" }),
    );
    expect(() => scalePitches("C dorian")).toThrowError(/parseScale reads other names/);
    expect(scalePitches("C major blues")).toEqual(scalePitches(scale("C", "major blues")));
    expect(() => scalePitches({} as never)).toThrowError(/parseScale reads one from text/);
    expect(() => scale("C", "dorian" as "major blues")).toThrowError(/parseScale reads other names/);
  });
});
