import { describe, expect, it } from "vitest";
import { drillDifficulty, drillKeys, makeDrill, packetDrills } from "../../src/drill/index.ts";
import { fingerDifficulty, fingerScale } from "../../src/fingering/index.ts";
import { drillsOfLevel, levelCatalogue } from "../../src/recipe/index.ts";
import { twelveKeys } from "../../src/scale/index.ts";

describe("drillDifficulty", () => {
  const drill = makeDrill({ key: "C", left: "shell", tempo: 80 });

  it("law: the bars are those of the hands, and the hardest is among them", () => {
    const { bars, hardest, difficulty } = drillDifficulty(drill);
    expect(bars.map(({ bar }) => bar)).toEqual([1, 2, 3, 4]);
    expect(bars).toContainEqual(hardest);
    const sums = bars.map(({ right, left }) => right + left);
    expect(Math.max(...sums)).toBe((hardest?.right ?? 0) + (hardest?.left ?? 0));
    expect(Math.abs(sums.reduce((a, b) => a + b, 0) / 4 - difficulty)).toBeLessThan(0.1);
    expect(drillDifficulty(drill.score)).toEqual(drillDifficulty(drill));
  });

  it("law: the same drill is no easier at a faster tempo", () => {
    const at = [60, 80, 100, 120].map(
      (tempo) => drillDifficulty(makeDrill({ key: "C", left: "shell", tempo })).difficulty,
    );
    expect(at).toEqual([...at].sort((a, b) => a - b));
    expect(new Set(at).size).toBeGreaterThan(2);
  });

  it("one hand by itself costs nothing in the other", () => {
    const { bars } = drillDifficulty(makeDrill({ key: "C", hands: "right" }));
    expect(bars.every(({ left, right }) => left === 0 && right > 0)).toBe(true);
  });

  it("refuses what is neither a drill nor a score", () => {
    const junk: unknown = { kind: "drill" };
    expect(() => drillDifficulty(junk as typeof drill)).toThrow(expect.objectContaining({ code: "drill/argument" }));
  });

  // Common practice: triplets are harder than eighths at one tempo.
  it("within an exercise, triplets are harder than eighths", () => {
    const of = (octaves: 1 | 2, values: "eighths" | "triplets") =>
      drillDifficulty(makeDrill({ key: "F", right: "up-and-down", hands: "right", octaves, values })).difficulty;
    expect(of(1, "triplets")).toBeGreaterThan(of(1, "eighths"));
  });
});

describe("levels", () => {
  it.each(["major", "minor"] as const)(
    "law: in %s keys the drills of each level are harder under the hands than those of the one below",
    (mode) => {
      const means = levelCatalogue.map(({ id }) => {
        const costs = (mode === "major" ? ["C", "Eb", "F#"] : ["C minor", "E minor", "Bb minor"]).flatMap((key) =>
          drillsOfLevel(id, { mode }).map(
            (drill) => drillDifficulty(makeDrill({ ...drill, key, tempo: 100 })).difficulty,
          ),
        );
        return costs.reduce((sum, cost) => sum + cost, 0) / costs.length;
      });
      for (const [i, mean] of means.entries()) expect(mean).toBeGreaterThan(means[i - 1] ?? 0);
    },
  );

  it("packets with a left hand, pickups or changes of their own take no pattern from the level", () => {
    const [plain] = packetDrills({ keys: ["C"], levels: [5], exercises: 1 });
    expect(plain?.recipe.comping).toBe("syncopated");
    for (const more of [
      { left: "shell" },
      { pickup: true },
      { changes: "waltz-blues" },
      { metre: "3/4", changes: "I | IV" },
    ] as const)
      expect(packetDrills({ keys: ["C"], levels: [5], exercises: 1, ...more })[0]?.recipe.comping).toBeUndefined();
  });
});

describe("keys, the easiest first", () => {
  it("law: each key's scale costs the right hand as much as the one before it, or more", () => {
    for (const scale of ["major", "major blues"]) {
      const keys = drillKeys("turnaround", scale, { order: "easiest" });
      const costs = keys.map(
        (key) =>
          fingerDifficulty(fingerScale(`${key} ${scale}`, { hand: "right" }).pitches, { hand: "right" }).difficulty,
      );
      expect(costs).toEqual([...costs].sort((a, b) => a - b));
      expect(new Set(keys)).toEqual(new Set(drillKeys("turnaround", scale)));
    }
  });

  // Eigeldinger, J.-J. (1986), Chopin: Pianist and Teacher: B major first, since the long fingers lie on the black keys.
  it("B major is first among the major scales", () => {
    expect(drillKeys("turnaround", "major", { order: "easiest" })[0]).toBe("B");
  });

  it("packets take it", () => {
    const keys = packetDrills({ order: "easiest", levels: [1], exercises: 1 }).map(({ key }) => key);
    expect(keys).toEqual(drillKeys("turnaround", "major blues", { order: "easiest" }));
    expect(keys).not.toEqual(twelveKeys());
  });
});
