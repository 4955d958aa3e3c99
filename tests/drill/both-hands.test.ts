import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import { pitchName } from "../../src/pitch/index.ts";
import { addBeats, beatsToNumber } from "../../src/time/index.ts";

const STYLES = ["shell", "spread", "fourths", "drop-2", "upper-structure", "locked-hands"] as const;
const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;

describe("comping with both hands", () => {
  it("strikes both hands at once, each with its notes of the voicing", () => {
    const { score, voiced, remarks } = makeDrill({
      key: "C",
      changes: "Dm9 | G13 | Cmaj9",
      left: "upper-structure",
      right: "comping",
    });
    expect(remarks).toEqual([]);
    expect(score.left.map(({ at }) => beatsToNumber(at))).toEqual([0, 4, 8]);
    expect(score.right.map(({ at, duration }) => [beatsToNumber(at), beatsToNumber(duration)])).toEqual([
      [0, 4],
      [4, 4],
      [8, 4],
    ]);
    for (const [i, voicing] of voiced.voicings.entries()) {
      const names = [...(score.left[i]?.pitches ?? []), ...(score.right[i]?.pitches ?? [])].map(pitchName);
      expect(names).toEqual(voicing.pitches.map(pitchName));
      expect(score.right[i]?.fingers).toHaveLength(score.right[i]?.pitches.length ?? 0);
    }
  });

  it("law: in every key, style and pattern that ships for it hands never cross, and the right hand strikes only with the left", () => {
    for (const key of KEYS) {
      for (const [i, left] of STYLES.entries()) {
        const comping = (["held", "charleston", "root-then-chord"] as const)[(i + key.length) % 3];
        const { score } = makeDrill({ key, left, comping, right: "comping", backing: "none" });
        const starts = new Set(score.left.map(({ at }) => beatsToNumber(at)));
        expect(score.right.length).toBeGreaterThan(0);
        for (const { at, duration, pitches } of score.right) {
          expect(starts.has(beatsToNumber(at))).toBe(true);
          const end = beatsToNumber(addBeats(at, duration));
          for (const other of score.left) {
            const meets =
              beatsToNumber(other.at) < end && beatsToNumber(addBeats(other.at, other.duration)) > beatsToNumber(at);
            if (meets) expect(other.pitches.at(-1)?.semitones ?? 0).toBeLessThan(pitches[0]?.semitones ?? 0);
          }
        }
      }
    }
  });

  it("refuses voicings of one hand, and a level", () => {
    const codeOf = (make: () => unknown): string => {
      try {
        make();
        return "none";
      } catch (error) {
        return error instanceof MusicError ? `${error.code} ${error.expected}` : "other";
      }
    };
    expect(codeOf(() => makeDrill({ key: "C", left: "rootless", right: "comping" }))).toContain(
      "voicings for two hands",
    );
    expect(codeOf(() => makeDrill({ key: "C", right: "comping", level: 2 }))).toContain("recipe/drill");
  });
});
