import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { parsePitch } from "../../src/pitch/index.ts";
import { progressionCatalogue } from "../../src/progression/index.ts";
import { lowIntervalBreaches } from "../../src/voicing/index.ts";

const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;

describe("who plays the bass of slash chords", () => {
  const told = (more: object): readonly string[] =>
    makeDrill({ key: "Eb", changes: "Ebmaj7 | Ebmaj7/D | Cm7 | Fm7/Bb", left: "rootless", ...more }).remarks;

  it("is told: the bass, the left hand's own pattern, or nobody", () => {
    expect(told({})).toEqual(["The bass notes of E♭maj7/D and Fm7/B♭: left to the bass."]);
    expect(told({ backing: "none" })).toEqual([
      "The bass notes of E♭maj7/D and Fm7/B♭: in no part here; sing it, or play it before the chord.",
    ]);
    expect(told({ comping: "root-then-chord" })).toEqual([
      "The bass notes of E♭maj7/D and Fm7/B♭: the left hand's own, where its pattern has the root.",
    ]);
    expect(told({ changes: "Ebmaj7 | Cm7" })).toEqual([]);
  });

  it("is played by the bass where it is left to it, and by the left hand where it is its own", () => {
    const drill = makeDrill({
      key: "Eb",
      changes: "Ebmaj7/D | Cm7 | Cm7 | Cm7",
      left: "rootless",
      comping: "root-then-chord",
    });
    expect((drill.score.left[0]?.pitches[0]?.semitones ?? 0) % 12).toBe(2);
    expect((drill.score.bass?.[0]?.pitches[0]?.semitones ?? 0) % 12).toBe(2);
  });
});

describe("hands that cross", () => {
  it("are told where no placement keeps them apart, and not otherwise", () => {
    const crossed = (left: "close" | "rootless", octaves: 1 | 2 | 3): readonly string[] =>
      makeDrill({ key: "Db", left, octaves, backing: "none" }).remarks.filter((one) => one.includes("reaches below"));
    expect(crossed("rootless", 2)).toEqual([]);
    expect(crossed("close", 1)).toEqual([]);
    expect(crossed("close", 2)).toEqual([]);
    expect(crossed("rootless", 3)).toEqual([
      expect.stringMatching(/^In \d+ of its notes the right hand reaches below/),
    ]);
  });
});

// Tops mostly from C4 to A4, bottoms above the low-interval limits: MacDonald's handout and common practice, as in the issue of the registers.
describe("registers of the left hand", () => {
  it("law: in every key and progression that ships, rootless tops lie from C4 to A4 in nineteen of twenty, and nothing below its low-interval limit", () => {
    let [inside, all] = [0, 0];
    for (const key of KEYS) {
      for (const { id, mode } of progressionCatalogue) {
        if (mode === "minor") continue;
        const { voiced } = makeDrill({ key, changes: id, left: "rootless", right: "improvised", backing: "none" });
        for (const { pitches } of voiced.voicings) {
          const top = pitches.at(-1)?.semitones ?? 0;
          all++;
          if (top >= parsePitch("C4").semitones && top <= parsePitch("A4").semitones) inside++;
          expect(lowIntervalBreaches(pitches)).toEqual([]);
        }
      }
    }
    expect(inside / all).toBeGreaterThan(0.95);
  });
});
