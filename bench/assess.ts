import type { Struck, Wanted } from "../src/assess/align/solve.ts";
import { solve } from "../src/assess/align/solve.ts";
import {
  alignTake,
  assessTake,
  beatsOf,
  makeDrill,
  makeScore,
  metre,
  parseKey,
  pitchFromMidi,
  readMidi,
  simulateTake,
  swungFeel,
  writeMidi,
} from "../tests/all.ts";
import { cheapestWithJumps } from "../tests/assess/brute-force.ts";
import { medianTime, processorTime } from "./measure.ts";

/** Eighths over a chord on the second beat of each bar; no bar is quite like another. */
const scoreOf = (bars: number) =>
  makeScore({
    key: parseKey("C"),
    metre: metre("4/4"),
    bars,
    tempo: 120,
    feel: swungFeel("2:1"),
    right: Array.from({ length: bars * 8 }, (_, i) => ({
      at: beatsOf(i, 2),
      duration: beatsOf(1, 2),
      pitches: [pitchFromMidi(60 + ((i * 7 + Math.floor(i / 8) * 5) % 19), "flats")],
    })),
    left: Array.from({ length: bars }, (_, i) => ({
      at: beatsOf(i * 4 + 1, 1),
      duration: beatsOf(3, 1),
      pitches: [0, 4, 9].map((up) => pitchFromMidi(48 + ((i * 5) % 7) + up, "flats")),
    })),
  });

console.log("   notes   slips   align (ms)   per note (us)   assess (ms)");
for (const bars of [16, 64, 256]) {
  for (const share of [0, 0.01, 0.03]) {
    const score = scoreOf(bars);
    const { played } = simulateTake(score, { jitterMs: 10, wrong: share, missed: share, extra: share });
    const times = bars > 100 ? 1 : 3;
    const align = medianTime(() => alignTake(score, played), times);
    const assess = medianTime(() => assessTake(score, played), times);
    console.log(
      `${String(bars * 11).padStart(8)} ${`${Math.round(share * 300)} %`.padStart(7)} ${align.toFixed(0).padStart(12)} ${((1000 * align) / (bars * 11)).toFixed(0).padStart(15)} ${assess.toFixed(0).padStart(13)}`,
    );
  }
}

// A hundred choruses of twelve bars, and 50,000 notes with slips, beside writing and reading the same notes as MIDI.
const choruses = makeDrill({ key: "Bb", changes: "blues", left: "rootless", repeats: 100, backing: "none" }).score;
const long = scoreOf(4545);
for (const [title, score, share] of [
  ["100 choruses", choruses, 0],
  ["100 choruses with slips", choruses, 0.01],
  ["50,000 notes", long, 0],
  ["50,000 notes with slips", long, 0.02],
] as const) {
  const { played } = simulateTake(score, { jitterMs: 10, wrong: share, missed: share, extra: share });
  const assess = processorTime(() => void assessTake(score, played));
  const midi = processorTime(() => void readMidi(writeMidi(score)));
  console.log(
    `${title} (${played.length} keys): ${(assess / 1000).toFixed(1)} s of the processor, ${(assess / midi).toFixed(1)} times writing and reading them as MIDI`,
  );
}

const wanted = Array.from(
  { length: 24 },
  (_, i): Wanted => ({
    hand: i % 4 === 3 ? "left" : "right",
    midi: 60 + ((i * 7) % 19),
    sounds: Math.floor(i / 2) / 2,
  }),
);
const struck = [...wanted.slice(0, 15), ...wanted.slice(8)].map(({ midi }): Struck => ({ midi }));
const ours = medianTime(() => solve(wanted, struck, { jumps: true }), 50);
const brute = medianTime(() => cheapestWithJumps(wanted, struck), 5);
console.log(
  `24 notes with a restart: all states and all jumps take ${(brute / ours).toFixed(0)} times as long as the pruned search`,
);
