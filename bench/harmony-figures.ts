import { readFileSync, writeFileSync } from "node:fs";
import type { Chord } from "../src/chord/index.ts";
import { parseChord } from "../src/chord/index.ts";
import { makeDrill } from "../src/drill/index.ts";
import { analyseHarmony } from "../src/harmony/index.ts";
import type { PitchName } from "../src/pitch/index.ts";
import { pitch, pitchClassOf, pitchFromMidi, pitchName } from "../src/pitch/index.ts";
import { parseProgression, progressionCatalogue } from "../src/progression/index.ts";
import type { VoicedProgression, VoiceProgressionOptions } from "../src/voice-leading/index.ts";
import { voiceProgression } from "../src/voice-leading/index.ts";
import { voicingsFor } from "../src/voicing/index.ts";

// What voicings do on real charts, plain and in context: `npx tsx bench/harmony-figures.ts CHARTS.json` renews the tables of docs/harmony.md.

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
const high = pitch("A4").semitones;
const middle = pitch("C4").semitones;
const mean = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length;
const noteAt = (semitones: number): PitchName => pitchName(pitchFromMidi(Math.round(semitones) + 12, "flats"));

type Row = readonly [name: string, figure: string];

const ORDER = [
  "iiø–V7–i with a plain V7: a natural 9 or 13 on the V",
  "a plain V7 into a minor chord: ♭9 or ♭13",
  "VI7 of a major key into ii: a natural 13",
  "iii of a major key that names no 9th: the raised fourth of the key as its 9th",
  "a minor triad as tonic: a minor 7th",
  "symbols that name a colour: one lost",
  "slash chords: the bass neither played nor in the answer",
  "top from C4 to A4",
  "steps to another chord: the top stays",
  "steps to another chord: contrary to the bass",
  "steps to another chord: the top leaps above a fifth",
  "a chord that goes on: the same voicing again",
] as const;

const MOVED = "semitones that all voices move for each step";
const PIANIST = { motion: 2, register: 4, low: 12, line: 3, contrary: 2, variety: 16, melody: 8 } as const;

const measure = (options: VoiceProgressionOptions): readonly Row[] => {
  const counts = new Map<(typeof ORDER)[number], [number, number]>();
  const count = (name: (typeof ORDER)[number], yes: boolean): void => {
    const [part, of] = counts.get(name) ?? [0, 0];
    counts.set(name, [part + (yes ? 1 : 0), of + 1]);
  };
  const tops: number[] = [];
  const motions: number[] = [];
  let widest = 0;
  for (const text of texts) {
    const { chords } = analyseHarmony(text);
    const voiced: VoicedProgression = voiceProgression(text, { style, ...options });
    for (const [i, { chord, degrees, leftOut, pitches, warnings }] of voiced.voicings.entries()) {
      const [here, next, before] = [chords[i], chords[i + 1], chords[i - 1]];
      if (here === undefined) continue;
      const plain =
        chord.tones.every(({ degree }) => ["1", "3", "5", "b7"].includes(degree)) && chord.quality === "dominant";
      const minorNext = next !== undefined && ["minor", "minor-major"].includes(next.chord.quality);
      const down = next !== undefined && (pitchClassOf(next.chord.root) - pitchClassOf(chord.root) + 12) % 12 === 5;
      if (plain && minorNext && down) {
        if (before?.chord.quality === "half-diminished")
          count(ORDER[0], degrees.includes("9") || degrees.includes("13"));
        count(ORDER[1], degrees.includes("b9") || degrees.includes("b13"));
      }
      if (plain && here.home.startsWith("V7/ii")) count(ORDER[2], degrees.includes("13"));
      const ninth = chord.tones.some(({ degree }) => degree === "9");
      const third = here.chord.quality === "minor" && here.numeral.startsWith("iii") && !here.home.startsWith("i");
      const inHome = here.chord.quality === "minor" && here.home.startsWith("iii");
      if ((third || inHome) && !ninth) count(ORDER[3], degrees.includes("9"));
      if (
        /^i(?!i|v)/.test(here.numeral) &&
        !/^(?:ii|vi|iii)/.test(here.home) &&
        here.function === "tonic" &&
        chord.quality === "minor" &&
        isTriad(chord)
      )
        count(ORDER[4], degrees.includes("b7"));
      if (named(chord)) count(ORDER[5], leftOut.length > 0);
      if (chord.bass !== chord.root) {
        const heard = pitches.some(({ semitones }) => semitones % 12 === pitchClassOf(chord.bass));
        count(ORDER[6], !heard && voiced.basses[i] === undefined && warnings.length === 0);
      }
      const top = pitches.at(-1)?.semitones ?? 0;
      count(ORDER[7], top >= middle && top <= high);
      tops.push(top);
      const [last, previous] = [voiced.voicings[i - 1], chords[i - 1]];
      if (last === undefined || previous === undefined) continue;
      const move = top - (last.pitches.at(-1)?.semitones ?? 0);
      const way = (pitchClassOf(chord.bass) - pitchClassOf(previous.chord.bass) + 12) % 12;
      const bass = way === 0 ? 0 : way <= 6 ? 1 : -1;
      widest = Math.max(widest, Math.abs(move));
      if (chord.canonical === last.chord.canonical) {
        count(ORDER[11], move === 0 && voiced.motion[i - 1] === 0);
        continue;
      }
      count(ORDER[8], move === 0);
      count(ORDER[9], Math.sign(move) * bass < 0);
      count(ORDER[10], Math.abs(move) > 7);
      motions.push(voiced.motion[i - 1] ?? 0);
    }
  }
  return [
    ...ORDER.map((name): Row => [name, share(...(counts.get(name) ?? [0, 0]))]),
    [MOVED, mean(motions).toFixed(1)],
    ["the widest step of the top, in semitones", String(widest)],
    ["the top, on average", noteAt(mean(tops))],
  ];
};

