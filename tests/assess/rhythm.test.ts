import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { RhythmMoment } from "../../src/assess/align/rhythm.ts";
import { changeCost, intervalCost, readingsOf, readRhythm, stopCost, warpOf } from "../../src/assess/align/rhythm.ts";
import type { NoteEvent } from "../all.ts";
import { assessTake, beatsOf, makeScore, metre, parseKey, pitchFromMidi } from "../all.ts";
import { person } from "./people.ts";

const STEP = Math.log(1.03);

/** The least cost over every course of tempo and every reading, each tried. */
const cheapest = (moments: readonly RhythmMoment[], pace: number, reach: number): number => {
  const end = moments.at(-1)?.beat ?? 0;
  const search = (i: number, tempo: number): number => {
    const [from, to] = [moments[i], moments[i + 1]];
    if (from === undefined || to === undefined) return 0;
    const [asked, seconds] = [to.beat - from.beat, to.seconds - from.seconds];
    let least = Infinity;
    for (let next = -reach; next <= reach; next++) {
      const own = pace * Math.exp(STEP * next);
      const change = changeCost(Math.abs(next - tempo), asked, end - to.beat < 4);
      const read = Math.min(
        stopCost(seconds, asked, own),
        ...readingsOf(asked, from.named).map(({ quarters, price }) => price + intervalCost(seconds, quarters, own)),
      );
      least = Math.min(least, change + read + search(i + 1, next));
    }
    return least;
  };
  return Math.min(...Array.from({ length: 2 * reach + 1 }, (_, t) => search(0, t - reach)));
};

const rhythm = (...lengths: readonly number[]): readonly NoteEvent[] => {
  let at = 0;
  return lengths.map((length, i) => {
    const event = {
      at: beatsOf(at * 4, 4),
      duration: beatsOf(length * 4, 4),
      pitches: [pitchFromMidi(60 + ((i * 5) % 12), "flats")],
    };
    at += length;
    return event;
  });
};

describe("rhythm", () => {
  it("law: the reading costs what the cheapest of all tempos and all readings costs", () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            length: fc.constantFrom(0.25, 0.5, 1, 1.5, 2, 3),
            seconds: fc.double({ min: 0.05, max: 3, noNaN: true }),
            named: fc.boolean(),
          }),
          { minLength: 1, maxLength: 3 },
        ),
        (steps) => {
          const moments: RhythmMoment[] = [{ beat: 0, seconds: 0, named: steps[0]?.named ?? true }];
          steps.forEach(({ length, seconds }, i) => {
            const last = moments.at(-1) ?? { beat: 0, seconds: 0 };
            moments.push({
              beat: last.beat + length,
              seconds: last.seconds + seconds,
              named: steps[i + 1]?.named ?? true,
            });
          });
          expect(readRhythm(moments, 0.5, 3).cost).toBeCloseTo(cheapest(moments, 0.5, 3), 9);
        },
      ),
      { numRuns: 40 },
    );
  });

  it("law: a beat that is told in what was played and back is the same beat", () => {
    const moments = [0, 1, 2, 4, 5, 6].map((beat): RhythmMoment => ({ beat, seconds: beat / 2, named: true }));
    const { played, written } = warpOf(moments, [
      { index: 2, asked: 2, played: 1 },
      { index: 4, asked: 1, played: 2 },
    ]);
    expect([2, 4, 5, 6].map(played)).toEqual([2, 3, 4, 6]);
    for (const beat of [-1, 0.5, 2.5, 3, 4.25, 5.5, 9]) expect(written(played(beat))).toBeCloseTo(beat, 9);
  });

  const bars = Array.from({ length: 4 }, () => [1, 1, 2]).flat();
  const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 100, right: rhythm(...bars) });

  it("bars a beat short are told with bar and beat, and neither as a tempo that sways nor as wrong notes", () => {
    const { say, accuracy } = assessTake(
      score,
      person(score, 3, { durations: [2, 6, 10].map((at) => ({ at, by: -1 })) }),
    );
    expect(accuracy.accuracy).toBe(1);
    expect(say.map(({ id, message }) => [id, message])).toEqual([
      [
        "wrong-rhythm",
        "The rhythm came out differently. Bar 1 beat 3, bar 2 beat 3, bar 3 beat 3: a quarter for a half note.",
      ],
    ]);
  });

  it("law: a ritardando at the end is no other rhythm and no fault", () => {
    for (const seed of [1, 2, 3, 4])
      expect(assessTake(score, person(score, seed, { ritardando: 0.6 })).say).toEqual([]);
  });
});
