import fc from "fast-check";
import { Note } from "tonal";
import { describe, expect, expectTypeOf, it } from "vitest";
import type { PitchName } from "../../src/pitch/index.ts";
import {
  addIntervals,
  alterationOf,
  comparePitches,
  formatPitch,
  interval,
  intervalBetween,
  keyColour,
  letterOf,
  midiNumber,
  noteName,
  octaveOf,
  parsePitch,
  pitch,
  pitchAtOrAbove,
  pitchFromMidi,
  pitchInOctave,
  pitchName,
  respell,
  transpose,
} from "../../src/pitch/index.ts";
import { namedPitch } from "./generators.ts";

describe("pitch", () => {
  // Letters and semitones above C0: 4 octaves of 7 and of 12 at middle C. Computed.
  it.each([
    ["C0", 0, 0],
    ["C4", 28, 48],
    ["Eb4", 30, 51],
    ["D#4", 29, 51],
    ["B-1", -1, -1],
  ] as const)("%s is %i steps and %i semitones above C0", (name, steps, semitones) => {
    expect(pitch(name)).toEqual({ kind: "pitch", steps, semitones });
  });

  it("law: reading a name gives the pitch back, in ASCII and in printed signs", () => {
    fc.assert(
      fc.property(namedPitch, (p) => {
        expect(parsePitch(pitchName(p))).toEqual(p);
        expect(parsePitch(formatPitch(p))).toEqual(p);
      }),
    );
  });

  // tonal 6.4.3 (npm), its Note.midi: an independent reading of the same scientific names.
  it("tonal: MIDI number, letter, octave and alteration agree on every name", () => {
    fc.assert(
      fc.property(
        namedPitch.filter((p) => p.semitones >= -12 && p.semitones + 12 <= 127),
        (p) => {
          const theirs = Note.get(pitchName(p));
          expect(midiNumber(p)).toBe(theirs.midi);
          expect(letterOf(p)).toBe(theirs.letter);
          expect(octaveOf(p)).toBe(theirs.oct);
          expect(alterationOf(p)).toBe(theirs.alt);
        },
      ),
    );
  });

  // MIDI 1.0: middle C is 60; scientific octave numbers change at C. Common practice, no source.
  it.each([
    ["C4", 60],
    ["A4", 69],
    ["B#3", 60],
    ["Cb4", 59],
    ["C-1", 0],
    ["G9", 127],
    ["F##4", 67],
    ["Bbb3", 57],
  ] as const)("%s is MIDI note %i", (name, number) => expect(midiNumber(pitch(name))).toBe(number));

  // The piano's five black keys; common practice, no source.
  it.each([
    ["C4", "white"],
    ["C#4", "black"],
    ["Db4", "black"],
    ["E4", "white"],
    ["E#4", "white"],
    ["Fb4", "white"],
    ["F#4", "black"],
    ["B#4", "white"],
    ["Cb4", "white"],
    ["Bbb3", "white"],
    ["Ebb4", "white"],
    ["Abb4", "white"],
    ["F##4", "white"],
    ["G#4", "black"],
    ["Bb4", "black"],
    ["Eb4", "black"],
  ] as const)("%s is a %s key", (name, colour) => expect(keyColour(pitch(name))).toBe(colour));

  it("law: respelling keeps the key, and there and back is where it was", () => {
    fc.assert(
      fc.property(namedPitch, (p) => {
        expect(respell(p, "up").semitones).toBe(p.semitones);
        expect(respell(respell(p, "up"), "down")).toEqual(p);
      }),
    );
  });

  // The enharmonic pairs of the keyboard; common practice, no source.
  it.each([
    ["C#4", "Db4"],
    ["D#4", "Eb4"],
    ["E4", "Fb4"],
    ["F#4", "Gb4"],
    ["G#4", "Ab4"],
    ["A#4", "Bb4"],
    ["B3", "Cb4"],
  ] as const)("%s is %s under the next letter", (below, above) => {
    expect(pitchName(respell(pitch(below), "up"))).toBe(above);
    expect(pitchName(respell(pitch(above), "down"))).toBe(below);
  });

  it("law: a MIDI note spelled with sharps or flats is that note, with one sign of that kind on black keys and none on white", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 127 }), (number) => {
        const sharp = pitchFromMidi(number, "sharps");
        const flat = pitchFromMidi(number, "flats");
        expect([midiNumber(sharp), midiNumber(flat)]).toEqual([number, number]);
        const signs = keyColour(sharp) === "black" ? 1 : 0;
        expect([alterationOf(sharp), -alterationOf(flat) + 0]).toEqual([signs, signs]);
      }),
    );
  });

  it("law: the pitch at or above a floor is less than an octave above it", () => {
    fc.assert(
      fc.property(namedPitch, namedPitch, (name, floor) => {
        const found = pitchAtOrAbove(pitchName(name).replace(/-?\d$/, "") as "C", floor);
        expect(found.semitones).toBeGreaterThanOrEqual(floor.semitones);
        expect(found.semitones).toBeLessThan(floor.semitones + 12);
        expect(letterOf(found)).toBe(letterOf(name));
      }),
    );
  });

  it("reads every common way to write accidentals", () => {
    expect(["Ebb4", "E♭♭4", "E𝄫4"].map((text) => pitchName(parsePitch(text)))).toEqual(["Ebb4", "Ebb4", "Ebb4"]);
    expect(["F##3", "F♯♯3", "F𝄪3", "Fx3"].map((text) => pitchName(parsePitch(text)))).toEqual([
      "F##3",
      "F##3",
      "F##3",
      "F##3",
    ]);
    expect(pitchName(parsePitch("A♮4"))).toBe("A4");
    expect(["E𝄫♭4", "E♭𝄫4", "E𝄫b4", "F𝄪♯3", "F♯𝄪3", "F𝄪#3"].map((text) => pitchName(parsePitch(text)))).toEqual([
      "Ebbb4",
      "Ebbb4",
      "Ebbb4",
      "F###3",
      "F###3",
      "F###3",
    ]);
  });

  it("prints a name as it prints the pitch", () => {
    fc.assert(
      fc.property(namedPitch, (p) => {
        expect(formatPitch(pitchName(p))).toBe(formatPitch(p));
        expect(formatPitch(noteName(p))).toBe(formatPitch(p).replace(/-?\d$/, ""));
      }),
    );
    expect((["Eb", "F##", "Bbb3", "C#-1", "G"] as const).map(formatPitch)).toEqual(["E♭", "F♯♯", "B♭♭3", "C♯-1", "G"]);
  });

  it("names a pitch in any octave from -1 to 9", () => {
    for (let octave = -1; octave <= 9; octave++) {
      expect(pitchName(pitchInOctave("Bb", octave))).toBe(`Bb${octave}`);
      expect(octaveOf(pitchInOctave("Bb", octave))).toBe(octave);
    }
  });

  it.each([
    "",
    "H4",
    "C",
    "c4",
    "C#b4",
    "C10",
    "C-2",
    "Cbbbb4",
    " C4",
    "C4 ",
    "4C",
    "♭E4",
    "Do4",
    "C4.5",
    undefined,
    null,
    4,
    ["C4"],
  ])("refuses %j with one MusicError", (text) => {
    expect(() => parsePitch(text as string)).toThrowError(
      expect.objectContaining({ name: "MusicError", code: "pitch/name", input: text, reason: "bad-input" }),
    );
  });

  it("hints at the name that was meant", () => {
    expect(() => parsePitch("eb4")).toThrowError(/did you mean Eb4\?/);
    expect(() => parsePitch("Eb")).toThrowError(/did you mean Eb4\?/);
    expect(() => parsePitch("H4")).toThrowError(/English name of H is B/);
    for (const text of ["h", "zz", "C10", "", "C4.5", undefined]) {
      expect(() => parsePitch(text as string)).toThrowError(
        expect.not.objectContaining({ hint: expect.stringContaining("did you mean") as string }),
      );
    }
  });

  it("refuses what no MIDI note or name can say", () => {
    for (const beyond of [pitch("G#9"), pitch("Cb-1")]) {
      expect(() => midiNumber(beyond)).toThrowError(
        expect.objectContaining({
          code: "pitch/midi-range",
          reason: "cannot-be-done",
          input: beyond,
          expected: expect.stringContaining("0 (C-1) to 127 (G9)") as string,
        }),
      );
    }
    expect(() => pitchFromMidi(128, "flats")).toThrowError(expect.objectContaining({ code: "pitch/midi-range" }));
    expect(() => pitchFromMidi(60.5, "flats")).toThrowError(expect.objectContaining({ code: "pitch/midi-range" }));
    const unspellable = (words: string) =>
      expect.objectContaining({
        code: "pitch/unspellable",
        reason: "cannot-be-done",
        hint: expect.stringContaining("respell") as string,
        expected: expect.stringContaining(words) as string,
      }) as Error;
    for (const semitones of [44, 52])
      expect(() => pitchName({ kind: "pitch", steps: 28, semitones })).toThrowError(unspellable("three accidentals"));
    expect(() => pitchName(transpose(pitch("B9"), interval("m2")))).toThrowError(unspellable("octaves -1 to 9"));
    expect(() => pitchName(transpose(pitch("C-1"), interval("-m2")))).toThrowError(unspellable("octaves -1 to 9"));
    expect(() => pitchInOctave("Eb", 10)).toThrowError(expect.objectContaining({ code: "pitch/name" }));
    expect(() => pitchAtOrAbove("H" as "B", pitch("C4"))).toThrowError(expect.objectContaining({ code: "pitch/name" }));
  });

  it.each([
    [NaN, 0],
    [0, NaN],
    [0.5, 1],
    [Infinity, 0],
    [0, 2 ** 53],
  ])("refuses an interval of %j steps and %j semitones", (steps, semitones) => {
    expect(() => transpose(pitch("C0"), { kind: "interval", steps, semitones })).toThrowError(
      expect.objectContaining({ code: "pitch/argument", input: { kind: "interval", steps, semitones } }),
    );
  });

  it("refuses a sum that is no longer exact", () => {
    const far = { kind: "interval", steps: 0, semitones: Number.MAX_SAFE_INTEGER } as const;
    expect(() => transpose(pitch("C0"), addIntervals(far, interval("m2")))).toThrowError(
      expect.objectContaining({ code: "pitch/integer", input: { steps: 1, semitones: 2 ** 53 } }),
    );
  });

  it("law: where a pitch, an interval or a key is wanted, its name does as well", () => {
    fc.assert(
      fc.property(namedPitch, fc.constantFrom("m2", "-P4", "A11", "dd5"), (p, by) => {
        const name = pitchName(p);
        expect(transpose(name, by)).toEqual(transpose(p, interval(by)));
        expect(intervalBetween("C4", name)).toEqual(intervalBetween(pitch("C4"), p));
        expect([letterOf(name), octaveOf(name), alterationOf(name), keyColour(name), noteName(name)]).toEqual([
          letterOf(p),
          octaveOf(p),
          alterationOf(p),
          keyColour(p),
          noteName(p),
        ]);
        expect(comparePitches(name, "C4")).toBe(comparePitches(p, pitch("C4")));
      }),
    );
    expect(midiNumber("C4")).toBe(60);
    expect(() => midiNumber("H4" as "C4")).toThrowError(expect.objectContaining({ code: "pitch/name" }));
  });

  it.each([
    60,
    null,
    undefined,
    {},
    { kind: "interval", steps: 0, semitones: 0 },
    { kind: "pitch", steps: "0", semitones: 0 },
  ])("refuses %j where a pitch is wanted", (input) => {
    for (const call of [midiNumber, pitchName, letterOf, keyColour, octaveOf])
      expect(() => call(input as never)).toThrowError(expect.objectContaining({ code: "pitch/argument", input }));
  });

  it("orders by key, then by letter", () => {
    expect(["Eb4", "D#4", "C4", "E4"].map(parsePitch).sort(comparePitches).map(pitchName)).toEqual([
      "C4",
      "D#4",
      "Eb4",
      "E4",
    ]);
  });

  it("types: names are read by the type checker", () => {
    expectTypeOf<"Eb4">().toExtend<PitchName>();
    expectTypeOf<"H4">().not.toExtend<PitchName>();
    expectTypeOf<"Eb">().not.toExtend<PitchName>();
    expectTypeOf<"C10">().not.toExtend<PitchName>();
    expectTypeOf(pitchName).returns.toEqualTypeOf<PitchName>();
  });
});
