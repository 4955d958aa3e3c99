/**
 * Chord parsing against tonal's `Chord.get` and the package chord-symbol, in one run: `npx tsx bench/chord.ts`.
 *
 * The 200 symbols are varied in root, quality, alterations and bass, in spellings that all three read. "First call" is the
 * median of the first calls in a fresh process, code not yet compiled. "Fresh symbols" is compiled code on symbols never seen before: roots
 * and bass notes differ each round. "Warm" repeats the same 200. This library keeps no cache, so only compilation makes its figures differ.
 */
import { performance } from "node:perf_hooks";
import { chordParserFactory } from "chord-symbol";
import { Chord } from "tonal";
import { parseChord } from "../src/chord/index.ts";

const SUFFIXES = [
  "",
  "m",
  "7",
  "maj7",
  "m7",
  "6",
  "m6",
  "9",
  "maj9",
  "m9",
  "11",
  "m11",
  "13",
  "maj13",
  "m13",
  "m7b5",
  "dim",
  "dim7",
  "aug",
  "sus4",
  "sus2",
  "7sus4",
  "9sus4",
  "13sus4",
  "7b9",
  "7#9",
  "7#11",
  "7b5",
  "7#5",
  "maj7#11",
  "maj9#11",
  "13#11",
  "13b9",
  "7b5b9",
  "7#5#9",
  "mMaj7",
  "6/9",
  "madd9",
  "add9",
  "7alt",
];
const LETTERS = ["C", "D", "E", "F", "G", "A", "B"];
const SIGNS = ["", "b", "#", "bb", "##"];

const note = (n: number, signs: number): string =>
  (LETTERS[n % 7] as string) + (SIGNS[Math.floor(n / 7) % signs] as string);

/** Symbols by number, 30,240 different ones: the suffix turns fastest, then root, then bass. */
const symbolAt = (n: number): string => {
  const symbol = note(Math.floor(n / SUFFIXES.length), 3) + (SUFFIXES[n % SUFFIXES.length] as string);
  const bass = Math.floor(n / (SUFFIXES.length * 21));
  return bass === 0 ? symbol : `${symbol}/${note(bass - 1, 5)}`;
};
// Every third one has a bass.
const SET = Array.from({ length: 200 }, (_, i) => symbolAt(i + (i % 3 === 0 ? 840 : 0)));

const chordSymbol = chordParserFactory();
const PARSERS: readonly { readonly name: string; readonly parse: (symbol: string) => unknown }[] = [
  { name: "ours", parse: parseChord },
  { name: "tonal Chord.get", parse: (symbol) => Chord.get(symbol) },
  { name: "chord-symbol", parse: (symbol) => chordSymbol(symbol) },
];

let sink = 0;
const microseconds = (symbols: readonly string[], parse: (symbol: string) => unknown): number => {
  const start = performance.now();
  for (const symbol of symbols) if (parse(symbol) !== null) sink++;
  return ((performance.now() - start) * 1000) / symbols.length;
};
const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;

const report = (title: string, figures: readonly number[]): void => {
  const [ours] = figures as [number];
  console.log(
    title.padEnd(15) +
      PARSERS.map(({ name }, i) => {
        const figure = figures[i] as number;
        return `${name} ${figure.toFixed(2)} µs${i === 0 ? "" : ` (${(figure / ours).toFixed(1)}×)`}`;
      }).join(" · "),
  );
};

report(
  "first call",
  PARSERS.map(({ parse }) => median(SET.map((symbol) => microseconds([symbol], parse)))),
);

const ROUNDS = 120;
/** The median of many rounds, one parser after the other, so that none pays for another's garbage. */
const rounds = (symbolsOf: (round: number) => readonly string[]): readonly number[] => {
  const sets = Array.from({ length: ROUNDS }, (_, round) => symbolsOf(round));
  return PARSERS.map(({ parse }) => median(sets.map((symbols) => microseconds(symbols, parse))));
};
rounds(() => SET);
report(
  "fresh symbols",
  rounds((round) => Array.from({ length: 200 }, (_, i) => symbolAt(2000 + round * 200 + i))),
);
report(
  "warm",
  rounds(() => SET),
);
if (sink < 0) console.log(sink);
