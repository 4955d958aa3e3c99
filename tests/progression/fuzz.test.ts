import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import { parseChart, parseProgression } from "../../src/progression/index.ts";
import { readLayout } from "../../src/progression/layout.ts";
import { addBeats, barLength, beats, equalBeats, multiplyBeats } from "../../src/time/index.ts";

/** Raise it with the environment variable: `FUZZ_RUNS=1000000 npx vitest run tests/progression/fuzz.test.ts`. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 30_000);
// A busy machine must not fail them.
vi.setConfig({ testTimeout: Math.max(120_000, RUNS) });

const WORDS = [
  "C",
  "Dm7",
  "G7(b9, 13)",
  "F#ø",
  "Bb/D",
  "cm",
  "N.C.",
  "I",
  "ii",
  "V7",
  "V7/ii",
  "subV7",
  "iiø",
  "bVII7",
  "#ivo7",
  "viii",
  "VI",
  "I6/9",
  "ii@5",
  "vi@",
  "|",
  "||",
  "|:",
  ":|",
  ":|*3",
  ":|:",
  "::",
  "%",
  "/",
  "*2",
  "*1/2",
  "*0",
  "[A]",
  "[1]",
  "[2]",
  "[",
  "]",
  "(",
  ")",
  "\n",
  "*",
  "@",
  "b",
  "é",
  "\u0001",
];
const chartLike = fc
  .array(fc.tuple(fc.constantFrom(...WORDS), fc.constantFrom(" ", " ", " ", "")), { maxLength: 14 })
  .map((words) => words.map(([word, gap]) => word + gap).join(""));
const orderly = fc
  .array(
    fc.array(fc.constantFrom("C", "Dm7", "G7", "%", "I", "ii", "V7/ii", "N.C.", "bVI", "C*2", "/"), {
      minLength: 1,
      maxLength: 3,
    }),
    { minLength: 1, maxLength: 5 },
  )
  .map((bars) => bars.map((bar) => bar.join(" ")).join(" | "));
const anything = fc.oneof(
  { weight: 3, arbitrary: chartLike },
  { weight: 3, arbitrary: orderly },
  { weight: 1, arbitrary: fc.string({ unit: "binary", maxLength: 60 }) },
);
const options = fc.constantFrom(
  {},
  { key: "Eb" },
  { key: "C minor", metre: "3/4" },
  { metre: "12/8", chordsPerBar: 2 },
);

/** A text that counts the characters that are read from it, a search as all that it passes over. */
const counted = (text: string) => {
  const source = {
    reads: 0,
    length: text.length,
    charAt: (i: number) => {
      source.reads++;
      return text.charAt(i);
    },
    slice: (start?: number, end?: number) => {
      const part = text.slice(start, end);
      source.reads += part.length;
      return part;
    },
    includes: (part: string) => {
      source.reads += text.length;
      return text.includes(part);
    },
    indexOf: (part: string, from = 0) => {
      const at = text.indexOf(part, from);
      source.reads += (at < 0 ? text.length : at) - from;
      return at;
    },
  };
  return source;
};
const READS = 8;
const refusal = (run: () => unknown): unknown => {
  try {
    run();
    return undefined;
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
};

describe("any text whatever", () => {
  it(`law: ${RUNS} random texts are played out in full bars, or refused with a MusicError, in a bounded number of reads`, () => {
    let read = 0;
    let refused = 0;
    fc.assert(
      fc.property(anything, options, (text, opts) => {
        const source = counted(text);
        refusal(() => readLayout(source, 1));
        if (source.reads > READS * (text.length + 1)) throw new Error(`${source.reads} reads`);
        const error = refusal(() => {
          const chart = parseProgression(text, opts);
          let at = beats(0);
          for (const span of chart.chords) {
            if (!equalBeats(span.at, at) || span.duration.num <= 0) throw new Error("gap or overlap");
            at = addBeats(at, span.duration);
          }
          if (!equalBeats(at, multiplyBeats(barLength(chart.metre), beats(chart.bars))))
            throw new Error("bars not full");
          read++;
        });
        if (error === undefined) return;
        refused++;
        const { message } = error as MusicError;
        if (message.includes("\n") || message.length > 500) throw new Error(`not one short line: ${message}`);
      }),
      { numRuns: RUNS, seed: 9 },
    );
    expect(read).toBeGreaterThan(RUNS / 50);
    expect(refused).toBeGreaterThan(RUNS / 50);
  });

  it.each([
    "C ",
    "C | ",
    "|: C :| ",
    "[A] |: C :| ",
    "[",
    "(",
    "C(",
    "% ",
    "| ",
    "C / ",
    "|C / / / ",
    "C*2 ",
    "|: C [1] D :| [2] E ",
    "V/",
    "I@",
    "i",
    "[A]",
    ":|*9",
    "b",
  ])("a hundred thousand characters of %j take reads in proportion", (piece) => {
    const text = piece.repeat(100_000 / piece.length);
    const source = counted(text);
    refusal(() => readLayout(source, 1));
    expect(source.reads).toBeLessThanOrEqual(READS * (text.length + 1));
    // Bars played out are bounded by the text, sixteen times over.
    const error = refusal(() => expect(parseChart(text).bars).toBeLessThanOrEqual(16 * text.length));
    if (error !== undefined) expect((error as MusicError).message.length).toBeLessThan(500);
  });
});
