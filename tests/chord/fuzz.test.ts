import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import { scanSymbol } from "../../src/chord/scan.ts";
import { MusicError } from "../../src/ground/errors.ts";

/** Raise it with the environment variable: `FUZZ_RUNS=1000000 npx vitest run tests/chord/fuzz.test.ts`. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 30_000);
const LONG = Math.min(100_000, 4 * RUNS);
// A busy machine must not fail them.
vi.setConfig({ testTimeout: Math.max(120_000, RUNS) });

// Whole words, their beginnings, and characters that look like signs: most strings fail late, some are read.
const WORDS = [
  "C",
  "F#",
  "B♭",
  "E𝄫",
  "G𝄪",
  "m",
  "maj",
  "min",
  "mi",
  "ma",
  "M",
  "o",
  "°",
  "ø",
  "Δ",
  "dim",
  "+",
  "aug",
  "-",
  "−",
  "dom",
  "5",
  "6",
  "69",
  "6/9",
  "7",
  "9",
  "11",
  "13",
  "1",
  "2",
  "3",
  "4",
  "8",
  "10",
  "/",
  "(",
  ")",
  ",",
  " ",
  "b",
  "#",
  "♭",
  "♯",
  "♮",
  "b9",
  "#9",
  "#11",
  "b13",
  "b5",
  "+5",
  "-9",
  "add",
  "no",
  "omit",
  "sus",
  "sus4",
  "alt",
  "ad",
  "om",
  "su",
  "majo",
  "minorr",
  "x",
  "E",
  "N.C.",
  "\n",
  "\u0001",
  "\uD834",
  "é",
  "🎹",
];
const symbolLike = fc
  .tuple(fc.constantFrom("C", "Eb", "F#", ""), fc.array(fc.constantFrom(...WORDS), { maxLength: 8 }))
  .map(([root, words]) => root + words.join(""));
const anything = fc.oneof(
  { weight: 6, arbitrary: symbolLike },
  { weight: 1, arbitrary: fc.string({ unit: "binary", maxLength: 40 }) },
);

/** A text that counts how often its characters are read. */
const counted = (text: string) => {
  const source = {
    reads: 0,
    length: text.length,
    charCodeAt: (i: number) => {
      source.reads++;
      return text.charCodeAt(i);
    },
  };
  return source;
};
// No character is read more often than this on average, whatever the text.
const READS = 8;

describe("any text whatever", () => {
  it(`law: ${RUNS} random texts are read, or refused with a MusicError, in a bounded number of reads`, () => {
    let read = 0;
    let refused = 0;
    fc.assert(
      fc.property(anything, (text) => {
        const source = counted(text);
        scanSymbol(source);
        if (source.reads > READS * (text.length + 1)) throw new Error(`${source.reads} reads`);
        try {
          const chord = parseChord(text);
          read++;
          // What is read is a whole chord: its canonical text means the same.
          if (JSON.stringify(parseChord(chord.canonical).tones) !== JSON.stringify(chord.tones))
            throw new Error(`${chord.canonical} differs`);
        } catch (error) {
          if (!(error instanceof MusicError)) throw error;
          refused++;
          if (error.message.includes("\n") || error.message.length > 400) throw new Error("not one line");
        }
      }),
      { numRuns: RUNS, seed: 8 },
    );
    // Both ways out are well trodden.
    expect(read).toBeGreaterThan(refused / 50);
    expect(refused).toBeGreaterThan(read / 50);
  });

  it.each([
    "b9",
    "(b9)",
    "/9",
    "(b9,",
    "add9",
    "no3",
    "sus",
    "m",
    "majo",
    "𝄫",
    "(((((",
    "7",
    "/C",
    " ",
    "omi",
    "-",
    "ø",
  ])(`${LONG} characters of %j take reads in proportion`, (piece) => {
    for (const start of ["C", "C7", "C7("]) {
      const source = counted(start + piece.repeat(LONG / piece.length));
      scanSymbol(source);
      expect(source.reads).toBeLessThanOrEqual(READS * (source.length + 1));
      const outcome = () => parseChord(start + piece.repeat(LONG / piece.length));
      try {
        outcome();
      } catch (error) {
        expect(error).toBeInstanceOf(MusicError);
        expect((error as MusicError).message.length).toBeLessThan(400);
      }
    }
  });
});
