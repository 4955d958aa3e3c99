import { readFileSync } from "node:fs";
import { fingerDifficulty } from "../src/fingering/index.ts";
import { pitchFromMidi } from "../src/pitch/index.ts";
import { beats } from "../src/time/index.ts";

// Whether a printed order of studies is the order of what their fingers cost: `npx tsx bench/graded.ts PRINTED-FINGERINGS.json`.
// Burgmüller, J. F. F. (1851), 25 Études faciles et progressives, op. 100: eleven of them are among the printed fingers, numbered and at the tempo of the
// public edition that they come from (quarter notes a minute).
const STUDIES: readonly (readonly [id: number, number: number, tempo: number])[] = [
  [4, 3, 100],
  [5, 4, 152],
  [6, 5, 112],
  [7, 6, 132],
  [8, 7, 176],
  [9, 8, 100],
  [10, 9, 200],
  [13, 12, 184],
  [15, 14, 176],
  [17, 16, 126],
  [19, 18, 138],
];

interface HandRow {
  readonly id: number;
  readonly hand: "left" | "right";
  readonly events: readonly {
    readonly at: number;
    readonly dur: number;
    readonly notes: readonly (readonly [midi: number, finger: number])[];
  }[];
}

const [, , file = ""] = process.argv;
const hands: readonly HandRow[] = JSON.parse(readFileSync(file, "utf8"));
const exact = (quarters: number) => beats(`${Math.round(96 * quarters)}/96`);
const ranks = (values: readonly number[]): readonly number[] =>
  values.map((value) => {
    const below = values.filter((one) => one < value).length;
    return below + (values.filter((one) => one === value).length - 1) / 2;
  });

/** Spearman's rank correlation. */
const correlation = (a: readonly number[], b: readonly number[]): number => {
  const [x, y] = [ranks(a), ranks(b)];
  const mean = (x.length - 1) / 2;
  const products = (left: readonly number[], right: readonly number[]): number =>
    left.reduce((sum, one, i) => sum + (one - mean) * ((right[i] ?? 0) - mean), 0);
  return products(x, y) / Math.sqrt(products(x, x) * products(y, y));
};

const rows = STUDIES.map(([id, number, tempo]) => {
  const bars = new Map<number, number>();
  let notes = 0;
  for (const { hand, events } of hands.filter((one) => one.id === id)) {
    const struck = events.filter(({ notes }) => notes.length > 0);
    const { bars: own } = fingerDifficulty(
      struck.map(({ at, dur, notes }) => ({
        at: exact(at),
        duration: exact(Math.max(dur, 1 / 96)),
        pitches: [...new Set(notes.map(([midi]) => midi))]
          .sort((a, b) => a - b)
          .map((midi) => pitchFromMidi(midi, "flats")),
      })),
      { hand, tempo, size: "large" },
    );
    for (const { bar, difficulty } of own) bars.set(bar, (bars.get(bar) ?? 0) + difficulty);
    const seconds = ((struck.at(-1)?.at ?? 0) * 60) / tempo;
    notes += struck.reduce((sum, { notes }) => sum + notes.length, 0) / seconds;
  }
  const difficulty = [...bars.values()].reduce((sum, one) => sum + one, 0) / bars.size;
  return { number, difficulty, notes };
});

for (const { number, difficulty, notes } of rows)
  console.log(`no. ${number}: ${difficulty.toFixed(0)} points, ${notes.toFixed(1)} notes a second`);
const order = rows.map(({ number }) => number);
console.log(
  `rank correlation with the order: ${correlation(
    order,
    rows.map(({ difficulty }) => difficulty),
  ).toFixed(2)}`,
);
console.log(
  `notes a second alone: ${correlation(
    order,
    rows.map(({ notes }) => notes),
  ).toFixed(2)}`,
);
