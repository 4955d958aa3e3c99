import { describe, expect, it } from "vitest";
import type { Evidence } from "../../src/assess/findings/finding.ts";
import type { Take } from "../../src/assess/measure/model.ts";
import { practiceStep, roundTempo } from "../../src/assess/say/practice.ts";
import { praise } from "../../src/assess/say/praise.ts";
import { capital, inBars, inWords, msAndShare, plural } from "../../src/assess/say/words.ts";
import type { HandReport } from "../all.ts";
import { makeScore, metre, parseDrillRecipe, parseKey, swungFeel } from "../all.ts";

describe("words for a student", () => {
  it("writes numbers up to twelve in words", () => {
    expect([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13].map(inWords)).toEqual([
      "no",
      "one",
      "two",
      "three",
      "four",
      "five",
      "six",
      "seven",
      "eight",
      "nine",
      "ten",
      "eleven",
      "twelve",
      "13",
    ]);
    expect([plural(1, "key"), plural(3, "key"), plural(0, "key"), plural(2, "hand", "both")]).toEqual([
      "one key",
      "three keys",
      "no keys",
      "two both",
    ]);
    expect([capital("bar 3"), capital("")]).toEqual(["Bar 3", ""]);
  });

  it("names up to four bars, and the pickup", () => {
    expect(
      [[3], [3, 5], [2, 5, 9], [2, 5, 9, 10], [2, 5, 9, 10, 12], [0], [0, 2], [0, 1, 2, 3, 4], [-1], [-1, 0, 2]].map(
        inBars,
      ),
    ).toEqual([
      "bar 3",
      "bars 3 and 5",
      "bars 2, 5 and 9",
      "bars 2, 5, 9 and 10",
      "bars 2, 5, 9, 10 and more",
      "the pickup",
      "the pickup and bar 2",
      "the pickup and bars 1, 2, 3 and more",
      "the pickup",
      "the pickup and bar 2",
    ]);
  });

  it("writes milliseconds and the share of a beat without a sign", () => {
    expect(msAndShare(-41.6, -0.083)).toBe("42 ms, 8 % of a beat");
  });
});

describe("praise", () => {
  const report = (hand: "right" | "left", accuracy: number, spreadMs = 40): HandReport => ({
    hand,
    asked: 20,
    right: 20 * accuracy,
    wrong: 0,
    missed: 0,
    extra: 0,
    accuracy,
    timing: { moments: 20, meanMs: 0, meanBeats: 0, spreadMs, spreadBeats: 0 },
  });
  const evidence = (fields: {
    accuracy?: number;
    hands?: readonly HandReport[];
    sway?: number;
    pauses?: number;
    runs?: number;
    leftAfterMs?: number;
  }): Evidence => {
    const {
      accuracy = 0.5,
      hands = [report("right", accuracy), report("left", accuracy)],
      sway = 0,
      pauses = 0,
      runs = 1,
      leftAfterMs,
    } = fields;
    const run = {
      begins: "start",
      from: { bar: 1, beat: "1" },
      to: { bar: 1, beat: "1" },
      misread: [],
      pauses: Array.from({ length: pauses }, () => ({ bar: 1, beat: "1", seconds: 1 })),
      tempos: [],
    };
    return {
      whole: { asked: 40, right: 40 * accuracy, wrong: 0, missed: 0, extra: 0, accuracy },
      hands,
      tempo: { asked: 100, played: 100, start: 100, end: 100, sway, besideArches: sway },
      troubleSpots: [],
      take: { alignment: { runs: Array.from({ length: runs }, () => run) } } as unknown as Take,
      together: leftAfterMs === undefined ? undefined : { moments: 9, leftAfterMs, spreadMs: 9 },
    };
  };

  it("for every note right, and for time where both hands keep it within 20 ms", () => {
    const all = praise(evidence({ accuracy: 1, pauses: 1 }));
    const steady = praise(evidence({ accuracy: 1, hands: [report("right", 1, 20), report("left", 1, 5)] }));
    expect(all).toBe("Every one of the 40 notes is right.");
    expect(steady).toBe("Every one of the 40 notes is right, and every beat is well in time.");
    const late = evidence({ accuracy: 1, pauses: 1, hands: [report("right", 1, 20), report("left", 1, 21)] });
    expect(praise(late)).toBe(all);
    const { timing: _timing, ...untold } = report("left", 1);
    expect(praise(evidence({ accuracy: 1, pauses: 1, hands: [report("right", 1, 20), untold] }))).toBe(all);
  });

  it("for one hand, or nine notes in ten", () => {
    expect(praise(evidence({ accuracy: 0.95, hands: [report("right", 0.9), report("left", 1)] }))).toContain(
      "Every note of the left hand is right",
    );
    expect(praise(evidence({ accuracy: 0.9, pauses: 1 }))).toBe("36 of 40 notes are right.");
  });

  it("for swing, triplets and touch by name", () => {
    const estimate = { value: 2, low: 1.9, high: 2.1 };
    const swing = {
      asked: 2,
      spread: 0.02,
      measured: {
        kind: "swing-measurement",
        unit: "eighth",
        pairs: 8,
        ratio: estimate,
        beatUpbeatRatio: estimate,
        downbeatDelay: estimate,
      },
    } as const;
    const told = (fields: Partial<HandReport>): string =>
      praise(evidence({ pauses: 1, hands: [{ ...report("right", 0.5), ...fields }] }));
    expect(told({ swing })).toBe("Your swing sits where it should, at about 2:1.");
    expect(told({ swing: { ...swing, spread: 0.05 } })).toContain("20 notes");
    expect(told({ triplets: { beats: 4, second: 0, third: 0.02, spread: 0.01 } })).toBe("Your triplets are even.");
    expect(told({ touch: { notes: 20, mean: 80, spread: 6, byFinger: {} } })).toBe("Your touch is even.");
    expect(told({ touch: { notes: 20, mean: 80, spread: 7, byFinger: {} } })).toContain("20 notes");
  });

  it("for one thing or two that are true, where notes are not it", () => {
    const told = [
      evidence({}),
      evidence({ hands: [report("right", 0.5, 20)] }),
      evidence({ pauses: 1, sway: 0.009 }),
      evidence({ runs: 2, sway: 0.015 }),
      evidence({ pauses: 1, leftAfterMs: -15 }),
      evidence({ pauses: 1, sway: 0.016, leftAfterMs: 15 }),
      evidence({ pauses: 1, leftAfterMs: 16 }),
      evidence({ pauses: 1 }),
    ].map(praise);
    expect(told).toEqual([
      "You played it through without stopping.",
      "You kept the beat going, also where notes went astray.",
      "You kept the tempo steady at about 100.",
      "You kept the tempo steady at about 100.",
      "Your hands fall together.",
      "Your hands fall together.",
      "20 notes are in the right place already.",
      "20 notes are in the right place already.",
    ]);
  });
});

