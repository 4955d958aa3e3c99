import { describe, expect, it } from "vitest";
import { makeDrill, simulateTake } from "../../src/index.ts";

const score = makeDrill({ key: "C", repeats: 4 }).score;
const total = (events: typeof score.right): number => events.reduce((sum, event) => sum + event.pitches.length + (event.graces?.length ?? 0), 0);

describe("simulated takes", () => {
  it("law: the same seed gives the same take, another seed another", () => {
    const faults = { jitterMs: 10, wrong: 0.1, missed: 0.1, extra: 0.1, restarts: 1, pauses: 1 };
    expect(simulateTake(score, { ...faults, seed: 5 })).toEqual(simulateTake(score, { ...faults, seed: 5 }));
    expect(simulateTake(score, { ...faults, seed: 5 }).played).not.toEqual(simulateTake(score, { ...faults, seed: 6 }).played);
  });

  it("law: without faults every note is played at its time", () => {
    const { played, meant, wrong, missed } = simulateTake(score);
    expect(played).toHaveLength(total(score.right) + total(score.left));
    expect([...meant].sort((a, b) => a - b)).toEqual(played.map((_, i) => i));
    expect([wrong, missed]).toEqual([[], []]);
    expect(played.map((note) => note.onsetSeconds)).toEqual(played.map((note) => note.onsetSeconds).sort((a, b) => a - b));
    // 16 bars at 100: the last strokes fall in the last bar.
    expect(played.at(-1)?.onsetSeconds).toBeGreaterThan(15 * 4 * 0.6 - 0.01);
    expect(played.at(-1)?.onsetSeconds).toBeLessThan(16 * 4 * 0.6);
  });

  it("does what it is asked to, about as often as asked", () => {
    const notes = total(score.right) + total(score.left);
    const { wrong, missed, meant, played, restarts, pauses } = simulateTake(score, { wrong: 0.2, missed: 0.1, extra: 0.1, seed: 9 });
    expect(Math.abs(wrong.length / notes - 0.18)).toBeLessThan(0.08);
    expect(Math.abs(missed.length / notes - 0.1)).toBeLessThan(0.07);
    expect(meant.filter((index) => index < 0).length).toBe(played.length - notes + missed.length);
    expect([restarts, pauses]).toEqual([[], []]);
    expect(simulateTake(score, { restarts: 2, pauses: 1 })).toMatchObject({ restarts: { length: 2 }, pauses: { length: 1 } });
  });

  it.each([{ wrong: 1.5 }, { tempo: 0 }, { restarts: 0.5 }, { seed: -1 }, { jitterMs: Number.NaN }, { transpose: 60 }])("refuses %o", (faults) => {
    expect(() => simulateTake(score, faults)).toThrowError(expect.objectContaining({ code: "assess/faults" }));
  });
});
