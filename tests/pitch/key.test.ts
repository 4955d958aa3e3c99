import fc from "fast-check";
import { Key, Note } from "tonal";
import { describe, expect, it } from "vitest";
import type { NoteName } from "../../src/pitch/index.ts";
import {
  fifthsOf,
  intervalName,
  keyName,
  midiNumber,
  noteInterval,
  parseInterval,
  parseKey,
  parseNote,
  pitchClassOf,
  pitchName,
  signatureNotes,
  spellInKey,
  transposeNote,
} from "../../src/pitch/index.ts";

// The cycle of fifths: key and number of sharps (+) or flats (-); any handbook, e.g. Schmidt-Jones, C. (2013),
// Understanding Basic Music Theory, "Major Keys and Scales" (figures from memory).
const MAJOR = {
  Cb: -7,
  Gb: -6,
  Db: -5,
  Ab: -4,
  Eb: -3,
  Bb: -2,
  F: -1,
  C: 0,
  G: 1,
  D: 2,
  A: 3,
  E: 4,
  B: 5,
  "F#": 6,
  "C#": 7,
} as const;
const MINOR = {
  Ab: -7,
  Eb: -6,
  Bb: -5,
  F: -4,
  C: -3,
  G: -2,
  D: -1,
  A: 0,
  E: 1,
  B: 2,
  "F#": 3,
  "C#": 4,
  "G#": 5,
  "D#": 6,
  "A#": 7,
} as const;

const notes = fc
  .tuple(fc.constantFrom("C", "D", "E", "F", "G", "A", "B"), fc.constantFrom("bb", "b", "", "#", "##"))
  .map(([letter, accidental]) => `${letter}${accidental}` as NoteName);

