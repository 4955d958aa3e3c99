import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import type { Chart } from "../../src/progression/index.ts";
import { chartBars, formatChart, parseChart, parseProgression, playChart } from "../../src/progression/index.ts";
import { addBeats, barLength, compareBeats, equalBeats, ZERO } from "../../src/time/index.ts";
import { HANDS, REFUSED } from "./hands.ts";

/** Raise it with the environment variable: `FUZZ_RUNS=1000000 npx vitest run tests/progression/fuzz.test.ts`. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 4_000);
// A busy machine must not fail them.
vi.setConfig({ testTimeout: Math.max(120_000, 4 * RUNS) });

const WORDS =
  "C Dm7 G7(b9,13) F#ø Bb/D cm N.C. I ii V7 V7/ii subV7 iiø bVII7 #ivo7 viii VI I6/9 I6/4 N6 ii@5 vi@ | || |: :| :|*3 :|x2 :|: :: |] % %% / // /// *2 *1/2 *0 [A] A: (A7) [1] [2] 1. 2. [3/4] [key: F] G: [ii V]/V D.C. D.S. Segno Fine Coda To x3 (hold) [ ] ( ) , - -> * @ b é 𝄐 𝄋 𝄌 C:maj7 j79b Title: Key: \n \u0001".split(
    " ",
  );
const chartLike = fc
  .array(fc.tuple(fc.constantFrom(...WORDS), fc.constantFrom(" ", " ", " ", "", "\n")), { maxLength: 14 })
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
const known = fc.constantFrom(...HANDS.map(({ text }) => text), ...REFUSED.map(([text]) => text));
// A chart somewhat spoilt: letters lost, doubled, swapped for others, or the halves of two charts.
const mutated = fc
  .tuple(
    known,
    fc.array(fc.tuple(fc.nat(200), fc.constantFrom("lose", "double", "put", "swap"), fc.constantFrom(...WORDS)), {
      minLength: 1,
      maxLength: 4,
    }),
  )
  .map(([text, changes]) =>
    changes.reduce((before, [place, how, word]) => {
      const at = place % (before.length + 1);
      const [left, right] = [before.slice(0, at), before.slice(at)];
      if (how === "lose") return left + right.slice(1);
      if (how === "double") return left + right.slice(0, 1) + right;
      return how === "put" ? left + word + right : left + right.slice(1, 2) + right.slice(0, 1) + right.slice(2);
    }, text),
  );
const spliced = fc.tuple(known, known, fc.nat(60), fc.nat(60)).map(([a, b, i, j]) => a.slice(0, i) + b.slice(j));
const anything = fc.oneof(
  { weight: 4, arbitrary: mutated },
  { weight: 2, arbitrary: spliced },
  { weight: 2, arbitrary: chartLike },
  { weight: 2, arbitrary: orderly },
  { weight: 1, arbitrary: fc.string({ unit: "binary", maxLength: 60 }) },
);
const options = fc.constantFrom(
  {},
  {},
  { key: "Eb" },
  { key: "C minor", metre: "3/4" },
  { metre: "12/8", chordsPerBar: 2 },
);

const refusal = (run: () => unknown): MusicError | undefined => {
  try {
    run();
    return undefined;
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
};

/** A document without what its text does not hold, its fields in order. */
const bare = (value: unknown): unknown =>
  Array.isArray(value)
    ? value.map(bare)
    : typeof value === "object" && value !== null
      ? Object.fromEntries(
          Object.entries(value)
            .filter(([name, one]) => name !== "guesses" && name !== "numeral" && one !== undefined)
            .sort(([a], [b]) => (a < b ? -1 : 1))
            .map(([name, one]) => [name, bare(one)]),
        )
      : value;

const sounds = (chart: Chart): unknown =>
  chartBars(chart).map(({ chords }) => chords.map(({ symbol, beat }) => [symbol, beat]));

const requireFull = (chart: Chart): void => {
  const { chords, bars, metre, metres = [] } = playChart(chart);
  let at = ZERO;
  for (const span of chords) {
    if (!equalBeats(span.at, at) || compareBeats(span.duration, ZERO) <= 0) throw new Error("gap or overlap");
    at = addBeats(at, span.duration);
  }
  let end = ZERO;
  for (let bar = 1; bar <= bars; bar++) {
    const own = metres.filter((change) => change.bar <= bar).at(-1)?.metre ?? metre;
    end = addBeats(end, barLength(own));
  }
  if (!equalBeats(at, end)) throw new Error("bars not full");
};

describe("any text whatever", () => {
  it(`law: ${RUNS} texts are played out in full bars and read back from their own text, or refused in one line`, () => {
    let read = 0;
    let refused = 0;
    fc.assert(
      fc.property(anything, options, (text, opts) => {
        const error = refusal(() => {
          const chart = parseChart(text, opts);
          requireFull(chart);
          for (const { chords } of chartBars(chart)) if (chords.length === 0) throw new Error("a bar without a chord");
          const again = parseChart(formatChart(chart));
          // A chord that lasts on to part of a beat is written again, since strokes count whole ones; it is played the same.
          const split = chart.bars.some(({ chords: [first] }) => first?.beat.includes("/"));
          if (split) expect(sounds(again)).toEqual(sounds(chart));
          else expect(bare(again)).toEqual(bare(chart));
          // The document in JSON is the document.
          expect(parseChart(JSON.stringify(chart))).toEqual(chart);
          read++;
        });
        if (error === undefined) return;
        refused++;
        if (error.message.includes("\n") || error.message.length > 700)
          throw new Error(`not one short line: ${error.message}`);
      }),
      { numRuns: RUNS },
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
    "C | %\n",
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
    "N ",
    "N I | ",
    "[ii V]/IV ",
    "x3 ",
    "C - ",
    "d",
    "D.",
    "\n",
    "C\nx ",
    "(C) ",
    "To Coda ",
    "𝄌",
  ])("twenty thousand characters of %j are read or refused at once", (piece) => {
    const text = piece.repeat(20_000 / piece.length);
    const before = process.cpuUsage();
    // Bars played out are bounded.
    const error = refusal(() => expect(parseProgression(text).bars).toBeLessThanOrEqual(10_000));
    if (error !== undefined) expect(error.message.length).toBeLessThan(700);
    // Other work on the machine doesn't count.
    expect(process.cpuUsage(before).user).toBeLessThan(5_000_000);
  });

  it("refuses more than twenty thousand characters", () => {
    expect(refusal(() => parseChart("C ".repeat(10_001)))?.code).toBe("progression/chart");
  });
});
