import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { chanceOf } from "../../src/ground/chance.ts";
import type { Model } from "../../src/line/improvise/model.ts";
import { INTERVALS, readModel } from "../../src/line/improvise/model.ts";
import type { Drawn, Idea } from "../../src/line/improvise/search.ts";
import { attempt, drawExactly, drawLine, likeliest, NOTHING } from "../../src/line/improvise/search.ts";
import { lineModel } from "../../src/line-model/index.ts";
import { runs } from "./runs.ts";

const model = readModel(lineModel);
const RANGE = 12;

/** A small idea with every sort of thing that must hold. */
const ideaOf = (seed: number, length: number, width: number): Idea => {
  const chance = chanceOf(seed);
  const shares = (size: number): Float64Array => Float64Array.from({ length: size }, () => 0.2 + chance.share());
  const figures = [
    [2, -1],
    [-2, -1, 1],
  ];
  return {
    length,
    width,
    low: 60,
    start: shares(width),
    weight: shares(length * width),
    kind: Int32Array.from({ length }, () => 12 * chance.below(6)),
    root: Int32Array.from({ length }, () => chance.below(12)),
    place: Int32Array.from({ length }, () => chance.below(4)),
    moves: shares(2 * INTERVALS),
    pace: Uint8Array.from({ length }, () => chance.below(2)),
    echo: new Map([[0, shares(INTERVALS).map((share) => 3 * share)]]),
    circling: 0.3,
    falls: Int16Array.from({ length }, (_, i) => (i % 2 === 0 ? -1 : 12 * chance.below(6) + chance.below(6))),
    wanted: Int8Array.from({ length }, () => (chance.below(3) === 0 ? chance.below(5) - 2 : NOTHING)),
    bonus: 4,
    entering: 0.2,
    figures,
    entries: (i, p) =>
      figures.flatMap((steps, row) => {
        const reached = steps.map((_, k) => p + steps.slice(0, k + 1).reduce((sum, step) => sum + step, 0));
        return i + steps.length < length && (p + i) % 2 === 0 && reached.every((q) => q >= 0 && q < width) ? [row] : [];
      }),
    may: Uint8Array.from({ length: length * width }, () => (chance.below(6) === 0 ? 0 : 1)),
    thirds: [{ first: 1, last: length - 1, sound: chance.below(width), must: true }],
    allows: (_i, p, before) => before === undefined || p !== before || p % 2 === 0,
  };
};

/** How many of the last intervals went one way, up to eight, and which: 8 for none, less for falling ones. */
const runOf = (line: readonly number[]): number => {
  const ways = line.slice(1).map((q, k) => Math.sign(q - (line[k] ?? 0)));
  const way = ways.at(-1) ?? 0;
  const turned = ways.findLastIndex((one) => one !== way);
  return 8 + way * Math.min(8, ways.length - 1 - turned);
};

/** The chance of each line, found by trying every one: read off the definition, with nothing of the search in it but the model's tables. */
const enumerate = (idea: Idea, { melody, harmony, next, runs, circles }: Model): ReadonlyMap<string, number> => {
  const { length, width } = idea;
  const found = new Map<string, number>();
  const total = idea.start.reduce((sum, w) => sum + w, 0);
  const third = idea.thirds[0];
  const go = (line: readonly number[], state: number, forced: readonly number[], chance: number): void => {
    const i = line.length;
    const p = line[i - 1] ?? 0;
    if (i > 0) {
      if (idea.may[(i - 1) * width + p] === 0 || idea.allows?.(i - 1, p, line[i - 2]) === false) return;
    }
    if (i === length) {
      const stated =
        third === undefined || line.slice(third.first, third.last + 1).some((q) => (q + idea.low) % 12 === third.sound);
      if (stated) found.set(line.join(" "), (found.get(line.join(" ")) ?? 0) + chance);
      return;
    }
    if (i === 0) {
      for (let q = 0; q < width; q++) go([q], 0, [], (idea.start[q] ?? 0) / total);
      return;
    }
    const step = (d: number, from: number, rest: readonly number[], share: number): void => {
      if (share > 0 && p + d >= 0 && p + d < width)
        go([...line, p + d], next[from * INTERVALS + d + RANGE] ?? 0, rest, chance * share);
    };
    const [first, ...rest] = forced;
    if (first !== undefined) {
      step(first, state, rest, 1);
      return;
    }
    const entries = idea.entries(i - 1, p);
    for (const row of entries) {
      const [d = 0, ...others] = idea.figures[row] ?? [];
      step(d, 0, others, idea.entering / entries.length);
    }
    const heard = line
      .slice(third?.first ?? 0)
      .some((q, k) => k + (third?.first ?? 0) < i && (q + idea.low) % 12 === third?.sound);
    const fall = idea.falls[i] ?? -1;
    const seventh = fall < 0 ? -1 : Math.floor(fall / 12);
    const shares = Array.from({ length: INTERVALS }, (_, k) => {
      const q = p + k - RANGE;
      if (q < 0 || q >= width) return 0;
      const from = (p + idea.low - (idea.root[i] ?? 0) + 120) % 12;
      const awaited =
        third !== undefined && i >= third.first && i <= third.last && !heard && (q + idea.low) % 12 === third.sound;
      return (
        (melody[state * INTERVALS + k] ?? 0) *
        (harmony[(((idea.kind[i] ?? 0) + from) * 4 + (idea.place[i] ?? 0)) * INTERVALS + k] ?? 0) *
        (idea.moves[(idea.pace[i] ?? 0) * INTERVALS + k] ?? 0) *
        (idea.weight[i * width + q] ?? 0) *
        (idea.wanted[i] === k - RANGE ? idea.bonus : 1) *
        (idea.echo?.get(state)?.[k] ?? 1) *
        (awaited ? 2 : 1) *
        (circles[state * INTERVALS + k] === 1 ? idea.circling : 1) *
        (circles[state * INTERVALS + k] === 2 && idea.pace[i] === 1 ? 0.2 : 1) *
        (seventh === (p + idea.low) % 12 && k - RANGE < 0 && k - RANGE >= -2 && (q + idea.low) % 12 === fall % 12
          ? 3
          : 1) *
        (runs[(runOf(line) * 2 + ((idea.place[i] ?? 0) < 2 ? 0 : 1)) * INTERVALS + k] ?? 0)
      );
    });
    const sum = shares.reduce((a, b) => a + b, 0);
    const free = entries.length > 0 ? 1 - idea.entering : 1;
    if (sum > 0) shares.forEach((share, k) => step(k - RANGE, state, [], (free * share) / sum));
  };
  go([], 0, [], 1);
  const all = [...found.values()].reduce((a, b) => a + b, 0);
  return new Map([...found].map(([line, chance]) => [line, chance / all]));
};