const isTriad = ({ tones }: Chord): boolean => tones.length === 3;

const named = (chord: Chord): boolean =>
  parseChord(chord.symbol).tones.some(
    ({ degree }) => !["1", "3", "b3", "4", "5", "b5", "#5", "7", "b7", "bb7", "6"].includes(degree),
  );

const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;

/** What can be told without the charts. */
const elsewhere = (options: VoiceProgressionOptions): readonly Row[] => {
  const dm7 = voiceProgression(Array<string>(8).fill("Dm7"), options).voicings;
  const shapes = new Set(dm7.map(({ pitches }) => pitches.map(pitchName).join(" "))).size;
  const flat = voiceProgression(parseProgression("ii V I vi", { key: "Db" }), { ...options, loop: true }).voicings;
  const ends = (of: (notes: readonly number[]) => number): string =>
    noteAt(mean(flat.map(({ pitches }) => of(pitches.map(({ semitones }) => semitones)))));
  return [
    ["eight bars of Dm7: different voicings", String(shapes)],
    [
      "D♭: the left hand lies, on average, from",
      `${ends((notes) => Math.min(...notes))} to ${ends((notes) => Math.max(...notes))}`,
    ],
  ];
};

/** Of all that print: names with more than one accidental, chord by chord, in twelve keys. */
const spelled = (written: boolean): Row => {
  let [doubled, of] = [0, 0];
  for (const key of KEYS) {
    const changes = "ii subV7 I subV7/ii";
    const chords = written
      ? parseProgression(changes, { key }).chords
      : makeDrill({ key, changes, left: "rootless", backing: "none" }).progression.chords;
    for (const { chord } of chords) {
      if (chord === undefined) continue;
      of++;
      if (chord.tones.some(({ note }) => note.length > 2)) doubled++;
    }
  }
  return ["tritone substitutes in twelve keys: chords that need a double accidental", share(doubled, of)];
};

/** The registers of `voice` and of a drill over the same changes. */
const registers = (): Row => {
  let [same, of] = [0, 0];
  for (const key of KEYS) {
    const drill = makeDrill({ key, changes: "ii V I I", left: "rootless", right: "improvised", backing: "none" });
    const voice = voiceProgression(drill.progression);
    for (const [i, { pitches }] of drill.voiced.voicings.entries()) {
      of++;
      const apart = (pitches.at(-1)?.semitones ?? 0) - (voice.voicings[i]?.pitches.at(-1)?.semitones ?? 0);
      if (Math.abs(apart) <= 3) same++;
    }
  }
  return ["tops of `voice` and of a drill over ii–V–I within a third of each other, twelve keys", share(same, of)];
};

/** A root a minor ninth above a major seventh, among everything that drop 2 offers. */
const grating = (): Row => {
  let [bad, of] = [0, 0];
  for (const { id } of progressionCatalogue)
    for (const { chord } of parseProgression(id).chords)
      for (const key of KEYS) {
        if (chord === undefined) continue;
        const symbol = key + chord.canonical.slice(chord.root.length).split("/")[0];
        try {
          for (const { pitches, degrees } of voicingsFor(symbol, { style: "drop-2" })) {
            of++;
            const notes = pitches.map(({ semitones }) => semitones);
            if (
              degrees.some(
                (low, a) =>
                  low === "7" && degrees.some((up, b) => up === "1" && (notes[b] ?? 0) - (notes[a] ?? 0) === 13),
              )
            )
              bad++;
          }
        } catch {
          // No form of the style.
        }
      }
  return ["drop 2: a root a minor ninth above the 7th", share(bad, of)];
};

const BEFORE: VoiceProgressionOptions = {};
const AFTER: VoiceProgressionOptions = { colour: "in-context", aims: PIANIST };
const before = new Map([...measure(BEFORE), ...elsewhere(BEFORE), spelled(true)]);
const after = [...measure(AFTER), ...elsewhere(AFTER), spelled(false)];
const table = [
  `| on ${texts.length} charts | as written, smoothest | in context, as a pianist plays |`,
  "|---|---|---|",
  ...after.map(([name, figure]) => `| ${name} | ${before.get(name) ?? "none"} | ${figure} |`),
  "",
  ...[registers(), grating()].map(([name, figure]) => `- ${name}: ${figure}`),
].join("\n");
console.log(table);
/** What the weight of variety changes on charts, all else as a pianist plays. */
const varied = [0, 4, 8, 16, 24, 32].map((variety) => {
  const figures = new Map(measure({ colour: "in-context", aims: { ...PIANIST, variety } }));
  return `| ${variety} | ${[ORDER[11], ORDER[7], MOVED].map((name) => figures.get(name) ?? "").join(" | ")} |`;
});
const variety = [
  "| weight of variety | the same voicing again | top from C4 to A4 | semitones moved to another chord |",
  "|---|---|---|---|",
  ...varied,
].join("\n");
console.log(variety);

const page = "docs/harmony.md";
const renewed = (text: string, name: string, lines: string): string =>
  text.replace(new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*?(<!-- end -->)`), `$1${lines}\n$2`);
writeFileSync(page, renewed(renewed(readFileSync(page, "utf8"), "figures", table), "variety", variety));
