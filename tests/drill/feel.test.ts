import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { partFeel } from "../../src/swing/index.ts";

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
