import { Voicing as TonalVoicing, VoicingDictionary } from "tonal";
import type { PitchRange } from "../tests/all.ts";
import {
  noteInterval,
  parseChord,
  parsePitch,
  pitchFromMidi,
  smoothestPath,
  transposeChord,
  voiceLeading,
  voiceProgression,
  voicingsFor,
} from "../tests/all.ts";
import { medianTime } from "./measure.ts";

const ms = (n: number): string => `${n.toFixed(2)} ms`;
const us = (n: number): string => `${(1000 * n).toFixed(0).padStart(6)} µs`;
const times = (slow: number, fast: number): string => `${(slow / fast).toFixed(1).padStart(5)}x`;
const count = (sets: readonly (readonly unknown[])[]): number => sets.reduce((sum, set) => sum + set.length, 0);

const KEYS = ["C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B"] as const;
const TURNAROUND = ["Cmaj7", "Am7", "Dm7", "G7"].map((symbol) => parseChord(symbol));
const chain = KEYS.flatMap((key) => TURNAROUND.map((chord) => transposeChord(chord, noteInterval("C", key)).canonical));
const tonalChain = chain.map((symbol) => symbol.replace("maj7", "^7"));

/** tonal's greedy sequence against ours, in the same run; `range` is tonal's, `register` our window of the top note. */
const against = (title: string, range: [string, string], register: PitchRange): void => {
  const tonalSets = tonalChain.map((symbol) =>
    TonalVoicing.search(symbol, range, VoicingDictionary.lefthand).map((names) => ({ pitches: names.map(parsePitch) })),
  );
  const options = { register, lowIntervals: "off" } as const;
  const ourSets = chain.map((symbol) => [...voicingsFor(symbol, options)]);
  const sequence = (): string[][] => TonalVoicing.sequence(tonalChain, range, VoicingDictionary.lefthand);
  for (let i = 0; i < 300; i++) voiceProgression(chain, options);
  for (let i = 0; i < 30; i++) sequence();
  const greedy = medianTime(sequence, 101);
  const whole = medianTime(() => voiceProgression(chain, options), 301);
  const ready = medianTime(() => smoothestPath(ourSets), 301);
  const same = medianTime(() => smoothestPath(tonalSets), 301);
  const heard = sequence().map((names) => names.map(parsePitch));
  const greedyMotion = heard.slice(1).reduce((sum, to, i) => sum + voiceLeading(heard[i] ?? [], to).total, 0);
  console.log(`${title}: candidates tonal ${count(tonalSets)}, ours ${count(ourSets)} (medians)`);
  console.log(`  tonal Voicing.sequence from symbols, greedy            ${us(greedy)}          motion ${greedyMotion}`);
  console.log(
    `  smoothestPath, our candidates ready                    ${us(ready)}  ${times(greedy, ready)}   motion ${smoothestPath(ourSets).totalMotion}`,
  );
  console.log(
    `  smoothestPath, tonal's candidates ready                ${us(same)}  ${times(greedy, same)}   motion ${smoothestPath(tonalSets).totalMotion}`,
  );
  console.log(`  voiceProgression from symbols: parsed, voiced, reasons ${us(whole)}  ${times(greedy, whole)}`);
  const pianist = { ...options, aims: "pianist" } as const;
  const inContext = { ...pianist, colour: "in-context" } as const;
  for (let i = 0; i < 100; i++) voiceProgression(chain, inContext);
  console.log(
    `  the same as a pianist plays                            ${us(medianTime(() => voiceProgression(chain, pianist), 101))}`,
  );
  console.log(
    `  the same in context, its harmony read as well          ${us(medianTime(() => voiceProgression(chain, inContext), 101))}\n`,
  );
};

console.log(`a turnaround in 8 keys, ${chain.length} chords, rootless`);
against("two octaves", ["C3", "C5"], { from: "C4", to: "C5" });
against("four octaves", ["C2", "C6"], { from: "C3", to: "C6" });

/** A loop that never repeats its order of chords within some hundreds. */
const POOL = KEYS.flatMap((key) =>
  ["Cmaj7", "C7", "Cm7", "Cm7b5"].map((symbol) => transposeChord(parseChord(symbol), noteInterval("C", key)).canonical),
);
const long = (length: number): readonly string[] =>
  Array.from({ length }, (_, i) => POOL[(i * i + 7 * i + (i >> 3)) % POOL.length] as string);
const wide = { register: { from: "C4", to: "C6" }, loop: true } as const;
const most = Math.max(...POOL.map((symbol) => [...voicingsFor(symbol, { register: wide.register })].length));
const fewest = Math.min(...POOL.map((symbol) => [...voicingsFor(symbol, { register: wide.register })].length));

console.log(`a loop of rootless chords, ${fewest} to ${most} candidates each (medians)`);
for (let i = 0; i < 40; i++) voiceProgression(long(1_000), wide);
const loops = [1_000, 10_000, 100_000].map((length) => {
  const symbols = long(length);
  const time = medianTime(() => voiceProgression(symbols, wide), length > 50_000 ? 5 : 25);
  console.log(
    `  ${String(length).padStart(7)} chords  ${ms(time).padStart(10)}  ${((1000 * time) / length).toFixed(2)} µs a chord`,
  );
  return time;
});
console.log(
  `  ten times the chords: ${((loops[1] as number) / (loops[0] as number)).toFixed(1)} and ${((loops[2] as number) / (loops[1] as number)).toFixed(1)} times the time`,
);

// Every set an array of its own, and random: nothing to remember from step to step, no start better than another.
let state = 1;
const random = (below: number): number => {
  state = (state * 48271) % 2147483647;
  return state % below;
};
const strangers = Array.from({ length: 10_000 }, () =>
  Array.from({ length: 16 }, () => ({
    pitches: Array.from({ length: 4 }, (_, voice) => pitchFromMidi(48 + 5 * voice + random(9), "flats")),
  })),
);
console.log(
  `  10000 random sets of 16, all different: ${ms(medianTime(() => smoothestPath(strangers, { loop: true }), 3))}`,
);

const heap = (): number => {
  (globalThis as { gc?: () => void }).gc?.();
  return process.memoryUsage().heapUsed / 2 ** 20;
};
const before = heap();
const symbols = long(2_000);
const marks = [1, 2, 3].map(() => {
  for (let i = 0; i < 20; i++) voiceProgression(symbols, wide);
  return heap();
});
console.log(
  `\nheap in MiB${(globalThis as { gc?: unknown }).gc === undefined ? " (run node with --expose-gc for settled figures)" : ""}: before ${before.toFixed(1)}, then after each 20 loops of 2000 chords ${marks.map((m) => m.toFixed(1)).join(", ")}`,
);
