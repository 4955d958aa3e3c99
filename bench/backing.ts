import { bassRow } from "../src/backing/bass-catalogue.ts";
import type { LineProblem } from "../src/backing/line.ts";
import { bestLine, pointsOf } from "../src/backing/line.ts";
import { slotsOf } from "../src/backing/slots.ts";
import { backingCatalogue, bassLine, drumPart, makeBacking, parseProgression } from "../tests/all.ts";
import { medianTime, processorTime } from "./measure.ts";

const form = parseProgression("jazz-blues", { key: "F" });
const repeated = (choruses: number) => ({
  ...form,
  bars: 12 * choruses,
  chords: Array.from({ length: choruses }, (_, i) =>
    form.chords.map((span) => ({ ...span, at: { num: span.at.num + 48 * i * span.at.den, den: span.at.den } })),
  ).flat(),
});

console.log("choruses of 12 bars   walking bass   ms a bar   two-beat     drums   (ms, medians)");
for (const choruses of [1, 10, 100]) {
  const changes = repeated(choruses);
  const times = choruses > 10 ? 3 : 15;
  medianTime((seed) => bassLine(changes, { seed }), 3);
  const walking = medianTime((seed) => bassLine(changes, { seed }), times);
  const twoBeat = medianTime((seed) => bassLine(changes, { seed, manner: "two-beat" }), times);
  const drums = medianTime((seed) => drumPart(changes.bars, changes.metre, { seed }), times);
  console.log(
    `${String(choruses).padStart(19)} ${walking.toFixed(1).padStart(14)} ${(walking / changes.bars).toFixed(2).padStart(10)} ${twoBeat.toFixed(1).padStart(10)} ${drums.toFixed(1).padStart(9)}`,
  );
}

// A chorus of a blues at 140 lasts 20.6 s. Processor time, which other work on the machine stretches less.
console.log("\nstyle            choruses a second   times faster than it is played");
for (const { id } of backingCatalogue) {
  const metre = id === "waltz" ? "3/4" : id === "five-four" ? "5/4" : "4/4";
  const changes = parseProgression("jazz-blues", { key: "F", metre });
  const seconds = ((12 * Number(metre[0])) / 140) * 60;
  const work = (): void => {
    for (let seed = 0; seed < 200; seed++) makeBacking(changes, { style: id, seed });
  };
  work();
  const each = processorTime(work) / 200;
  console.log(
    `${id.padEnd(16)} ${(1000 / each).toFixed(0).padStart(17)} ${((seconds * 1000) / each).toFixed(0).padStart(30)}`,
  );
}

// The same points by brute force: every line of a few notes in a narrow range.
const brute = (problem: LineProblem): number => {
  const notes: number[] = [];
  let best = Number.POSITIVE_INFINITY;
  const extend = (): void => {
    if (notes.length === problem.slots.length) {
      best = Math.min(
        best,
        notes.reduce((sum, note, i) => sum + pointsOf(problem, i, notes[i - 1] ?? -1, note, notes[i + 1] ?? -1), 0),
      );
      return;
    }
    for (let note = problem.low; note <= problem.high; note++) {
      notes.push(note);
      extend();
      notes.pop();
    }
  };
  extend();
  return best;
};

console.log("\nnotes   brute force   exact programme   ratio   (one octave, ms, medians)");
for (const notes of [3, 4, 5]) {
  const row = bassRow("walking");
  const slots = slotsOf(form, row, false).slice(0, notes);
  const problem: LineProblem = {
    slots,
    row,
    low: 29,
    high: 41,
    moods: slots.map(() => new Int16Array(13)),
    then: undefined,
  };
  const slow = medianTime(() => brute(problem), 3);
  const fast = medianTime(() => bestLine(problem), 51);
  if (brute(problem) !== bestLine(problem)?.points) throw new Error("the two disagree");
  console.log(
    `${String(notes).padStart(5)} ${slow.toFixed(2).padStart(13)} ${fast.toFixed(3).padStart(17)} ${(slow / fast).toFixed(0).padStart(7)}`,
  );
}
