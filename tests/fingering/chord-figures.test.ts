import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, NoteEvent } from "../../src/event/index.ts";
import { fingerPassage } from "../../src/fingering/index.ts";
import { eventsTask } from "../../src/fingering/line.ts";
import { solveCycle, solveRanked } from "../../src/fingering/solve.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";

// Double notes and triads of seconds to sixths, which every hand reaches.
const chord = fc
  .tuple(fc.integer({ min: 50, max: 70 }), fc.array(fc.integer({ min: 2, max: 5 }), { minLength: 1, maxLength: 2 }))
  .map(([lowest, gaps]) =>
    gaps.reduce<readonly number[]>((keys, gap) => [...keys, (keys.at(-1) ?? 0) + gap], [lowest]),
  );
const passages = fc.record({
  figure: fc.array(chord, { minLength: 2, maxLength: 6 }),
  times: fc.integer({ min: 2, max: 4 }),
  rest: fc.constantFrom(0, 2, 5),
  before: fc.array(chord, { maxLength: 2 }),
  after: fc.array(chord, { maxLength: 2 }),
  hand: fc.constantFrom("left" as const, "right" as const),
});

interface Asked {
  readonly figure: readonly (readonly number[])[];
  readonly times: number;
  readonly rest: number;
  readonly before: readonly (readonly number[])[];
  readonly after: readonly (readonly number[])[];
}

const eventsOf = ({ figure, times, rest, before, after }: Asked): readonly NoteEvent[] => {
  let at = 0;
  const event = (keys: readonly number[]): NoteEvent => ({
    at: beats(`${at++}/2`),
    duration: beats("1/2"),
    pitches: keys.map((key) => pitchFromMidi(key, "flats")),
  });
  const events = before.map(event);
  for (let time = 0; time < times; time++) {
    if (time > 0) at += rest;
    events.push(...figure.map(event));
  }
  return [...events, ...after.map(event)];
};

/** The fingers of each time of the figure. */
const timesOf = (asked: Asked, fingers: readonly Finger[]): readonly string[] => {
  const size = asked.figure.flat().length;
  const from = asked.before.flat().length;
  return Array.from({ length: asked.times }, (_, time) =>
    fingers.slice(from + time * size, from + (time + 1) * size).join(""),
  );
};

// What stands around the figure may belong to a longer one, or a shifted one.
const standsAlone = ({ figure, before, after }: Asked): boolean => {
  const names = figure.map((keys) => keys.join());
  return [...before, ...after].every((keys) => !names.includes(keys.join()));
};

describe("figures of chords that come back", () => {
  it("law: they have the same fingers every time", () => {
    fc.assert(
      fc.property(passages.filter(standsAlone), (asked) => {
        const { fingers } = fingerPassage(eventsOf(asked), { hand: asked.hand, tempo: 100 });
        expect(new Set(timesOf(asked, fingers)).size).toBe(1);
      }),
      { numRuns: 150 },
    );
  });

  it("a finger that is settled at one of its times is the finger every time", () => {
    const asked = {
      figure: [
        [60, 64],
        [62, 65],
      ],
      times: 3,
      rest: 0,
      before: [],
      after: [],
    };
    const { fingers } = fingerPassage(eventsOf(asked), { hand: "right", tempo: 100, fixed: { 4: 2 } });
    expect([fingers[4], new Set(timesOf(asked, fingers)).size]).toEqual([2, 1]);
  });

  it("settled otherwise at one time, they say so there, and what is charged is told note by note", () => {
    const events = eventsOf({
      figure: [
        [60, 64],
        [62, 65],
      ],
      times: 3,
      rest: 0,
      before: [],
      after: [],
    });
    const free = fingerPassage(events, { hand: "right", tempo: 100 });
    expect([free.remarks.filter(({ kind }) => kind === "departure"), free.costByRule["sequence-pattern"]]).toEqual([
      [],
      undefined,
    ]);
    const settled = { 0: 1, 1: 3, 4: 2, 5: 4 } as const;
    const { fingers, remarks, cost, costByRule } = fingerPassage(events, { hand: "right", tempo: 100, fixed: settled });
    expect([fingers[0], fingers[1], fingers[4], fingers[5]]).toEqual([1, 3, 2, 4]);
    // Two notes of one of the times.
    expect(costByRule["sequence-pattern"]).toBe(2 * 40 * 14);
    expect(remarks.filter(({ kind }) => kind === "departure")).toHaveLength(2);
    expect(Object.values(costByRule).reduce((sum, one) => sum + one, 0)).toBe(cost);
  });

  it("law: the way round a figure is the cheapest of all that lead back to themselves", () => {
    fc.assert(
      fc.property(fc.array(chord, { minLength: 2, maxLength: 3 }), (figure) => {
        const events = eventsOf({ figure, times: 1, rest: 0, before: [], after: [] });
        const { model, passage } = eventsTask(events, { hand: "right", sequences: false });
        expect(solveCycle(model, passage)).toEqual(solveRanked(model, passage, 1, true)[0]);
      }),
      { numRuns: 8 },
    );
  });
});
