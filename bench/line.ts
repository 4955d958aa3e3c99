/**
 * Speed of lines on one core: 1,000 generated 12-bar lines with their fingers, how the time grows with the bars, and the ratio
 * of the search to trying every line of a few notes. Run: `npx tsx bench/line.ts`.
 */

import type { Problem } from "../src/line/improvise/problem.ts";
import { INTERVALS, NO_STEP } from "../src/line/improvise/problem.ts";
import { solve } from "../src/line/improvise/solve.ts";
import { checkLine, exerciseCatalogue, exerciseLine, generateLine } from "../src/line/index.ts";
import { parseProgression } from "../src/progression/index.ts";
import { everyLine, scoreOf } from "../tests/line/reference.ts";
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
report("200 checks of a 12-bar line against 18 rules", `${checks.toFixed(0)} ms`);
const exercises = median(
  Array.from({ length: 5 }, () =>
    processorTime(() => {
      for (const row of exerciseCatalogue)
        exerciseLine(row.id, { scale: "C major blues", progression: blues, octaves: 2 });
    }),
  ),
);
report(`${exerciseCatalogue.length} exercises over 12 bars, two octaves`, `${exercises.toFixed(0)} ms`);

const six = (seed: number): Problem => {
  let state = seed;
  const next = (): number => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0);
  const [length, width] = [6, 7];
  return {
    length,
    width,
    classes: Uint8Array.from({ length: length * width }, () => 1 + ((next() >>> 8) % 3)),
    unary: Int32Array.from({ length: length * width }, () => (next() >>> 8) % 2000),
    letters: Int16Array.from({ length: length * width }, (_, i) => i % width),
    taste: Int32Array.from({ length: length * INTERVALS }, () => (next() >>> 8) % 2000),
    motif: new Int8Array(length).fill(NO_STEP),
    starts: Uint8Array.from({ length }, (_, i) => (i === 0 ? 1 : 0)),
    motifPoints: 0,
    recoveryPoints: 900,
    turnPoints: 100,
    fallPoints: 500,
    apart: 0,
    resolve: true,
    limitRepeats: true,
  };
};
const problems = Array.from({ length: 4 }, (_, seed) => six(seed + 1));
const ours =
  processorTime(() => {
    for (let round = 0; round < 500; round++) problems.forEach(solve);
  }) / 500;
const brute = processorTime(() =>
  problems.forEach((problem) => {
    let best = -Infinity;
    for (const candidate of everyLine(problem)) best = Math.max(best, scoreOf(problem, candidate) ?? -Infinity);
    if (best !== solve(problem)?.points) throw new Error("the search is not exact");
  }),
);
report("6 notes of 7 pitches: every line to the search", `${(brute / ours).toFixed(0)} : 1`);
