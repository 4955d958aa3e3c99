import * as v from "valibot";
import { parseChord } from "../chord/index.ts";
import { attempt } from "../ground/attempt.ts";
import { check, checkOnce } from "../ground/check.ts";
import { isMusicError, MusicError } from "../ground/errors.ts";
import type { Key, KeyMode } from "../pitch/index.ts";
import { parseKey } from "../pitch/index.ts";
import { parseMetre } from "../time/index.ts";
import type { Chart } from "./document.ts";
import { chartShape } from "./document.ts";
import type { KeyCandidate } from "./keys.ts";
import { keysOf, likeliestKey } from "./keys.ts";
import { playBars, problemIn, progressionIn } from "./play.ts";
import { readChartText } from "./reader.ts";
import { chartTextSchema, optionsSchema, progressionSchema } from "./shape.ts";
import type { Progression, ProgressionOptions } from "./types.ts";
import { chartText, madeWritable } from "./write.ts";

/** What a chart must be: its shape, its road map and its chords. */
export const chartSchema = /* @__PURE__ */ v.pipe(
  chartShape,
  /* @__PURE__ */ v.rawCheck(({ dataset, addIssue }) => {
    if (!dataset.typed) return;
    const problem = faultIn(dataset.value);
    if (problem !== undefined) addIssue({ message: problem });
  }),
);

const faultIn = (chart: v.InferOutput<typeof chartShape>): string | undefined => {
  const road = problemIn(chart);
  if (road !== undefined) return `${road.expected}, in bar ${road.bar}`;
  const symbols = new Set(chart.bars.flatMap(({ chords }) => chords.map(({ symbol }) => symbol)));
  try {
    for (const symbol of symbols) if (symbol !== "N.C.") parseChord(symbol);
    progressionIn({ ...chart, guesses: [] });
    return undefined;
  } catch (error) {
    if (!isMusicError(error)) throw error;
    return error.expected;
  }
};

/**
 * Reads a chart as people type it: chord symbols or Roman numerals in bars, with everything that a lead sheet says round them. Or reads
 * the same document back from JSON.
 *
 * - `|` parts bars, and so does a line end; a list without any bar line has one chord a bar. `%` repeats the bar before, `%%` the two before; in
 *   an empty bar the chord before lasts on.
 * - Chords in a bar share it by whole beats, the first ones the longer (three in 4/4 have 2 + 1 + 1), unless beats are given: `Dm7*3 G7*1`
 *   (pulses of the metre, fractions allowed), or strokes as on a lead sheet, each one more pulse of the chord before: `Dm7 / / G7`.
 * - `|: … :|` is played twice, `:|x3` three times; `[1]`, `1.` and `[2]` begin endings; `D.C.`, `D.S.`, `al Fine`, `al Coda`, `To Coda`,
 *   `Segno` and their signs are followed.
 * - `[A]` or `A:` begins a section, `[3/4]` changes the metre, `[key: F]` or `F: ii V` the key; `N.C.` is a span without chord, `(A7)` an
 *   optional chord, which is played; `(hold)` and `(stop)` follow their chord.
 * - Lines such as `Title: …`, `Key: Eb`, `Metre: 3/4`, `Tempo: 120`, `Feel: swing` may stand above.
 * - Numerals that begin or end on i and have no I are in minor: a major key given lends them its tonic.
 *
 * @param text - at most 20,000 characters
 * @returns the chart as written, and in `guesses` what was taken for granted
 * @throws MusicError `progression/chart` when the layout can't be read, `progression/beats` when given beats don't fill a bar,
 * `progression/numeral`, `chord/…` for a chord that can't be read (line and column are named), `time/metre`, `pitch/key`
 *
 * @example
 * ```ts
 * import { parseChart } from "hands-together/progression";
 *
 * const chart = parseChart("Title: Mine\nA: Dm9 / / G13 | Cmaj9 | F6 Bb9 Em7 (A7)");
 * chart.bars.map(({ chords }) => chords.map(({ symbol, beat }) => `${symbol} on ${beat}`)); // => [["Dm9 on 1", "G13 on 4"], ["Cmaj9 on 1"], ["F6 on 1", "Bb9 on 2", "Em7 on 3", "A7 on 4"]]
 * chart.guesses[0]; // => "a chord in brackets is played (line 2, column 38)"
 * parseChart("Dm9 | G13 | H7"); // throws "chord/root"
 * ```
 */
export function parseChart(text: string, options: ProgressionOptions = {}): Chart {
  check(chartTextSchema, text, "progression/chart");
  check(optionsSchema, options, "progression/argument");
  return readChart(text, options, undefined);
}

