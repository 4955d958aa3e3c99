import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, NoteEvent, Score, SimulateTakeOptions } from "../all.ts";
import {
  assessTake,
  beatsOf,
  findingCatalogue,
  formatAssessment,
  makeDrill,
  makeScore,
  metre,
  parseDrillRecipe,
  parseKey,
  pitch,
  pitchFromMidi,
  simulateTake,
  swungFeel,
} from "../all.ts";

const drill = makeDrill({ key: "Eb", repeats: 2, values: "triplets" });

const assess = (faults: SimulateTakeOptions, score: Score = drill.score) =>
  assessTake(score, simulateTake(score, { jitterMs: 8, seed: 2, ...faults }).played, { recipe: drill.recipe });

const BAD: SimulateTakeOptions = {
  wrong: 0.08,
  missed: 0.04,
  lateLeftMs: 70,
  drift: 1.2,
  velocitySpread: 20,
  held: 0.4,
  restarts: 1,
};

/** A scale up and down in eighths, with the fingers of C major: thumb under onto F and C going up, third finger over onto E and B going down. */
const scale = (): Score => {
  const up = [60, 62, 64, 65, 67, 69, 71, 72];
  const fingers: Finger[] = [1, 2, 3, 1, 2, 3, 4, 5];
  const keys = [...up, ...up.slice(1, 7).reverse(), 60, 60];
  const own: Finger[] = [...fingers, ...fingers.slice(1, 7).reverse(), 1, 1];
  const right = Array.from(
    { length: 64 },
    (_, i): NoteEvent => ({
      at: beatsOf(i, 2),
      duration: beatsOf(1, 2),
      pitches: [pitchFromMidi(keys[i % 16] as number, "flats")],
      fingers: [own[i % 16] as Finger],
    }),
  );
  return makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 8, tempo: 100, right });
};

