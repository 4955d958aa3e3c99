import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { parsePitch, pitchFromMidi, pitchName } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";
import { blockChords } from "../../src/voice-leading/index.ts";

const melody = (...names: readonly string[]) =>
  names.map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [parsePitch(name)] }));
const printed = (pitches: readonly Pitch[]): string => pitches.map(pitchName).join(" ");

const codeOf = (make: () => unknown): string => {
  try {
    make();
    return "none";
  } catch (error) {
    return error instanceof MusicError ? error.code : "other";
  }
};

// Block chords of a scale over its sixth chord: chord tones have the chord, what lies between a diminished seventh. Common practice, no source.
describe("block chords", () => {
  it("a scale over a sixth chord goes from chord to diminished chord and back", () => {
    const chords = blockChords(melody("E4", "F4", "G4", "G#4"), "C6");
    expect(chords.map(({ voicing }) => printed(voicing.pitches))).toEqual([
      "E3 G3 A3 C4 E4",
      "F3 Ab3 Cb4 D4 F4",
      "G3 A3 C4 E4 G4",
      "G#3 B3 D4 F4 G#4",
    ]);
    expect(chords.map((chord) => chord.as)).toEqual(["chord", "passing", "chord", "passing"]);
  });

  it("drop 2 has the second note from the top in the left hand, an octave lower", () => {
    const [chord] = blockChords(melody("C5"), "C6", { style: "drop-2" });
    expect(printed(chord?.voicing.pitches ?? [])).toBe("A3 E4 G4 C5");
    expect(chord?.voicing.hands).toEqual(["left", "right", "right", "right"]);
  });

  it("leaves out notes where no chord sounds, and refuses a melody without any", () => {
    expect(blockChords(melody("C5", "D5", "E5", "F5", "G5"), "C6").length).toBe(4);
    expect(codeOf(() => blockChords([{ ...melody("C5")[0]!, at: beats(9) }], "C6"))).toBe("voice-leading/melody");
    expect(blockChords([], "C6")).toEqual([]);
  });

  it("law: the melody is on top as it is written, hands do not cross, no hand holds more than an octave; what passes is diminished", () => {
    const symbols = [
      "C",
      "C6",
      "Cmaj9",
      "Cm",
      "Cm6",
      "Cm7",
      "C7",
      "C9",
      "C13",
      "C7b9",
      "C7#9",
      "C7alt",
      "Cm7b5",
      "Cdim7",
      "CmMaj7",
      "Caug",
      "C7sus4",
      "C5",
    ];
    fc.assert(
      fc.property(
        fc.constantFrom(...symbols),
        fc.integer({ min: 64, max: 90 }),
        fc.constantFrom("flats" as const, "sharps" as const),
        fc.constantFrom("locked-hands" as const, "drop-2" as const),
        (symbol, midi, names, style) => {
          const lead = pitchFromMidi(midi, names);
          const [chord] = blockChords([{ at: beats(0), duration: beats(1), pitches: [lead] }], symbol, { style });
          const { pitches, hands } = chord?.voicing ?? { pitches: [], hands: [] };
          expect(pitches.at(-1)).toEqual(lead);
          const notes = pitches.map(({ semitones }) => semitones);
          for (const [i, note] of notes.entries()) if (i > 0) expect(note).toBeGreaterThan(notes[i - 1] ?? 0);
          for (const hand of ["left", "right"] as const) {
            const own = notes.filter((_, i) => hands[i] === hand);
            expect(Math.max(...own) - Math.min(...own)).toBeLessThanOrEqual(12);
          }
          if (chord?.as === "passing")
            for (const note of notes) expect((midi + 12 - note - 12) % 3).toBe((midi - notes.at(-1)!) % 3);
        },
      ),
    );
  });
});
