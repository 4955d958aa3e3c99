import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Hand } from "../../src/event/index.ts";
import { fingerChord, fingerPassage, fingerSpan } from "../../src/fingering/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import { parsePitch, pitchFromMidi } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";

const up = (names: string) => names.split(" ").map(parsePitch);
const fingersOf = (names: string, hand: Hand): string => fingerChord(up(names), { hand }).fingers.join("");

describe("chords under the hand", () => {
  it("common practice, no source: triads in every inversion", () => {
    expect(["C4 E4 G4", "E4 G4 C5", "G4 C5 E5"].map((chord) => fingersOf(chord, "right"))).toEqual([
      "135",
      "125",
      "135",
    ]);
    expect(["C3 E3 G3", "E3 G3 C4", "G3 C4 E4"].map((chord) => fingersOf(chord, "left"))).toEqual([
      "531",
      "531",
      "521",
    ]);
  });

  it("common practice, no source: triads with their octave, as in the arpeggio", () => {
    expect(["C4 E4 G4 C5", "E4 G4 C5 E5", "G4 C5 E5 G5"].map((chord) => fingersOf(chord, "right"))).toEqual([
      "1235",
      "1245",
      "1245",
    ]);
    expect(fingersOf("C3 E3 G3 C4", "left")).toBe("5421");
  });

  it("common practice, no source: shells and rootless voicings of the left hand", () => {
    expect(
      ["C3 E3 B3", "E3 G3 B3 D4", "B3 D4 E4 G4", "F3 A3 B3 E4", "F3 A3 C4 E4"].map((chord) => fingersOf(chord, "left")),
    ).toEqual(["531", "5321", "5321", "5321", "5321"]);
  });

  it("law: fingers rise with the notes in the right hand and fall in the left, every pair within reach", () => {
    const chord = fc.uniqueArray(fc.integer({ min: 48, max: 62 }), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(chord, fc.constantFrom<Hand>("left", "right"), (keys, hand) => {
        const { fingers, pitches } = orNone(() =>
          fingerChord(
            keys.map((key) => pitchFromMidi(key, "flats")),
            { hand },
          ),
        ) ?? { fingers: [], pitches: [] };
        fingers.forEach((finger, i) => {
          const next = fingers[i + 1];
          if (next === undefined) return;
          expect(Math.sign(next - finger)).toBe(hand === "right" ? 1 : -1);
          expect((pitches[i + 1]?.semitones ?? 0) - (pitches[i]?.semitones ?? 0)).toBeLessThanOrEqual(
            fingerSpan(finger, next).maxPractical,
          );
        });
      }),
    );
  });

  const orNone = <T>(work: () => T): T | undefined => {
    try {
      return work();
    } catch (error) {
      if (error instanceof MusicError && error.code === "fingering/out-of-reach") return undefined;
      throw error;
    }
  };

  it("law: the mirrored chord in the other hand has the same fingers, turned round", () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 50, max: 62 }), { minLength: 1, maxLength: 5 }), (keys) => {
        const right = orNone(() =>
          fingerChord(
            keys.map((key) => pitchFromMidi(key, "flats")),
            { hand: "right" },
          ),
        );
        const left = orNone(() =>
          fingerChord(
            keys.map((key) => pitchFromMidi(124 - key, "flats")),
            { hand: "left" },
          ),
        );
        expect(left?.fingers).toEqual(right === undefined ? undefined : [...right.fingers].reverse());
        expect(left?.cost).toBe(right?.cost);
      }),
    );
  });

  it("says how far the hand would have to open when a chord is out of reach, and that it can't be done", () => {
    const wide = orError(() => fingerChord(up("C2 B2 E3"), { hand: "left" }));
    expect([wide.code, wide.reason]).toEqual(["fingering/out-of-reach", "cannot-be-done"]);
    expect(wide.message).toContain("at most 15 semitones");
    expect(wide.message).toContain("these need 16");
    expect(fingerChord(up("C2 B2 E3"), { hand: "left", size: "large" }).span).toBe(16);
  });

  const orError = (work: () => unknown): MusicError => {
    try {
      work();
    } catch (error) {
      if (error instanceof MusicError) return error;
    }
    throw new Error("no MusicError");
  };

  it("remarks on a span wider than an octave, and on no other", () => {
    expect(fingerChord(up("C3 G3 Eb4"), { hand: "left" }).remarks.map(({ kind: code }) => code)).toEqual(["wide-span"]);
    expect(fingerChord(up("C3 G3 C4"), { hand: "left" }).remarks).toEqual([]);
  });

  it("keeps settled fingers, and refuses too many notes", () => {
    expect(fingerChord(up("C4 E4 G4"), { hand: "right", fixed: { 1: 2 } }).fingers[1]).toBe(2);
    expect(fingerChord(up("C3 E3 G3"), { hand: "left", fixed: { 0: 4 } }).fingers[0]).toBe(4);
    expect(() => fingerChord(up("C4 D4 E4 F4 G4 A4"), { hand: "right" })).toThrow("fingering/chord");
    expect(() => fingerChord(up("C4 C4"), { hand: "right" })).toThrow("fingering/chord");
    expect(() => fingerChord(up("C4 E4"), { hand: "right", fixed: { 2: 1 } })).toThrow("fingering/fixed");
  });

  it("common practice, no source: the little finger on a stride bass, the chord above it without it", () => {
    const events = [
      { at: beats(0), duration: beats(1), pitches: up("C2") },
      { at: beats(1), duration: beats(3), pitches: up("E3 B3") },
    ];
    const { events: fingered } = fingerPassage(events, { hand: "left" });
    expect(fingered.map(({ fingers }) => fingers)).toEqual([[5], [4, 1]]);
  });
});
