import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { alignTake, assessTake, makeDrill, readMidi, simulateTake, writeMidi } from "../all.ts";
import { HUMAN, noteByNote, scenarios, scores, swingErrors, tryOut } from "./proof.ts";

const all = scores();
const seeds = [11, 12];

describe("assessment on simulated takes", () => {
  // Each fault on one score; guide.test.ts counts them on all.
  it.each(scenarios.map((scenario) => [scenario.title, scenario] as const))(
    "hears what is wrong and nothing else: %s",
    (_, scenario) => {
      const [first = 0] = scenario.scores ?? [];
      const { takes, recalled, told } = tryOut({ ...scenario, scores: [first] }, all, [1]);
      expect({ recalled, told }).toEqual({ recalled: scenario.expected === undefined ? 0 : takes, told: {} });
    },
  );

  it("law: a clean take gets no complaint", () => {
    expect(tryOut({ title: "clean", faults: {} }, all, seeds)).toMatchObject({ takes: 6, wronglyTold: 0 });
    expect(
      tryOut(
        {
          title: "without any unevenness",
          faults: { jitterMs: 0, velocitySpread: 0, chordSpreadMs: 0, lateLeftMs: 0 },
        },
        all,
        [1],
      ),
    ).toMatchObject({ wronglyTold: 0 });
  });

  it("law: the track that a drill is played with has nothing to fix, in whatever touch it is written", () => {
    fc.assert(
      fc.property(
        fc.record({
          key: fc.constantFrom("C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G"),
          changes: fc.constantFrom("turnaround", "two-five-one-long", "blues", "jazz-blues"),
          left: fc.constantFrom("shell", "rootless"),
          right: fc.constantFrom(
            "up-and-down",
            "call-and-response",
            "threes",
            "turns",
            "diatonic-sevenths",
            "bebop-scales",
          ),
          touch: fc.constantFrom("plain", "played", "ballad"),
          tempo: fc.integer({ min: 60, max: 160 }),
        }),
        ({ touch, ...recipe }) => {
          const { score } = makeDrill({ ...recipe, backing: "none" });
          const { notes } = readMidi(writeMidi(score, { touch }));
          expect(assessTake(score, notes).findings.map(({ id, message }) => [id, message])).toEqual([]);
        },
      ),
      { numRuns: 100 },
    );
  });

  it("law: a clean take at half speed gets tempo remarks alone", () => {
    expect(tryOut({ title: "half speed", faults: { tempo: 50 }, expected: "other-tempo" }, all, seeds)).toMatchObject({
      takes: 6,
      recalled: 6,
      wronglyTold: 0,
    });
  });

  it("law: the swing ratio comes back within 2 % (root mean square) from 64 pairs with 10 ms of jitter", () => {
    for (const ratio of ["1.3:1", "2:1"]) {
      const errors = swingErrors(ratio, 120, [21, 22, 23, 24, 25, 26]);
      expect(Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length)).toBeLessThan(0.02);
    }
    expect(HUMAN.jitterMs).toBe(10);
  });

  it("law: slips that gather after a longer note are no restart in choruses that are alike", () => {
    for (const score of all)
      for (const seed of [1, 2, 3, 6]) {
        const faults = { ...HUMAN, wrong: 0.04, missed: 0.04, extra: 0.04, seed };
        expect(alignTake(score, simulateTake(score, faults).played).runs).toHaveLength(1);
      }
  });

  it("nearly every slip is found, note by note, and nearly all that is said is so", () => {
    for (const state of ["wrong", "missed", "extra"] as const) {
      let [truth, found, correct] = [0, 0, 0];
      for (const score of all)
        for (const seed of [4, 5, 6, 7]) {
          const count = noteByNote(score, { wrong: 0.04, missed: 0.04, extra: 0.04, seed })[state];
          [truth, found, correct] = [truth + count.truth, found + count.found, correct + count.correct];
        }
      expect(correct / truth).toBeGreaterThan(0.93);
      expect(correct / found).toBeGreaterThan(0.95);
    }
  });
});
