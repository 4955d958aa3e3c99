// Following live: verdicts marked final that the end takes back, how many keys later they are final, and what a key costs.
// npx tsx bench/follow.ts [takes]: takes by the model of people in tests/assess/people.ts.
import { performance } from "node:perf_hooks";
import type { Score } from "../tests/all.ts";
import { alignTake, follow, makeDrill } from "../tests/all.ts";
import type { Habits, Stretch } from "../tests/assess/people.ts";
import { person } from "../tests/assess/people.ts";

const scores: readonly Score[] = [
  makeDrill({ key: "Ab", repeats: 2, values: "triplets" }).score,
  makeDrill({ key: "D", repeats: 2, values: "eighths", octaves: 2 }).score,
  makeDrill({ key: "G", left: "rootless", values: "eighths", repeats: 2 }).score,
  makeDrill({ key: "Bb", changes: "blues", left: "rootless" }).score,
  makeDrill({ key: "C minor", left: "shell" }).score,
  makeDrill({ key: "F", changes: "two-five-one", left: "three-note-rootless" }).score,
  makeDrill({ key: "Eb", changes: "blues", left: "rootless", right: "improvised", seed: 3 }).score,
  makeDrill({ key: "G", changes: "turnaround", right: "improvised", repeats: 4, seed: 8 }).score,
];

const whole = ({ bars }: Score): Stretch => ({ hands: "both", from: 1, to: bars });
const habits: readonly (readonly [string, (score: Score, seed: number) => Habits])[] = [
  ["clean", () => ({ noiseMs: 20 })],
  ["wrong keys, 5 %", () => ({ wrong: 0.05 })],
  ["left out, 5 %", () => ({ missed: 0.05 })],
  ["keys besides, 5 %", () => ({ extra: 0.05 })],
  ["all three, 4 % each", () => ({ wrong: 0.04, missed: 0.04, extra: 0.04, noiseMs: 20 })],
  ["right hand alone", (s) => ({ stretches: [{ ...whole(s), hands: "right" }], wrong: 0.03 })],
  ["left hand alone", (s) => ({ stretches: [{ ...whole(s), hands: "left" }], wrong: 0.03 })],
  [
    "back a bar and on",
    (s, seed) => {
      const bar = 2 + (seed % Math.max(1, s.bars - 2));
      return {
        stretches: [
          { hands: "both", from: 1, to: bar },
          { hands: "both", from: bar, to: s.bars, after: 0.8 },
        ],
      };
    },
  ],
  [
    "two bars, four times",
    () => ({ stretches: Array.from({ length: 4 }, () => ({ hands: "both", from: 3, to: 4 }) as const) }),
  ],
  ["a stop of 1.5 s", () => ({ hesitations: [{ at: 8, seconds: 1.5 }], wrong: 0.02 })],
  ["four fifths of the tempo", (s) => ({ tempo: s.tempo * 0.8, missed: 0.03 })],
  ["drifting by a tenth", () => ({ drift: 0.1, wrong: 0.03 })],
  ["counted in, trying out before", () => ({ countIn: 4, noodle: ["before"] })],
  ["every key on two channels", () => ({ doubled: true, wrong: 0.03 })],
  ["a whole step high", () => ({ shift: { right: 2, left: 2 }, wrong: 0.03 })],
  ["the left hand an octave low", () => ({ shift: { right: 0, left: -12 } })],
];

const [takes = 160] = process.argv.slice(2).map(Number);
let [all, changed, given, costs, worst, keysAll] = [0, 0, 0, 0, 0, 0];
for (const [h, [title, habit]] of habits.entries()) {
  let [finals, wrong, total, lagSum, lagged] = [0, 0, 0, 0, 0];
  for (let i = 0; i < takes / habits.length; i++) {
    const score = scores[(i * 3 + h) % scores.length];
    if (score === undefined) continue;
    const take = person(score, 7000 + 100 * h + i, habit(score, i));
    const sorted = [...take].sort((a, b) => a.onsetSeconds - b.onsetSeconds || a.midi - b.midi);
    const live = follow(score);
    const byKey = new Map<number, string>();
    const missed = new Set<string>();
    let n = 0;
    for (const { midi, onsetSeconds, velocity, channel } of sorted) {
      const from = performance.now();
      const { changes } = live.on(midi, onsetSeconds, { velocity, channel });
      const took = performance.now() - from;
      costs += took;
      if (keysAll++ > 200) worst = Math.max(worst, took);
      n++;
      for (const { final, state, asked, played, run } of changes) {
        if (!final) continue;
        if (played !== undefined) {
          byKey.set(played, state === "extra" || state === "aside" ? state : `${state} ${asked}`);
          [lagSum, lagged] = [lagSum + n - 1 - played, lagged + 1];
        } else if (state === "missed") missed.add(`${asked} ${run}`);
      }
    }
    const { notes, attempt } = alignTake(score, sorted);
    const truth = new Map<number, string>(attempt.aside.map((index) => [index, "aside"]));
    const left = new Map<number, number>();
    for (const { state, asked, played } of notes) {
      if (played !== undefined) truth.set(played, state === "extra" ? state : `${state} ${asked}`);
      else if (asked !== undefined) left.set(asked, (left.get(asked) ?? 0) + 1);
    }
    let off = 0;
    for (const [key, verdict] of byKey) if (truth.get(key) !== verdict) off++;
    for (const name of missed) {
      const asked = Number(name.split(" ")[0]);
      const count = left.get(asked) ?? 0;
      if (count === 0) off++;
      else left.set(asked, count - 1);
    }
    if (process.env.SHOW === title && off > 0) {
      console.log(
        i,
        off,
        [...byKey]
          .filter(([key, verdict]) => truth.get(key) !== verdict)
          .slice(0, 8)
          .map(([key, v]) => `${key}: ${v} / ${truth.get(key)}`)
          .join("; "),
        [...missed].slice(0, 5).join(","),
      );
    }
    [finals, wrong, total] = [finals + byKey.size + missed.size, wrong + off, total + sorted.length];
  }
  console.log(
    `| ${title} | ${finals} | ${((100 * wrong) / Math.max(1, finals)).toFixed(2)} % | ${((100 * lagged) / total).toFixed(0)} % | ${(lagSum / Math.max(1, lagged)).toFixed(1)} |`,
  );
  [all, changed, given] = [all + finals, changed + wrong, given + total];
}
console.log(`| all | ${all} | ${((100 * changed) / all).toFixed(2)} % | | |`);
console.log(`${(costs / keysAll).toFixed(3)} ms a key, ${worst.toFixed(2)} at most`);
