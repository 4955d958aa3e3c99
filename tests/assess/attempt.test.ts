import { describe, expect, it } from "vitest";
import type { Score } from "../all.ts";
import { alignTake, assessTake, makeDrill, simulateTake } from "../all.ts";
import type { Habits, Stretch } from "./people.ts";
import { person } from "./people.ts";

const scores: readonly Score[] = [
  makeDrill({ key: "Eb", repeats: 2, values: "triplets" }).score,
  makeDrill({ key: "C", repeats: 2, values: "eighths", octaves: 2 }).score,
  makeDrill({ key: "F", left: "rootless", values: "eighths", repeats: 2 }).score,
];
const rounds = (stretch: Stretch, times: number): readonly Stretch[] => Array.from({ length: times }, () => stretch);
const both: Stretch = { hands: "both", from: 1, to: 8 };

interface Expected {
  readonly hands?: string;
  readonly times?: number;
  readonly countIn?: number;
  readonly bars?: { readonly from: number; readonly to: number };
}

const cases: readonly (readonly [title: string, habits: Habits, expected: Expected])[] = [
  ["once through", {}, { hands: "both", times: 1, countIn: 0 }],
  ["the right hand alone", { stretches: [{ ...both, hands: "right" }] }, { hands: "right", times: 1 }],
  ["the left hand alone", { stretches: [{ ...both, hands: "left" }] }, { hands: "left", times: 1 }],
  [
    "two bars",
    { stretches: [{ hands: "both", from: 3, to: 4 }] },
    { hands: "both", times: 1, bars: { from: 3, to: 4 } },
  ],
  [
    "two bars round and round",
    { stretches: rounds({ hands: "both", from: 3, to: 4 }, 4) },
    { hands: "both", times: 4 },
  ],
  [
    "each hand alone, then both",
    {
      stretches: [
        { ...both, hands: "right" },
        { ...both, hands: "left", after: 1 },
        { ...both, after: 1 },
      ],
    },
    { hands: "both", times: 3 },
  ],
  ["four beats counted in", { countIn: 4 }, { hands: "both", times: 1 }],
  ["something tried out before", { noodle: ["before"] }, { times: 1, countIn: 0 }],
  ["something tried out after", { noodle: ["after"] }, { times: 1, countIn: 0 }],
  [
    "something tried out between",
    {
      noodle: ["between"],
      stretches: [
        { hands: "both", from: 1, to: 4 },
        { hands: "both", from: 5, to: 8 },
      ],
    },
    { hands: "both", times: 1 },
  ],
  ["every key on two channels", { doubled: true }, { hands: "both", times: 1 }],
];

describe("what was attempted", () => {
  it.each(cases)("law: is found, and what is played well is not blamed: %s", (_, habits, expected) => {
    for (const score of scores) {
      for (const seed of [1, 2, 3]) {
        const { alignment, accuracy, say } = assessTake(score, person(score, seed, habits));
        expect(say.map(({ message }) => message)).toEqual([]);
        expect(accuracy.accuracy).toBe(1);
        expect(alignment.attempt).toMatchObject(expected);
      }
    }
  });

  it("a metronome on a channel of its own is left out, and what a pedal holds on is held", () => {
    const [score] = scores;
    if (score === undefined) throw new Error("no score");
    const take = person(score, 3);
    const clicks = Array.from({ length: 24 }, (_, i) => ({
      midi: i % 4 === 0 ? 76 : 77,
      onsetSeconds: 0.5 + i * 0.6,
      durationSeconds: 0.02,
      velocity: 100,
      channel: 4,
    }));
    const heard = assessTake(score, [...take, ...clicks]);
    expect(heard.alignment.attempt).toMatchObject({ clicks: 24, doubled: 0 });
    expect(heard.say).toEqual([]);
    const short = person(score, 3, { held: 0.4 });
    expect(assessTake(score, short).findings.map(({ id }) => id)).toEqual(["held-short"]);
    const pedalled = short.map((note) => ({ ...note, soundingSeconds: note.durationSeconds / 0.4 }));
    expect(assessTake(score, pedalled).findings).toEqual([]);
  });

  it("the caller may say it, and what is missing then is missed", () => {
    const score = makeDrill({ key: "C", values: "eighths" }).score;
    const right = person(score, 1, { stretches: [{ hands: "right", from: 1, to: 2 }] });
    expect(alignTake(score, right).leftOut).toEqual([]);
    const whole = alignTake(score, right, { hand: "both", bars: [1, 4] });
    expect(whole.attempt).toMatchObject({ hands: "both", bars: { from: 1, to: 4 } });
    expect(whole.notes.filter(({ state }) => state === "missed").length + whole.leftOut.length).toBeGreaterThan(8);
    expect(alignTake(score, right, { hand: "right", bars: [1, 2] }).attempt).toMatchObject({
      hands: "right",
      bars: { from: 1, to: 2 },
    });
    expect(() => alignTake(score, right, { bars: [90, 91] })).toThrowError(
      expect.objectContaining({ code: "assess/attempt" }),
    );
    expect(() => alignTake(score, right, { bars: [3, 2] })).toThrowError(
      expect.objectContaining({ code: "assess/argument" }),
    );
  });

  it("a metronome among the player's own keys is left out, on one key or with another on the first beat; a machine that plays in another key isn't one", () => {
    const { score } = makeDrill({ key: "Eb", left: "rootless" });
    const take = person(score, 5);
    const last = Math.max(...take.map(({ onsetSeconds }) => onsetSeconds));
    const beat = 60 / score.tempo;
    for (const accent of [76, 77]) {
      const clicks = Array.from({ length: Math.floor(last / beat) }, (_, i) => ({
        midi: i % 4 === 0 ? accent + 30 : 106,
        onsetSeconds: 0.3 + i * beat,
        durationSeconds: 0.05,
        velocity: 100,
        channel: 0,
      }));
      const { alignment, say } = assessTake(score, [...take, ...clicks]);
      expect([alignment.attempt.clicks, say]).toEqual([clicks.length, []]);
    }
    const { bass: _bass, drums: _drums, ...hands } = score;
    const machine = simulateTake(hands, { transpose: 3 }).played;
    expect(assessTake(score, machine).alignment.attempt.clicks).toBe(0);
  });
});