/** Half the sum of the differences between how often lines are drawn and how often they should be. */
const distance = (draws: readonly (Drawn | undefined)[], asked: ReadonlyMap<string, number>): number => {
  const lines = draws.flatMap((one) => (one === undefined ? [] : [one.pitches.join(" ")]));
  const counts = new Map<string, number>();
  for (const line of lines) counts.set(line, (counts.get(line) ?? 0) + 1);
  const keys = new Set([...counts.keys(), ...asked.keys()]);
  return (
    [...keys].reduce((sum, key) => sum + Math.abs((counts.get(key) ?? 0) / lines.length - (asked.get(key) ?? 0)), 0) / 2
  );
};

describe("the search for the pitches of an idea", () => {
  const DRAWS = 1000;

  it.each([1, 2, 3])(
    "law: on small cases lines come as often as trying every one says, by trial and by weighing (%i)",
    (seed) => {
      const idea = ideaOf(seed, 4, 6);
      const asked = enumerate(idea, model);
      expect(asked.size).toBeGreaterThan(20);
      const chance = chanceOf(seed, 1);
      // Of so many draws from so many lines about this much is chance: the mean of |count - expected| / 2 over the lines.
      const noise = [...asked.values()].reduce((sum, p) => sum + Math.sqrt((2 * p * (1 - p)) / Math.PI / DRAWS), 0) / 2;
      const tried = Array.from({ length: 8 * DRAWS }, () => attempt(idea, model, chance)).filter(
        (one) => one !== undefined,
      );
      const weighed = Array.from({ length: DRAWS }, () => drawExactly(idea, model, chance));
      const either = Array.from({ length: DRAWS }, () => drawLine(idea, model, chance));
      expect(tried.length).toBeGreaterThan(DRAWS / 8);
      expect(distance(tried, asked)).toBeLessThan(1.5 * noise * Math.sqrt(DRAWS / Math.min(DRAWS, tried.length)));
      expect(distance(weighed, asked)).toBeLessThan(1.3 * noise);
      expect(distance(either, asked)).toBeLessThan(1.3 * noise);
      // The measure itself tells another distribution: the same lines, all as likely.
      const even = new Map([...asked.keys()].map((line) => [line, 1 / asked.size]));
      expect(distance(weighed, even)).toBeGreaterThan(2 * noise);
    },
  );

  it("law: the likeliest line is the likeliest of all ways of every line", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), (seed) => {
        const idea = { ...ideaOf(seed, 4, 5), entering: 0 };
        const asked = enumerate(idea, model);
        const best = likeliest(idea, model);
        if (asked.size === 0) expect(best).toBeUndefined();
        else expect(asked.get(best?.pitches.join(" ") ?? "")).toBeCloseTo(Math.max(...asked.values()), 9);
      }),
      { numRuns: runs(40) },
    );
  });

  it("law: where no line keeps all that must hold, none is given", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), (seed) => {
        const idea = ideaOf(seed, 3, 4);
        const none = { ...idea, may: new Uint8Array(idea.may.length) };
        expect(drawLine(none, model, chanceOf(seed))).toBeUndefined();
        expect(likeliest(none, model)).toBeUndefined();
      }),
      { numRuns: runs(10) },
    );
  });
});

describe("the model", () => {
  it("law: after every history something follows, and the histories stay inside the model", () => {
    for (let state = 0; state < model.states; state++) {
      const row = model.melody.subarray(state * INTERVALS, (state + 1) * INTERVALS);
      expect(row.every((share) => share > 0 && Number.isFinite(share))).toBe(true);
    }
    expect(model.next.every((state) => state > 0 && state < model.states)).toBe(true);
    expect(model.states).toBeGreaterThan(500);
  });

  it("over a dominant the seventh mostly falls by a semitone or a step, and the third of the corpus's degrees stands on the chord", () => {
    const DOMINANT = 1;
    const share = (from: number, d: number): number =>
      model.harmony[((DOMINANT * 12 + from) * 4 + 0) * INTERVALS + d + RANGE] ?? 0;
    expect(share(5, -1)).toBeGreaterThan(share(5, 1));
    const degrees = model.degrees.subarray(DOMINANT * 12, DOMINANT * 12 + 12);
    expect((degrees[0] ?? 0) + (degrees[4] ?? 0) + (degrees[7] ?? 0) + (degrees[10] ?? 0)).toBeGreaterThan(0.45);
  });
});
