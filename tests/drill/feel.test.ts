import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { scoreFromJson, scoreToJson, soundingNotes, touchCatalogue } from "../../src/score/index.ts";
import { partFeel } from "../../src/swing/index.ts";
import { beatsToNumber } from "../../src/time/index.ts";

describe("the feel of a drill", () => {
  it("follows the tempo, unless a ratio is asked for", () => {
    expect(partFeel(makeDrill({ key: "C", tempo: 200 }).score.feel, "drums").ratio).toEqual({ first: 2, second: 1 });
    expect(partFeel(makeDrill({ key: "C", tempo: 150 }).score.feel, "drums").ratio).toEqual({ first: 3, second: 1 });
    expect(makeDrill({ key: "C", tempo: 200, feel: "3:1" }).score.feel.ratio).toEqual({ first: 3, second: 1 });
  });

  it("is straight in a compound metre and under a band that plays even eighths", () => {
    const slow = makeDrill({ key: "C", changes: "slow-blues", backing: "slow-blues", tempo: 60 });
    expect(slow.score.feel.id).toBe("straight");
    expect(makeDrill({ key: "C", changes: "slow-blues", feel: "3:1" }).score.feel.id).toBe("straight");
    expect(makeDrill({ key: "C", backing: "even" }).score.feel.id).toBe("straight");
    expect(makeDrill({ key: "C", backing: "even", feel: "2:1" }).score.feel.ratio).toEqual({ first: 2, second: 1 });
    expect(makeDrill({ key: "C", backing: "ballad", tempo: 60 }).score.feel).toMatchObject({ unit: "16th" });
  });

  // A recipe counts beats, a score quarter notes: a beat of 12/8 is a dotted quarter.
  it("counts the beats of the metre", () => {
    expect(makeDrill({ key: "C", changes: "slow-blues", tempo: 60 }).score.tempo).toBe(90);
    expect(makeDrill({ key: "C", tempo: 60 }).score.tempo).toBe(60);
  });
});

describe("any metre, feel and tempo in a recipe", () => {
  it("law: eighths of a compound metre, or of one that counts eighths, stay where they are written; in others the line swings as its feel says", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("2/4", "3/4", "4/4", "5/4", "7/4", "6/8", "9/8", "12/8", "7/8"),
        fc.constantFrom("swing", "late swing", "2:1", "3:2", "straight", "1.3:1"),
        fc.integer({ min: 60, max: 260 }),
        fc.constantFrom("none" as const, "held" as const, "tag" as const),
        (metre, feel, tempo, ending) => {
          const recipe = {
            key: "C",
            changes: "turnaround",
            metre,
            feel,
            tempo,
            ending,
            backing: "none",
            countIn: 2,
          } as const;
          const { score } = makeDrill({ ...recipe, right: "up-and-down" });
          const eighthsCount = ["6/8", "9/8", "12/8", "7/8"].includes(metre);
          const ratio = score.feel.ratio.first / score.feel.ratio.second;
          if (eighthsCount || feel === "straight") expect(ratio).toBe(1);
          const line = score.feel.parts?.right?.downbeatDelay ?? score.feel.downbeatDelay;
          const late = line === undefined ? 0 : line.num / line.den;
          const sounding = soundingNotes(score, "right");
          score.right.forEach(({ at, graces }, i) => {
            const note = sounding.find(({ event, grace }) => event === i && !grace);
            if (note === undefined || graces !== undefined || at.den > 2) return;
            const place = beatsToNumber(at);
            const heard = beatsToNumber(note.at);
            if (eighthsCount) expect(heard).toBeCloseTo(place, 9);
            else if (at.den === 1) expect(heard).toBeCloseTo(place + late, 9);
            else expect(heard - Math.floor(place)).toBeCloseTo(ratio / (ratio + 1), 9);
          });
        },
      ),
      { numRuns: 80 },
    );
  });

  it("a touch of one's own goes through a recipe, and is refused at its door", () => {
    const [, played] = touchCatalogue;
    const mine = {
      ...played,
      id: "mine",
      parts: { right: { ...played.parts.right, velocity: 101, offbeat: 0, top: 0, high: 0, ghost: 0, end: 0 } },
    };
    const { recipe, score } = makeDrill({ key: "C", touch: mine });
    expect(recipe.touch).toEqual(mine);
    expect(scoreFromJson(JSON.parse(JSON.stringify(scoreToJson(score)))).recipe?.touch).toEqual(mine);
    const velocities = soundingNotes(score, "right", { touch: mine })
      .filter(({ grace }) => !grace)
      .map(({ velocity }) => velocity);
    expect(new Set(velocities)).toEqual(new Set([101]));
    for (const touch of [{ ...mine, parts: { right: { velocity: 300 } } }, { ...mine, loud: true }, "playd"])
      expect(() => makeDrill({ key: "C", touch: touch as never })).toThrow(
        expect.objectContaining({ code: "recipe/drill" }),
      );
  });
});