describe("key", () => {
  it.each(Object.entries(MAJOR))("cycle of fifths: %s major has %i", (tonic, fifths) => {
    expect(parseKey(tonic)).toEqual({ kind: "key", tonic, mode: "major", fifths });
    for (const word of [" major", "major", "maj", " maj", "  Major", " MAJ", " "])
      expect(parseKey(`${tonic}${word}`)).toEqual(parseKey(tonic));
  });

  it.each(Object.entries(MINOR))("cycle of fifths: %s minor has %i", (tonic, fifths) => {
    expect(parseKey(`${tonic} minor`)).toEqual({ kind: "key", tonic, mode: "minor", fifths });
    for (const word of ["m", "min", " min", "minor", "  minor"])
      expect(parseKey(`${tonic}${word}`)).toEqual(parseKey(`${tonic} minor`));
    expect(parseKey(` ${tonic} minor\n`).fifths).toBe(fifths);
  });

  // tonal 6.4.3 (npm): Key.majorKey gives the scale of a key independently.
  it("tonal: a signature alters exactly the altered notes of the key's scale", () => {
    for (const tonic of Object.keys(MAJOR)) {
      const altered = Key.majorKey(tonic).scale.filter((note) => note.length > 1);
      expect([...signatureNotes(parseKey(tonic))].sort()).toEqual([...altered].sort());
    }
  });

  it("prints sharps from F and flats from B, in fifths", () => {
    expect(signatureNotes(parseKey("C#"))).toEqual(["F#", "C#", "G#", "D#", "A#", "E#", "B#"]);
    expect(signatureNotes(parseKey("Cb"))).toEqual(["Bb", "Eb", "Ab", "Db", "Gb", "Cb", "Fb"]);
  });

  it("refuses keys without a signature and names the twin", () => {
    expect(() => parseKey("G#")).toThrowError(/its twin is Ab major/);
    expect(() => parseKey("Fb minor")).toThrowError(/its twin is E minor/);
    for (const text of ["G#", "Fb minor", "B### major"])
      expect(() => parseKey(text)).toThrowError(expect.objectContaining({ code: "pitch/key", input: text }));
    for (const text of [
      "",
      "H",
      "c",
      "C dur",
      "Bm7",
      "C  Major!",
      "C xm",
      "C aminor",
      "C m",
      undefined,
      null,
      7,
      ["C"],
    ]) {
      expect(() => parseKey(text as string)).toThrowError(expect.objectContaining({ code: "pitch/key", input: text }));
    }
    expect(() => parseKey("eb minor")).toThrowError(/did you mean Eb minor\?/);
    for (const text of ["eb dur", "h", "", undefined]) {
      expect(() => parseKey(text as string)).toThrowError(
        expect.not.objectContaining({ hint: expect.anything() as unknown }),
      );
    }
  });

  it("law: the interval between two note names, transposed by, returns the second", () => {
    fc.assert(
      fc.property(notes, notes, (a, b) => {
        const between = noteInterval(a, b);
        expect(between.steps).toBeGreaterThanOrEqual(0);
        expect(between.steps).toBeLessThan(7);
        expect(transposeNote(a, between)).toBe(b);
      }),
    );
  });

  it("tonal: note names move as Note.transpose moves them", () => {
    const theirs: Record<string, string> = { m2: "2m", M3: "3M", P5: "5P", d7: "7d", A4: "4A", M9: "9M", m13: "13m" };
    fc.assert(
      fc.property(
        notes.filter((n) => n.length < 3),
        fc.constantFrom(...Object.keys(theirs)),
        (note, name) => {
          expect(transposeNote(note, parseInterval(name))).toBe(
            Note.pitchClass(Note.transpose(`${note}4`, theirs[name] as string)),
          );
        },
      ),
    );
  });

  it("tonal: pitch classes and fifths agree", () => {
    fc.assert(
      fc.property(notes, (note) => {
        expect(pitchClassOf(note)).toBe(Note.chroma(note));
        expect(fifthsOf(note)).toBe((Note.get(note).coord as readonly number[])[0]);
      }),
    );
  });

  it("law: a note spelled in a key is that note, and notes of the key's scale keep their names", () => {
    fc.assert(
      fc.property(fc.constantFrom(...Object.keys(MAJOR)), fc.integer({ min: 12, max: 120 }), (tonic, number) => {
        const spelled = spellInKey(number, parseKey(tonic));
        expect(midiNumber(spelled)).toBe(number);
        const own = Key.majorKey(tonic).scale.find((note) => Note.chroma(note) === number % 12);
        if (own !== undefined) expect(pitchName(spelled).replace(/-?\d$/, "")).toBe(own);
      }),
    );
  });

  it("spells as far as three accidentals", () => {
    expect([transposeNote("Gb", parseInterval("dd5")), transposeNote("F#", parseInterval("AA1"))]).toEqual([
      "Dbbb",
      "F###",
    ]);
  });

  it("refuses what it can't spell", () => {
    expect(() => transposeNote("F##", parseInterval("AA1"))).toThrowError(
      expect.objectContaining({ code: "pitch/unspellable", input: "F##" }),
    );
    expect(() => transposeNote("Fbbb", parseInterval("d7"))).toThrowError(
      expect.objectContaining({ code: "pitch/unspellable", reason: "cannot-be-done" }),
    );
    for (const text of ["Eb4", "h", "e b", "", undefined, null, 3, ["E"]]) {
      expect(() => parseNote(text as string)).toThrowError(
        expect.objectContaining({ code: "pitch/name", input: text }),
      );
      expect(() => parseNote(text as string)).toThrowError(
        expect.not.objectContaining({ hint: expect.anything() as unknown }),
      );
    }
    expect(() => parseNote("eb")).toThrowError(/did you mean Eb\?/);
    expect(() => spellInKey(-1, parseKey("C"))).toThrowError(expect.objectContaining({ code: "pitch/midi-range" }));
  });

  it("names a falling interval between note names as its rising inversion", () => {
    expect(intervalName(noteInterval("G", "Db"))).toBe("d5");
    expect(intervalName(noteInterval("B#", "Cb"))).toBe("dd2");
  });

  it("law: a key's name reads back as the key, and a key's name does where the key is wanted", () => {
    for (const [mode, table] of [
      ["major", MAJOR],
      ["minor", MINOR],
    ] as const) {
      for (const [tonic, fifths] of Object.entries(table)) {
        const key = parseKey(`${tonic} ${mode}`);
        expect(keyName(key)).toBe(`${tonic} ${mode}`);
        expect(parseKey(keyName(key))).toEqual(key);
        expect(signatureNotes(keyName(key))).toHaveLength(Math.abs(fifths));
      }
    }
    expect(keyName("C♯m")).toBe("C# minor");
    expect(() => keyName("H")).toThrowError(expect.objectContaining({ code: "pitch/key" }));
  });

  it("refuses a key whose signature is not that of its name", () => {
    for (const input of [
      { ...parseKey("Eb"), fifths: 3 },
      { ...parseKey("Eb"), mode: "dorian" },
      { kind: "key" },
      null,
    ])
      expect(() => signatureNotes(input as never)).toThrowError(
        expect.objectContaining({ code: "pitch/argument", input }),
      );
  });
});
