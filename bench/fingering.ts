/**
 * Speed of fingering on one core: notes a second for the full model, how the time grows with the notes, and the ratio to
 * trying every fingering of eight notes. Run: `npx tsx bench/fingering.ts`.
 */

import { fingerPassage, fingerScale } from "../src/fingering/index.ts";
import type { Pitch } from "../src/pitch/index.ts";
import { pitchFromMidi } from "../src/pitch/index.ts";
import { bruteForce } from "../tests/fingering/reference.ts";
import { median, processorTime } from "./measure.ts";

// A linear congruential generator (Numerical Recipes), so that every run fingers the same melodies.
const random = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
};

/** Mostly steps and thirds, some leaps, inside four octaves. */
const melody = (length: number, seed: number): readonly Pitch[] => {
  const next = random(seed);
  const keys: number[] = [60];
  while (keys.length < length) {
    const reach = next() < 0.1 ? 12 : next() < 0.5 ? 2 : 4;
    const key = (keys.at(-1) as number) + Math.round((next() * 2 - 1) * reach);
    keys.push(key < 36 || key > 84 ? 60 : key);
  }
  return keys.map((key) => pitchFromMidi(key, "flats"));
};

const report = (what: string, figure: string): void => console.log(`${what.padEnd(52)} ${figure}`);

const long = melody(100_000, 1);
const cold = processorTime(() => fingerPassage(long, { hand: "right" }));
report(
  "100,000 notes, cold (tables still empty)",
  `${Math.round(100_000 / (cold / 1000)).toLocaleString("en")} notes/s`,
);
for (const length of [1_000, 10_000, 100_000]) {
  const notes = long.slice(0, length);
  const time = median(
    Array.from({ length: Math.max(7, 100_000 / length) }, () =>
      processorTime(() => fingerPassage(notes, { hand: "right" })),
    ),
  );
  report(
    `${length.toLocaleString("en")} notes`,
    `${time.toFixed(2)} ms, ${Math.round(length / (time / 1000)).toLocaleString("en")} notes/s`,
  );
}

const lines = Array.from({ length: 1_000 }, (_, i) => melody(90, i + 2));
const time = median(
  Array.from({ length: 5 }, () => processorTime(() => lines.forEach((line) => fingerPassage(line, { hand: "right" })))),
);
report("1,000 lines of 90 notes", `${time.toFixed(0)} ms`);

const eights = Array.from({ length: 12 }, (_, i) => melody(8, i + 5_000));
const ours =
  processorTime(() => {
    for (let round = 0; round < 100; round++) eights.forEach((notes) => fingerPassage(notes, { hand: "right" }));
  }) / 100;
const brute = processorTime(() => eights.forEach((pitches) => bruteForce({ pitches, hand: "right" })));
report("8 notes: brute force (which prunes) to ours", `${(brute / ours).toFixed(0)} : 1`);

const scales = median(
  Array.from({ length: 5 }, () =>
    processorTime(() => {
      for (const tonic of ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"])
        fingerScale(`${tonic} major blues`, { hand: "right", octaves: 2 });
    }),
  ),
);
report("12 scales of two octaves, up and down", `${scales.toFixed(1)} ms`);
