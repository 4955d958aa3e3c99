import { describe, expect, it } from "vitest";
import { layOutChord } from "../../src/comping/index.ts";
import { pitchClassOf, pitchName } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";
import type { VoicingStyle } from "../../src/voicing/index.ts";
import { voicingsFor } from "../../src/voicing/index.ts";

const ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
const SUFFIXES = ["", "m", "7", "maj7", "m7", "m7b5", "dim7", "7#5", "7b9", "6", "m6", "9sus4", "13"];
const STYLES: readonly VoicingStyle[] = ["shell", "two-note-shell", "rootless", "close", "spread"];
const SPAN = { at: beats(4), duration: beats("3/2") };

// Semitones of the fifth above the root, from the symbol's own words; the rest are perfect.
const ALTERED: Readonly<Record<string, number>> = { m7b5: 6, dim7: 6, "7#5": 8 };

describe("layOutChord", () => {
  it("common practice: root from E2 to Eb3, fifth just below it, or above where it would fall below C2", () => {
    const beside = (symbol: string): string[] => {
      const { root, fifth } = layOutChord(SPAN, [...voicingsFor(symbol, { style: "shell" })][0]!);
      return [root, fifth].map(pitchName);
    };
    expect(beside("Eb7")).toEqual(["Eb3", "Bb2"]);
    expect(beside("G7")).toEqual(["G2", "D2"]);
    expect(beside("F7")).toEqual(["F2", "C2"]);
    expect(beside("E7")).toEqual(["E2", "B2"]);
    expect(beside("F#m7b5")).toEqual(["F#2", "C2"]);
    expect(beside("Fm7b5")).toEqual(["F2", "Cb3"]);
    expect(beside("C/G")).toEqual(["G2", "C2"]);
  });

  it("law: the root is the chord's bass at or below its voicing, the fifth is its own, less than an octave away and never below C2 (C1)", () => {
    let seen = 0;
    for (const note of ROOTS) {
      for (const suffix of SUFFIXES) {
        for (const style of STYLES) {
          for (const dropBass of [false, true]) {
            let voicings;
            try {
              voicings = [...voicingsFor(`${note}${suffix}`, { style, dropBass })];
            } catch {
              continue;
            }
            for (const voicing of voicings) {
              const { at, duration, root, fifth, chord, all } = layOutChord(SPAN, voicing, { dropBass });
              expect({ at, duration }).toEqual(SPAN);
              expect((root.semitones + 120) % 12).toBe(pitchClassOf(voicing.chord.bass));
              expect(root.semitones).toBeLessThanOrEqual(chord[0]!.semitones);
              expect((fifth.semitones - root.semitones + 120) % 12).toBe(ALTERED[suffix] ?? 7);
              expect(Math.abs(fifth.semitones - root.semitones)).toBeLessThan(12);
              // C0 is 0 semitones: the fifth may lie above the root, a root that was moved down may lie lower than its range.
              if (fifth.semitones < root.semitones) expect(fifth.semitones).toBeGreaterThanOrEqual(dropBass ? 12 : 24);
              expect(all).toEqual(voicing.pitches.filter((_, i) => voicing.hands[i] === "left"));
              expect(chord).toEqual(voicing.bass === undefined ? all : all.slice(1));
              seen++;
            }
          }
        }
      }
    }
    expect(seen).toBeGreaterThan(1000);
  });

  it("law: dropping the bass moves root and fifth down an octave and leaves the hand where it is", () => {
    for (const note of ROOTS) {
      const [plain] = [...voicingsFor(`${note}13`, { style: "rootless" })];
      const high = layOutChord(SPAN, plain!);
      const low = layOutChord(SPAN, plain!, { dropBass: true });
      expect([low.root, low.fifth].map((p) => p.semitones + 12)).toEqual(
        [high.root, high.fifth].map((p) => p.semitones),
      );
      expect(low.chord).toEqual(high.chord);
    }
  });
});
