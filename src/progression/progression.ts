import { transposeChord } from "../chord/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { Key } from "../pitch/index.ts";
import { noteInterval, parseKey } from "../pitch/index.ts";
import type { ProgressionRow } from "./catalogue.ts";
import { progressionCatalogue } from "./catalogue.ts";
import type { Progression, ProgressionOptions } from "./chart.ts";
import { inMode, parseChart, readChart } from "./chart.ts";

const ROWS = new Map<string, ProgressionRow>(progressionCatalogue.map((row) => [row.id, row]));

/**
 * A progression by catalogue id, Roman numerals or chart.
 *
 * A row of the catalogue in minor takes the tonic of a major key given, in minor (under its twin's name where D♭ minor and its like have
 * no key signature); the other way round is refused.
 *
 * @param text - an id such as `"turnaround"`, numerals such as `"I vi ii V"`, or a chart such as `"Dm9 | G13 | Cmaj9"`
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
export function parseProgression(text: string, options: ProgressionOptions = {}): Progression {
  const row = typeof text === "string" ? ROWS.get(text.trim()) : undefined;
  if (row === undefined) return readChartOrName(text, options);
  const given = typeof options.key === "string" ? parseKey(options.key) : (options.key ?? parseKey("C"));
  if (given.mode === "minor" && row.mode === "major") {
    const twin = `minor-${row.id}`;
    throw new MusicError({
      code: "progression/mode",
      input: text,
      expected: `a major key for ${row.id}, not ${given.tonic} minor`,
      ...(ROWS.has(twin) ? { hint: `in minor there is ${twin}` } : {}),
    });
  }
  const settled = { ...options, key: inMode(given, row.mode), metre: options.metre ?? row.metre };
  return { ...readChart(row.changes, settled, row.mode), name: row.title };
}

// What could be an id: "vamps", but also the numeral "imaj7". One made of i and v only is a misspelt numeral.
const isWord = (text: string): boolean => /^\s*[a-z]{2}[a-z0-9-]*\s*$/.test(text) && !/^\s*[iv]+\s*$/.test(text);

const readChartOrName = (text: string, options: ProgressionOptions): Progression => {
  try {
    return parseChart(text, options);
  } catch (error) {
    if (typeof text !== "string" || !(error instanceof MusicError) || !/^(?:chord|progression)\//.test(error.code))
      throw error;
    const near = titled(text) ?? (isWord(text) ? nearestName(text.trim(), [...ROWS.keys()]) : undefined);
    if (near === undefined && !isWord(text)) throw error;
    throw new MusicError({
      code: "progression/unknown",
      input: text,
      expected:
        "the id of a named progression such as two-five-one or jazz-blues, Roman numerals such as I vi ii V, or chord symbols",
      ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
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
  const words = inWords(text);
  return words.length < 4
    ? undefined
    : progressionCatalogue.find(({ id, title }) => inWords(id) === words || inWords(title).startsWith(words))?.id;
};

/**
 * A progression in another key of the same mode, spelled for it.
 *
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
 * ```
 */
export function transposeProgression(from: Progression, to: Key | string): Progression {
  const key =
    typeof to !== "string"
      ? to
      : /^\s*[A-Ga-g][b#♭♯]*\s*$/.test(to)
        ? parseKey(`${to.trim()} ${from.key.mode}`)
        : parseKey(to);
  if (key.mode !== from.key.mode) {
    throw new MusicError({
      code: "progression/mode",
      input: to,
      expected: `a ${from.key.mode} key, as that of the progression`,
    });
  }
  const by = noteInterval(from.key.tonic, key.tonic);
  return {
    ...from,
    key,
    chords: from.chords.map((span) =>
      span.chord === undefined ? span : { ...span, chord: transposeChord(span.chord, by) },
    ),
  };
}
