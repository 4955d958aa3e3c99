import { readFileSync, writeFileSync } from "node:fs";
import type { Chord } from "../src/chord/index.ts";
import { parseChord } from "../src/chord/index.ts";
import { analyseHarmony } from "../src/harmony/index.ts";
import { pitch, pitchClassOf } from "../src/pitch/index.ts";
import type { VoicedProgression, VoiceProgressionOptions } from "../src/voice-leading/index.ts";
import { voiceProgression } from "../src/voice-leading/index.ts";

// What voicings do on real charts, plain and in context: `npx tsx bench/harmony-figures.ts CHARTS.json` renews the table of docs/harmony.md.

interface ChartRow {
  readonly chords: readonly (readonly [number, number, string | null, string | null, string | null, string])[];
}

const [, , file = ""] = process.argv;
const charts: readonly ChartRow[] = JSON.parse(readFileSync(file, "utf8"));

/** A chart as text, N.C. and what could not be converted left out; a bar without either is a bar of its last chord. */
const textOf = ({ chords }: ChartRow): string => {
  const bars = new Map<number, string[]>();
  for (const [bar, , symbol] of chords) {
    if (symbol === null || symbol.startsWith("N")) continue;
    const here = bars.get(bar) ?? [];
    if (here.at(-1) !== symbol) here.push(symbol);
    bars.set(bar, here);
  }
  return [...bars.values()].map((bar) => bar.join(" ")).join(" | ");
};

const texts = charts.map(textOf).filter((text) => text !== "");
const style = ["rootless", "close"] as const;

const share = (part: number, of: number): string =>
  of === 0 ? "none" : `${part} of ${of} (${((100 * part) / of).toFixed(0)} %)`;

const measure = (options: VoiceProgressionOptions): readonly (readonly [string, string])[] => {
  const counts = new Map<string, [number, number]>();
  const count = (name: string, yes: boolean): void => {
    const [part, of] = counts.get(name) ?? [0, 0];
    counts.set(name, [part + (yes ? 1 : 0), of + 1]);
  };
  let [motion, steps, tops, leaps] = [0, 0, 0, 0];
  for (const text of texts) {
    const { chords } = analyseHarmony(text);
    const voiced: VoicedProgression = voiceProgression(text, { style, ...options });
    for (const [i, { chord, degrees, leftOut, pitches }] of voiced.voicings.entries()) {
      const [here, next, before] = [chords[i], chords[i + 1], chords[i - 1]];
      if (here === undefined) continue;
      const plain =
        chord.tones.every(({ degree }) => ["1", "3", "5", "b7"].includes(degree)) && chord.quality === "dominant";
      const minorNext = next !== undefined && ["minor", "minor-major"].includes(next.chord.quality);
      const down = next !== undefined && (pitchClassOf(next.chord.root) - pitchClassOf(chord.root) + 12) % 12 === 5;
      const natural = degrees.includes("9") || degrees.includes("13");
      if (plain && minorNext && down && before?.chord.quality === "half-diminished")
        count("iiø–V7–i with a plain V7: a natural 9 or 13", natural);
      if (plain && here.home.startsWith("V7/ii")) count("V7 of ii: a natural 13", degrees.includes("13"));
      if (here.chord.quality === "minor" && here.numeral.startsWith("iii")) count("iii: a 9th", degrees.includes("9"));
      if (here.function === "tonic" && chord.quality === "minor" && chord.tones.length === 3)
        count("a minor triad as tonic: a minor 7th", degrees.includes("b7"));
      if (named(chord)) count("symbols that name a colour: one lost", leftOut.length > 0);
      const top = pitches.at(-1)?.semitones ?? 0;
      count("top above A4", top > pitch("A4").semitones);
      tops += top;
      const [last, previous] = [voiced.voicings[i - 1], chords[i - 1]];
      if (last === undefined || previous === undefined) continue;
      const move = top - (last.pitches.at(-1)?.semitones ?? 0);
      const way = (pitchClassOf(chord.bass) - pitchClassOf(previous.chord.bass) + 12) % 12;
      const bass = way === 0 ? 0 : way <= 6 ? 1 : -1;
      if (chord.canonical === last.chord.canonical) {
        count("a chord that goes on: the same voicing", move === 0 && voiced.motion[i - 1] === 0);
        continue;
      }
      count("steps: the top stays", move === 0);
      count("steps: contrary to the bass", Math.sign(move) * bass < 0);
      count("steps: the top leaps above a fifth", Math.abs(move) > 7);
      motion += voiced.motion[i - 1] ?? 0;
      leaps = Math.max(leaps, Math.abs(move));
      steps++;
    }
  }
  return [
    ...[...counts].map(([name, [part, of]]): readonly [string, string] => [name, share(part, of)]),
    ["semitones moved for each step", (motion / steps).toFixed(1)],
    ["the widest step of the top, in semitones", String(leaps)],
    [
      "mean of the top, in semitones above C4",
      (tops / (counts.get("top above A4")?.[1] ?? 1) - pitch("C4").semitones).toFixed(1),
    ],
  ];
};

const named = (chord: Chord): boolean =>
  parseChord(chord.symbol).tones.some(
    ({ degree }) => !["1", "3", "b3", "4", "5", "b5", "#5", "7", "b7", "bb7", "6"].includes(degree),
  );

const weights = process.argv[3] === undefined ? "pianist" : JSON.parse(process.argv[3]);
const before = new Map(measure({}));
const after = measure({ colour: "in-context", aims: weights });
const rows = [...after].map(([name, figure]) => `| ${name} | ${before.get(name) ?? "none"} | ${figure} |`);
const table = [
  `| on ${texts.length} charts | as written, smoothest | in context, as a pianist plays |`,
  "|---|---|---|",
  ...rows,
].join("\n");
console.log(table);
const page = "docs/harmony.md";
const text = readFileSync(page, "utf8");
writeFileSync(page, text.replace(/(<!-- figures -->\n)[\s\S]*?(\n<!-- end -->)/, `$1${table}$2`));