describe("assessment", () => {
  it("law: an assessment is plain data, the same for the same take", () => {
    const assessment = assess(BAD);
    expect(JSON.parse(JSON.stringify(assessment))).toStrictEqual(assessment);
    expect(assess(BAD)).toEqual(assessment);
    // What is absent has no key either: hands that never meet, a finding that is about both hands.
    const alone = assess({ tempo: 60, missed: 0.2 }, scale());
    expect(alone.together).toBeUndefined();
    expect(alone.findings.map((finding) => finding.hand)).toEqual(expect.arrayContaining([undefined, "right"]));
    expect(JSON.parse(JSON.stringify(alone))).toStrictEqual(alone);
  });

  it("law: at most three things are said, weightiest first, each with a step to practise that makes a drill", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 10_000 }),
        fc.double({ min: 0, max: 0.15, noNaN: true }),
        fc.constantFrom(0, 40, 90),
        (seed, wrong, lateLeftMs) => {
          const assessment = assess({ ...BAD, seed, wrong, lateLeftMs });
          expect(assessment.say.length).toBeLessThanOrEqual(3);
          expect(assessment.practise.map((step) => step.finding)).toEqual(assessment.say.map((finding) => finding.id));
          const weights = assessment.findings.map((finding) => finding.weight);
          expect(weights).toEqual([...weights].sort((a, b) => b - a));
          for (const step of assessment.practise) {
            expect(parseDrillRecipe(step.recipe)).toMatchObject({ key: "Eb", values: "triplets" });
            expect(step.caution).toContain("stop at any pain");
          }
          for (const finding of assessment.findings)
            expect(findingCatalogue.map((row) => row.id)).toContain(finding.id);
        },
      ),
      { numRuns: 5 },
    );
  });

  it("law: counts of hands and of bars add up to those of the whole", () => {
    const { accuracy, hands, barReports } = assess({ ...BAD, extra: 0.05 });
    for (const state of ["right", "wrong", "missed", "extra", "asked"] as const) {
      expect(hands.reduce((sum, hand) => sum + hand[state], 0)).toBe(accuracy[state]);
      expect(barReports.reduce((sum, bar) => sum + bar[state], 0)).toBe(accuracy[state]);
    }
  });

  it("makes a recipe of key, tempo and feel where none is given", () => {
    const score = makeScore({
      key: parseKey("C minor"),
      metre: metre("4/4"),
      bars: 1,
      feel: swungFeel("3:2"),
      tempo: 120,
      right: [{ at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: [pitch("C4")] }],
    });
    const [step] = assessTake(score, [
      { midi: 62, onsetSeconds: 0.4, durationSeconds: 0.4, velocity: 80 },
      { midi: 60, onsetSeconds: 0.5, durationSeconds: 0.4, velocity: 80 },
    ]).practise;
    expect(step?.of).toBe("score");
    expect(step?.recipe).toMatchObject({ score: "", key: "C minor", feel: "3:2", repeats: 4 });
    // A drill made of it would be another piece.
    expect(() => parseDrillRecipe(step?.recipe)).toThrow(/score/);
  });

  it("says less when asked to", () => {
    const played = simulateTake(drill.score, BAD).played;
    expect(assessTake(drill.score, played, { most: 1 }).say).toHaveLength(1);
    expect(assessTake(drill.score, played, { most: 0 }).practise).toEqual([]);
  });

  it("groups slips that come where the thumb goes under", () => {
    // F in bars 1, 3 and 5 is reached by the thumb; one slip lies elsewhere.
    const { troubleSpots, say, practise } = assess({ wrongAt: [3, 19, 35, 10] }, scale());
    const spot = troubleSpots.find((one) => one.difficulty === "thumb-under");
    expect(spot).toMatchObject({ hand: "right", slips: 3, of: 4, bars: [1, 3, 5] });
    expect(spot?.places.map((place) => place.pitch)).toEqual(["F4", "F4", "F4"]);
    expect(say[0]?.message).toBe(
      "Most of the slips in your right hand come right where the thumb goes under (bars 1, 3 and 5).",
    );
    expect(practise[0]).toMatchObject({ finding: "trouble-spot", hands: "right", bars: [1, 3, 5] });
  });

  it("groups slips that come where a finger crosses over, and finds the fingers where the score has none", () => {
    const fingered = scale();
    const bare: Score = { ...fingered, right: fingered.right.map(({ fingers: _fingers, ...event }) => event) };
    for (const score of [fingered, bare]) {
      // E on the way down follows the thumb on F.
      expect(assess({ wrongAt: [12, 28, 44] }, score).troubleSpots[0]).toMatchObject({
        difficulty: "cross-over",
        slips: 3,
        of: 3,
      });
    }
  });

  it("does not blame a crossing for slips that lie anywhere", () => {
    expect(
      assess({ wrongAt: [1, 6, 17, 22, 3] }, scale()).troubleSpots.filter((spot) => spot.difficulty !== undefined),
    ).toEqual([]);
  });

  it("does not blame leaps where every note is a leap", () => {
    const right = Array.from(
      { length: 32 },
      (_, i): NoteEvent => ({
        at: beatsOf(i, 2),
        duration: beatsOf(1, 2),
        pitches: [pitchFromMidi(i % 2 === 0 ? 60 + (i % 5) : 74 + (i % 3), "flats")],
        fingers: [i % 2 === 0 ? 1 : 5],
      }),
    );
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 100, right });
    const { accuracy, troubleSpots } = assess({ wrongAt: [3, 11, 18, 26] }, score);
    expect(accuracy.wrong).toBe(4);
    expect(troubleSpots.filter((spot) => spot.difficulty !== undefined)).toEqual([]);
  });

  it("counts a long note as let go early below three fifths of its length", () => {
    const share = (held: number) => assess({ held, jitterMs: 0 }).hands.find((hand) => hand.hand === "left")?.held;
    const [short, long] = [share(0.55), share(0.7)];
    expect(short?.short).toBe(short?.notes);
    expect(long?.short).toBe(0);
  });

  it("measures what was played: lag of the left hand, tempo, swing, triplets, holding, chords, touch", () => {
    const { together, tempo, hands } = assess({
      jitterMs: 0,
      lateLeftMs: 50,
      tempo: 80,
      tripletLean: -0.06,
      held: 0.5,
      chordSpreadMs: 50,
      loudFinger: { finger: 1, by: 18 },
    });
    expect(together?.leftAfterMs).toBeGreaterThan(45);
    expect(tempo.played).toBeCloseTo(80, 0);
    const [right, left] = hands;
    expect(right?.triplets).toMatchObject({ second: -0.06, third: -0.06, spread: 0 });
    expect(left?.held?.share).toBeGreaterThan(0.45);
    expect(left?.held?.share).toBeLessThan(0.55);
    expect(left?.chords?.medianMs).toBeCloseTo(50, 0);
    expect(right?.touch?.byFinger[1]).toBeGreaterThan(9);
    const eighths = makeDrill({ key: "C", repeats: 2, feel: "2:1" }).score;
    const swing = assessTake(eighths, simulateTake(eighths, { swing: "3:2" }).played).hands[0]?.swing;
    expect(swing?.asked).toBe(2);
    expect(swing?.measured.ratio.value).toBeCloseTo(1.5, 2);
  });

  it("tells a student in words: praise, what to do, figures, and the caution", () => {
    const text = formatAssessment(assess({ wrong: 0.08, lateLeftMs: 70 }));
    expect(text.split("\n")[0]).toBe("Turnaround in E♭");
    expect(text).toMatch(/^1\. .+\n {3}Try: .+\n {3}.+ at \d+, about \d+ times with breaks\.$/m);
    expect(text).toMatch(/The left hand comes about (6[5-9]|7[0-5]) ms/);
    expect(text).toContain("Warm up, take breaks, and stop at any pain");
    expect(text).not.toMatch(/undefined|NaN|\b4\. /);
    const clean = formatAssessment(assess({}));
    expect(clean).toContain("Nothing to fix");
    expect(clean).not.toContain("Warm up");
  });
});