/** Reads a chart whose mode may be settled beforehand. */
export const readChart = (text: string, options: ProgressionOptions, mode: KeyMode | undefined): Chart => {
  if (/^\s*\{\s*"/.test(text)) return chartFromJson(text);
  const given = typeof options.key === "string" ? parseKey(options.key) : options.key;
  const metre = typeof options.metre === "string" ? parseMetre(options.metre) : options.metre;
  const chart = readChartText(text, { key: given, mode, metre, chordsPerBar: chordsPerBar(options.chordsPerBar) });
  return chart.key === "" ? inLikelyKey(chart) : chart;
};

const chordsPerBar = (value: number | undefined): number => {
  if (value === undefined) return 1;
  if (Number.isInteger(value) && value >= 1 && value <= 16) return value;
  throw new MusicError({
    code: "progression/chart",
    input: value,
    expected: "a whole number of chords a bar from 1 to 16",
  });
};

const inLikelyKey = (chart: Chart): Chart => {
  const first = likeliestKey(progressionIn({ ...chart, key: "C major" }));
  const name = first === undefined ? "C major" : nameOf(first.key);
  const why = first?.reasons.join(", ") ?? "no chord";
  return { ...chart, key: name, guesses: [...chart.guesses, `key taken as ${name}: ${why}`] };
};

const nameOf = (key: Key): string => `${key.tonic} ${key.mode}`;

/** A chart from JSON text. */
const chartFromJson = (text: string): Chart => {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new MusicError({
      code: "progression/chart",
      input: text,
      expected: "a chart as text or JSON that can be read",
    });
  }
  check(chartSchema, value, "progression/chart");
  const { $schema: _, guesses = [], ...chart } = value;
  return { ...chart, guesses };
};

/**
 * A chart played out: repeats, endings and jumps followed, the chords of its full bars in exact time. Chords of a pickup bar stand apart in `pickupChords`,
 * since the form begins with bar 1.
 *
 * @throws MusicError `progression/chart` when its repeats or jumps can't be followed, and what `parseChart` throws for text
 *
 * @example
 * ```ts
 * import { playChart } from "hands-together/progression";
 *
 * playChart("|: C | D [1] E :| [2] F").chords.map((span) => span.chord?.symbol); // => ["C", "D", "E", "C", "D", "F"]
 * ```
 */
export function playChart(chart: Chart | string): Progression {
  const document = chartOf(chart);
  return progressionIn(document);
}

/** A chart, or what is read as one. */
export const chartOf = (given: Chart | string): Chart => {
  if (typeof given === "string") return parseChart(given);
  checkOnce(chartSchema, given, "progression/chart");
  return given;
};

/**
 * The bars of a chart as they are played, repeats, endings and jumps followed; bar 0 is the pickup.
 *
 * @throws MusicError as {@link playChart}
 *
 * @example
 * ```ts
 * import { chartBars } from "hands-together/progression";
 *
 * chartBars("[A] |: C | D [1] E :| [2] F").map(({ section, written }) => `${section} ${written}`); // => ["A 0", "A 1", "A 2", "A 0", "A 1", "A 3"]
 * ```
 */
export function chartBars(chart: Chart | string): ReturnType<typeof playBars> {
  return playBars(chartOf(chart));
}

/**
 * A chart as text, which {@link parseChart} reads back as the same chart: everything but the melody, which only
 * the document as JSON holds, and the guesses, since hardly anything is left to guess.
 *
 * @throws MusicError as {@link playChart}
 *
 * @example
 * ```ts
 * import { formatChart } from "hands-together/progression";
 *
 * formatChart("A: Dm7 / / G7 | Cmaj7").split("\n").at(-2); // => "| [A] Dm7*3 G7*1 | Cmaj7 |"
 * ```
 */
export function formatChart(chart: Chart | string): string {
  const document = madeWritable(chartOf(chart));
  const text = chartText(document, true);
  return readsAs(text, document) ? text : chartText(document, false);
}

// Numerals say the same chords only in the key that they were read in.
const readsAs = (text: string, document: Chart): boolean =>
  attempt(() => bareOf(readChart(text, {}, undefined))) === bareOf(document);

const bareOf = (chart: Chart): string =>
  JSON.stringify(chart.bars.map(({ chords, key }) => [key, chords.map(({ symbol, beat }) => [symbol, beat])]));

/**
 * The keys that a chart or a progression may be in, the likeliest first, with what speaks for each: cadences, chords at rest and where sections
 * come to rest, the first chord, the tonic's share of the time, a blues, and how much time each degree and family of chord has.
 *
 * The weights are learnt from 194 charts with a known key; source and figures on charts that were not learnt from stand in
 * `src/progression/key-weights.ts`.
 *
 * @returns all 24 keys, none where no chord sounds; their shares add up to 1
 * @throws MusicError as {@link playChart}
 *
 * @example
 * ```ts
 * import { likelyKeys } from "hands-together/progression";
 *
 * const [first] = likelyKeys("Dm7 | G7 | Cmaj7 | A7");
 * first?.key.tonic; // => "C"
 * first?.reasons[0]; // => "the last chord at rest is on C"
 * ```
 */
export function likelyKeys(chart: Chart | Progression | string): readonly KeyCandidate[] {
  if (typeof chart === "object" && chart !== null && chart.kind === "progression") {
    checkOnce(progressionSchema, chart, "progression/argument");
    return keysOf(chart);
  }
  return keysOf(progressionIn(chartOf(chart)));
}
