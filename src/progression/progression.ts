import * as v from "valibot";
import { transposeChord } from "../chord/index.ts";
import { check, checkOnce } from "../ground/check.ts";
import type { Door } from "../ground/door.ts";
import { door } from "../ground/door.ts";
import { isMusicError, MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { Key } from "../pitch/index.ts";
import { noteInterval, parseKey, parseNote } from "../pitch/index.ts";
import type { ProgressionRow } from "./catalogue.ts";
import { progressionCatalogue } from "./catalogue.ts";
import { readChart } from "./chart.ts";
import { progressionIn } from "./play.ts";
import { chartTextSchema, keySchema, optionsSchema, progressionSchema, rowShape } from "./shape.ts";
import { inMode, minorOn } from "./twins.ts";
import type { ChordSpan, Progression, ProgressionOptions } from "./types.ts";

/** What a row must be: its changes are read, in the bars that it states. */
export const progressionRowSchema = /* @__PURE__ */ v.pipe(
  rowShape,
  /* @__PURE__ */ v.rawCheck(({ dataset, addIssue }) => {
    if (!dataset.typed) return;
    const row = dataset.value;
    try {
      const { bars } = playRow(row, {});
      if (bars !== row.bars) addIssue({ message: `changes of the ${row.bars} bars that are stated, not of ${bars}` });
    } catch (error) {
      if (!isMusicError(error)) throw error;
      addIssue({ message: `changes that can be read (${error.expected})` });
    }
  }),
);

/** Named progressions, shipped and brought. */
export const progressionRow: Door<ProgressionRow> = /* @__PURE__ */ door(
  progressionCatalogue,
  progressionRowSchema,
  "progression/unknown",
  "a named progression",
);

/**
 * A progression by catalogue id, Roman numerals or chart, or a row of your own.
 *
 * A row in minor takes the tonic of a major key given, in minor (under its twin's name where D♭ minor and its like have no key
 * signature); the other way round is refused.
 *
 * @param text - an id such as `"turnaround"`, numerals such as `"I vi ii V"`, a chart such as `"Dm9 | G13 | Cmaj9"`, or a row
 * @throws MusicError `progression/unknown` for a word that is none of these, `progression/mode` for a major row in a minor key, and what
 * `parseChart` throws
 *
 * @example
 * ```ts
 * import { parseProgression } from "hands-together";
 *
 * const symbols = (text: string, key: string) => parseProgression(text, { key }).chords.map((span) => span.chord?.symbol);
 * symbols("turnaround", "Eb"); // => ["Ebmaj7", "Cm7", "Fm7", "Bb7"]
 * symbols("iiø V7b9 i", "C"); // => ["Dø", "G7b9", "Cm6"]
 * symbols("turnarond", "C"); // throws "progression/unknown"
 * ```
 */
export function parseProgression(text: string | ProgressionRow, options: ProgressionOptions = {}): Progression {
  check(optionsSchema, options, "progression/argument");
  if (typeof text === "object") return playRow(progressionRow(text), options);
  check(chartTextSchema, text, "progression/chart");
  const row = progressionCatalogue.find(({ id }) => id === text.trim());
  return row === undefined ? readChartOrName(text, options) : playRow(row, options);
}

/** A progression, or what is read as one: for functions that take changes. */
export const progressionOf = (
  given: string | ProgressionRow | Progression,
  options: ProgressionOptions = {},
): Progression => {
  if (typeof given === "string") return parseProgression(given, options);
  if (typeof given !== "object" || given === null) check(progressionSchema, given, "progression/argument");
  else if (!("kind" in given)) return parseProgression(given, options);
  checkOnce(progressionSchema, given, "progression/argument");
  return given;
};

const playRow = (
  row: Pick<ProgressionRow, "id" | "changes" | "mode" | "metre" | "title">,
  options: ProgressionOptions,
): Progression => {
  const given = typeof options.key === "string" ? parseKey(options.key) : (options.key ?? parseKey("C"));
  if (given.mode === "minor" && row.mode === "major") {
    const twin = `minor-${row.id}`;
    throw new MusicError({
      code: "progression/mode",
      input: row.id,
      expected: `a major key for ${row.id}, not ${given.tonic} minor`,
      ...(progressionCatalogue.some(({ id }) => id === twin) && { hint: `in minor there is ${twin}` }),
    });
  }
  const settled = { ...options, key: inMode(given, row.mode), metre: options.metre ?? row.metre };
  // What a row leaves to the reader is the row's own way of writing.
  return progressionIn({ ...readChart(row.changes, settled, row.mode), title: row.title, guesses: [] });
};

// What could be an id: "vamps", but also the numeral "imaj7". One made of i and v only is a misspelt numeral.
const isWord = (text: string): boolean => /^\s*[a-z]{2}[a-z0-9-]*\s*$/.test(text) && !/^\s*[iv]+\s*$/.test(text);

const readChartOrName = (text: string, options: ProgressionOptions): Progression => {
  try {
    return progressionIn(readChart(text, options, undefined));
  } catch (error) {
    if (!(error instanceof MusicError) || !/^(?:chord|progression)\//.test(error.code)) throw error;
    const near =
      titled(text) ??
      (isWord(text)
        ? nearestName(
            text.trim(),
            progressionCatalogue.map(({ id }) => id),
          )
        : undefined);
    if (near === undefined && !isWord(text)) throw error;
    throw new MusicError({
      code: "progression/unknown",
      input: text,
      expected:
        "the id of a named progression such as two-five-one or jazz-blues, Roman numerals such as I vi ii V, or chord symbols",
      ...(near !== undefined && { hint: `did you mean ${near}?` }),
    });
  }
};

const inWords = (name: string): string =>
  name
    .trim()
    .toLowerCase()
    .replace(/[\s–-]+/g, " ");

// What a title begins with: "12-bar blues", "Minor blues", "ii-V-I".
const titled = (text: string): string | undefined => {
  if (text.length > 200) return undefined;
  const words = inWords(text);
  return words.length < 4
    ? undefined
    : progressionCatalogue.find(({ id, title }) => inWords(id) === words || inWords(title).startsWith(words))?.id;
};

/**
 * A progression in another key of the same mode, spelled for it. A tonic that has no key signature in that mode (D♭ in minor) is taken
 * under its twin's name.
 *
 * @param from - the progression, or what `parseProgression` reads as one
 * @param to - the key, or its tonic or name; a tonic alone keeps the mode
 * @throws MusicError `progression/mode` when the other key has another mode, `pitch/key` for no key, `pitch/unspellable` when a note
 * would need more than three accidentals
 *
 * @example
 * ```ts
 * import { parseProgression, transposeProgression } from "hands-together";
 *
 * const inA = transposeProgression(parseProgression("ii V I", { key: "C" }), "A");
 * inA.chords.map((span) => span.chord?.symbol); // => ["Bm7", "E7", "Amaj7"]
 * transposeProgression("minor-blues", "Db").key.tonic; // => "C#"
 * ```
 */
export function transposeProgression(from: Progression | ProgressionRow | string, to: Key | string): Progression {
  const home = progressionOf(from);
  check(keySchema, to, "pitch/key");
  const key = keyFor(to, home.key);
  if (key.mode !== home.key.mode) {
    throw new MusicError({
      code: "progression/mode",
      input: to,
      expected: `a ${home.key.mode} key, as that of the progression`,
    });
  }
  const by = noteInterval(home.key.tonic, key.tonic);
  const moved = (span: ChordSpan): ChordSpan =>
    span.chord === undefined ? span : { ...span, chord: transposeChord(span.chord, by) };
  return {
    ...home,
    key,
    ...(home.pickupChords && { pickupChords: home.pickupChords.map(moved) }),
    chords: home.chords.map(moved),
  };
}

const keyFor = (to: Key | string, from: Key): Key => {
  if (typeof to !== "string") return to;
  if (!/^\s*[A-Ga-g][b#♭♯]*\s*$/.test(to) || from.mode === "major") return parseKey(to);
  return minorOn(parseNote(to.trim()));
};
