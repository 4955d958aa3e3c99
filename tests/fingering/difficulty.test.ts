import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fingerDifficulty, fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";

const at = (notes: string | Parameters<typeof fingerDifficulty>[0], tempo = 100): number =>
  fingerDifficulty(notes, { hand: "right", tempo }).difficulty;
const scale = (name: string, octaves: number) => fingerScale(name, { hand: "right", octaves }).pitches;

describe("difficulty", () => {
  // Common practice of first books, no source: what is taught in this order.
  it("puts in order what every method teaches in order", () => {
    expect(at("C4 C4 C4 C4 C4 C4 C4 C4")).toBeLessThan(at("C4 D4 E4 F4 G4 F4 E4 D4"));
    const taught = [
      "C4 D4 E4 F4 G4 F4 E4 D4",
      scale("C major", 1),
      scale("C major", 2),
      "C4 E4 G4 C5 E5 G5 C6 G5 E5 C5 G4 E4 C4",
      "C4+E4 D4+F4 E4+G4 F4+A4 G4+B4 A4+C5 B4+D5 C5+E5",
      "C4+E4+G4+B4 D4+F4+A4+C5 E4+G4+B4+D5 F4+A4+C5+E5",
    ].map((notes) => at(notes, 240));
    expect(taught).toEqual([...taught].sort((a, b) => a - b));
    expect(new Set(taught).size).toBe(taught.length);
  });

  // Eigeldinger, J.-J. (1986), Chopin: Pianist and Teacher: the scales with long fingers on black keys come first, B major before C major.
  it("puts B major and E major before C major", () => {
    expect(at(scale("B major", 1))).toBeLessThan(at(scale("C major", 1)));
    expect(at(scale("E major", 1))).toBeLessThan(at(scale("C major", 1)));
  });

  it("law: a bar is as hard as the dearest second that begins in it", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 55, max: 79 }), { minLength: 1, maxLength: 12 }),
        fc.constantFrom(60, 100, 240),
        (midi, tempo) => {
          const notes = midi.map((one) => pitchFromMidi(one, "flats"));
          const options = { hand: "right", sequences: false, scale: false, tempo } as const;
          const { bars } = fingerDifficulty(notes, options);
          const rules = fingerPassage(notes, { ...options, explain: true }).steps?.map(({ cost }) => cost) ?? [];
          const slow = Math.min(1, 0.25 / (60 / tempo));
          const costs = rules.map((cost, i) => {
            const semitones = Math.abs((midi[i] ?? 0) - (midi[i - 1] ?? 0));
            return 20 + (i === 0 ? 0 : slow * Math.min(Math.max(cost, 6 * semitones), 40 + 6 * semitones));
          });
          const perSecond = Math.ceil(tempo / 60 - 1e-9);
          for (const { bar, difficulty } of bars) {
            const starts = costs.map((_, i) => i).filter((i) => Math.floor(i / 4) + 1 === bar);
            const sums = starts.map((i) => costs.slice(i, i + perSecond).reduce((a, b) => a + b, 0));
            expect(Math.abs(difficulty - Math.max(...sums))).toBeLessThan(0.06);
          }
        },
      ),
    );
  });

  it("law: what is faster is no easier", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 55, max: 79 }), { minLength: 2, maxLength: 12 }), (midi) => {
        const notes = midi.map((one) => pitchFromMidi(one, "flats"));
        const options = { hand: "left", sequences: false, scale: false, goal: 150 } as const;
        const slow = fingerDifficulty(notes, { ...options, tempo: 60 });
        const fast = fingerDifficulty(notes, { ...options, tempo: 150 });
        expect(fast.difficulty).toBeGreaterThanOrEqual(slow.difficulty);
      }),
    );
  });

  it("names the hardest bar", () => {
    const { hardest, bars } = fingerDifficulty("C4 D4 E4 F4 C4+A4 D4+B4 E4+C5 F4+D5 C4 D4 E4 F4", { hand: "right" });
    expect([hardest.bar, bars.length]).toEqual([2, 3]);
  });

  it("counts bars by their length", () => {
    expect(fingerDifficulty("C4 D4 E4 F4 G4 A4", { hand: "left", bar: 3 }).bars.map(({ bar }) => bar)).toEqual([1, 2]);
  });

  it.each([0, -1, 1001])("refuses a bar of %s", (bar) => {
    expect(() => fingerDifficulty("C4 D4", { hand: "right", bar })).toThrow(
      expect.objectContaining({ code: "fingering/bar" }),
    );
  });
});