describe("steps to practise", () => {
  const score = makeScore({ key: parseKey("F"), metre: metre("4/4"), bars: 1, tempo: 120, feel: swungFeel("2:1") });
  const step = (slower: number | undefined, played: number, of = score) =>
    practiceStep(
      "pauses",
      { hands: "left", bars: [2], how: "Slowly.", ...(slower === undefined ? {} : { slower }) },
      of,
      played,
      undefined,
    );

  it("ask for a tempo that a metronome has, from 40 on, below the slower of the written and the played", () => {
    expect([101, 102, 20, 39, 41].map(roundTempo)).toEqual([100, 104, 40, 40, 40]);
    expect(step(0.7, 120).recipe.tempo).toBe(84);
    expect(step(0.7, 80).recipe.tempo).toBe(56);
    expect(step(0.7, 200).recipe.tempo).toBe(84);
    expect(step(undefined, 120).recipe.tempo).toBe(120);
    expect(step(0.7, 20).recipe.tempo).toBe(40);
    expect(step(undefined, 999, { ...score, tempo: 999 }).recipe.tempo).toBe(400);
  });

  it("keep a recipe's own fields, or make one of key, mode and feel", () => {
    const made = step(1, 120);
    expect(made).toMatchObject({
      kind: "practice-step",
      finding: "pauses",
      hands: "left",
      bars: [2],
      how: "Slowly.",
      recipe: { key: "F", feel: "2:1", tempo: 120, repeats: 4 },
    });
    // Bars and hands are those of this very score, of which no drill can be made.
    expect(made).toMatchObject({ of: "score", recipe: { score: score.title, hands: "left" } });
    expect(() => parseDrillRecipe(made.recipe)).toThrow(/score/);
    const minor = makeScore({ key: parseKey("C minor"), metre: metre("4/4"), bars: 1, tempo: 120 });
    expect(step(1, 120, minor).recipe).toMatchObject({ key: "C minor", feel: "1:1" });
    const kept = practiceStep("pauses", { hands: "both", bars: [], repeats: 2, how: "Slowly." }, score, 120, {
      key: "Eb",
      values: "triplets",
      tempo: 200,
    });
    expect(kept.recipe).toEqual({ key: "Eb", values: "triplets", tempo: 120, repeats: 2 });
  });
});
