/**
 * Speed of lines on one core: 1,000 generated 12-bar lines with their fingers, how the time grows with the bars, and what one
 * idea costs by each way of searching. Run: `npx tsx bench/line.ts`.
 */

import { chanceOf } from "../src/ground/chance.ts";
import { INTERVALS, readModel } from "../src/line/improvise/model.ts";
import type { Idea } from "../src/line/improvise/search.ts";
import { attempt, drawExactly, likeliest, NOTHING } from "../src/line/improvise/search.ts";
import { checkLine, exerciseCatalogue, exerciseLine, generateLine } from "../src/line/index.ts";
import { lineModel } from "../src/line-model/index.ts";
import { parseProgression } from "../src/progression/index.ts";
import { median, processorTime } from "./measure.ts";

const report = (what: string, figure: string): void => console.log(`${what.padEnd(56)} ${figure}`);

const blues = parseProgression("blues", { key: "C" });
const cold = processorTime(() => generateLine(blues));
const thousand = (level: 1 | 3 | 5): number => {
  let seed = 0;
  return median(
    Array.from({ length: 5 }, () =>
      processorTime(() => {
        for (let i = 0; i < 1000; i++) generateLine(blues, { seed: seed++, level });
      }),
    ),
  );
};
report("a first 12-bar line, cold", `${cold.toFixed(0)} ms`);
for (const level of [1, 3, 5] as const)
  report(`1,000 12-bar lines with fingers, level ${level}`, `${thousand(level).toFixed(0)} ms`);

for (const choruses of [1, 4, 16, 64]) {
  const long = parseProgression(
    Array.from({ length: choruses }, () => "I7 | IV7 | I7 | % | IV7 | % | I7 | % | V7 | IV7 | I7 | V7").join(" | "),
    { key: "C" },
  );
  const rounds = Math.max(3, Math.round(200 / choruses));
  const time =
    processorTime(() => {
      for (let seed = 0; seed < rounds; seed++) generateLine(long, { seed });
    }) / rounds;
  report(`${long.bars} bars`, `${time.toFixed(2)} ms, ${((1000 * time) / long.bars).toFixed(1)} µs a bar`);
}

const line = generateLine(blues, { seed: 1 });
const checks = median(
  Array.from({ length: 5 }, () =>
    processorTime(() => {
      for (let i = 0; i < 200; i++)
        checkLine(line.events, { chords: blues.chords, scale: line.scale, phrases: line.phrases });
    }),
  ),
);
report("200 checks of a 12-bar line against every rule", `${checks.toFixed(0)} ms`);
const exercises = median(
  Array.from({ length: 5 }, () =>
    processorTime(() => {
      for (const row of exerciseCatalogue)
        exerciseLine(row.id, { scale: "C major blues", progression: blues, octaves: 2 });
    }),
  ),
);
report(`${exerciseCatalogue.length} exercises over 12 bars, two octaves`, `${exercises.toFixed(0)} ms`);

// One idea of eight notes in an octave and a half, as it comes: by trial, by weighing every way, and the likeliest.
const model = readModel(lineModel);
const [length, width] = [8, 19];
const idea: Idea = {
  length,
  width,
  low: 60,
  start: new Float64Array(width).fill(1),
  weight: new Float64Array(length * width).fill(1),
  kind: new Int32Array(length).fill(12),
  root: new Int32Array(length).fill(7),
  place: Int32Array.from({ length }, (_, i) => (i % 2 === 1 ? 2 : (i / 2) % 2)),
  moves: new Float64Array(INTERVALS).fill(1),
  pace: new Uint8Array(length),
  circling: 1,
  falls: new Int16Array(length).fill(-1),
  wanted: new Int8Array(length).fill(NOTHING),
  bonus: 1,
  entering: 0,
  figures: [],
  entries: () => [],
  may: new Uint8Array(length * width).fill(1),
  thirds: [{ first: 0, last: length - 1, sound: 11, must: true }],
};
const chance = chanceOf(1);
const each = (what: string, times: number, work: () => unknown): void => {
  work();
  const time = processorTime(() => {
    for (let i = 0; i < times; i++) work();
  });
  report(`eight notes ${what}`, `${(time / times).toFixed(3)} ms`);
};
each("by trial, each try", 5000, () => attempt(idea, model, chance));
each("by weighing every way", 5, () => drawExactly(idea, model, chance));
each("the likeliest", 5, () => likeliest(idea, model));
