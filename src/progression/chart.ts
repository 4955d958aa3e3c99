import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { TimeSpan } from "../event/index.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Key, KeyMode, NoteName } from "../pitch/index.ts";
import { fifthsOf, parseKey } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  barStart,
  beats,
  compareBeats,
  divideBeats,
  equalBeats,
  formatBeats,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Bar, Mark } from "./layout.ts";
import { readLayout } from "./layout.ts";
import type { Numeral } from "./numeral.ts";
import { chordOf, looksLikeNumeral, readNumeral } from "./numeral.ts";
import { chartTextSchema, optionsSchema } from "./shape.ts";

/** A chord for a stretch of time. */
export interface ChordSpan extends TimeSpan {
  /** `undefined` where the chart says N.C.: no chord. */
  readonly chord: Chord | undefined;
  /** The Roman numeral, where the chord was written as one. */
  readonly numeral?: string | undefined;
}

/** A named part of a form. */
export interface ProgressionSection {
  /** As written between the brackets. */
  readonly name: string;
  /** Its first bar, from 1. */
  readonly bar: number;
  /** Its length in bars. */
  readonly bars: number;
}

/** Chords in exact time, in a key. */
export interface Progression {
  /** Tells a progression from other values. */
  readonly kind: "progression";
  /** The key that numerals and signatures are read in. */
  readonly key: Key;
  /** The metre of every bar. */
  readonly metre: Metre;
  /** Length in bars, repeats played out. */
  readonly bars: number;
  /** In time, without gap or overlap; a chord that lasts two bars has two spans. */
  readonly chords: readonly ChordSpan[];
  /** Title of the catalogue row, where it comes from one. */
  readonly name?: string | undefined;
  /** Sections in order; none where the chart names none. */
  readonly sections: readonly ProgressionSection[];
}

/** Options of {@link parseChart} and `progression`. */
export interface ProgressionOptions {
  /**
   * The key, or its name.
   *
   * @defaultValue for numerals C major (C minor where they are in minor); for chord symbols the last chord as tonic, or the first
   * where the last is a dominant; C major where that tonic has no key signature
   */
  readonly key?: Key | string | undefined;
  /** The metre, or its time signature. @defaultValue 4/4, or that of the catalogue row */
  readonly metre?: Metre | string | undefined;
  /** How many chords share a bar in a list without bar lines. @defaultValue 1 */
  readonly chordsPerBar?: number | undefined;
}

const NO_CHORD = /^N\.?C\.?$/;

/**
 * Reads a chart: chord symbols or Roman numerals in bars.
 *
 * - `|` parts bars; a list without any bar line has one chord a bar.
 * - Chords in a bar share it equally, unless beats are given: `Dm7*3 G7*1` (pulses of the metre, fractions allowed), or strokes as on a
 *   lead sheet, each one more pulse of the chord before: `Dm7 / / G7`.
 * - `%` repeats the bar before. `|: … :|` is played twice, `:|*3` three times; `[1]` and `[2]` are first and second endings.
 * - `[A]` begins a section; `N.C.` is a span without chord.
 * - Numerals that begin or end on i and have no I are in minor: a major key given lends them its tonic.
 *
 * @returns the chart played out; its bars are always full
 * @throws MusicError `progression/chart` when the layout can't be read, `progression/beats` when given beats don't fill a bar,
 * `progression/numeral`, `chord/…` for a chord that can't be read (the bar is named), `time/metre`, `pitch/key`
 *
 * @example
 * ```ts
 * import { parseChart } from "hands-together";
 *
 * const chart = parseChart("Dm9*3 G13 | Cmaj9 | %");
 * chart.bars; // => 3
 * chart.chords.map((span) => [span.chord?.canonical, span.at.num]); // => [["Dm9", 0], ["G13", 3], ["Cmaj9", 4], ["Cmaj9", 8]]
 * ```
 */
export function parseChart(text: string, options: ProgressionOptions = {}): Progression {
  check(chartTextSchema, text, "progression/chart");
  check(optionsSchema, options, "progression/argument");
  return readChart(text, options, undefined);
}

/** Reads a chart whose mode may be settled beforehand. */
export const readChart = (text: string, options: ProgressionOptions, mode: KeyMode | undefined): Progression => {
  const metre = typeof options.metre === "string" ? parseMetre(options.metre) : (options.metre ?? parseMetre("4/4"));
  const { bars, marks } = readLayout(text, chordsPerBar(options.chordsPerBar));
  const reading = new Map<string, Numeral | undefined>();
  const readings = bars.map((bar) =>
    bar.entries.map((entry) => {
      if (!reading.has(entry.text))
        reading.set(entry.text, looksLikeNumeral(entry.text) ? inBar(bar, () => readNumeral(entry.text)) : undefined);
      return reading.get(entry.text);
    }),
  );
  const given = typeof options.key === "string" ? parseKey(options.key) : options.key;
  const numerals = readings.flat().filter((numeral) => numeral !== undefined);
  const numeralKey = inMode(given ?? parseKey("C"), mode ?? modeOf(numerals));
  const chords = new Map<string, Chord | undefined>();
  const spans: ChordSpan[] = [];
  bars.forEach((bar, index) => {
    let at = barStart(index + 1, metre);
    const lengths = lengthsIn(bar, metre, text);
    bar.entries.forEach((entry, i) => {
      const numeral = readings[index]?.[i];
      if (!chords.has(entry.text)) {
        chords.set(
          entry.text,
          inBar(bar, () =>
            NO_CHORD.test(entry.text)
              ? undefined
              : numeral === undefined
                ? parseChord(entry.text)
                : chordOf(numeral, entry.text, numeralKey.tonic, numeralKey.mode),
          ),
        );
      }
      const duration = lengths[i] as Beats;
      spans.push({
        at,
        duration,
        chord: chords.get(entry.text),
        ...(numeral === undefined ? {} : { numeral: entry.text }),
      });
      at = addBeats(at, duration);
    });
  });
  const key = numerals.length > 0 ? numeralKey : (given ?? likelyKey(spans));
  return {
    kind: "progression",
    key,
    metre,
    bars: bars.length,
    chords: spans,
    sections: sectionsOf(marks, bars.length),
  };
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

/** Adds the bar to what a chord or a numeral was refused for. */
const inBar = <T>(bar: Bar, read: () => T): T => {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof MusicError)) throw error;
    throw new MusicError({
      code: error.code,
      input: error.input,
      expected: `${error.expected}, in bar ${bar.number}`,
      reason: error.reason,
      ...(error.hint === undefined ? {} : { hint: error.hint }),
    });
  }
};

const isTonic = (numeral: Numeral | undefined): boolean =>
  numeral !== undefined && numeral.degree === "1" && numeral.target === undefined;

const modeOf = (numerals: readonly Numeral[]): "minor" | undefined =>
  (isTonic(numerals[0]) || isTonic(numerals.at(-1))) && numerals.every((numeral) => !isTonic(numeral) || !numeral.upper)
    ? "minor"
    : undefined;

/** A key's tonic in another mode, under the name that has a key signature. */
export const inMode = (key: Key, mode: KeyMode | undefined): Key =>
  mode === undefined || mode === key.mode ? key : mode === "minor" ? minorOn(key.tonic) : majorOn(key.tonic);

/** The minor key of a tonic, or of its twin where the tonic has none. */
export const minorOn = (tonic: NoteName): Key =>
  parseKey(`${Math.abs(fifthsOf(tonic) - 3) <= 7 ? tonic : twinOf(tonic)} minor`);

const majorOn = (tonic: NoteName): Key => parseKey(Math.abs(fifthsOf(tonic)) <= 7 ? tonic : twinOf(tonic));

const TWINS: Readonly<Record<string, NoteName>> = { Db: "C#", Gb: "F#", Cb: "B", "G#": "Ab", "D#": "Eb", "A#": "Bb" };
const twinOf = (tonic: NoteName): NoteName => TWINS[tonic] ?? tonic;

const likelyKey = (spans: readonly ChordSpan[]): Key => {
  const chords = spans.flatMap((span) => span.chord ?? []);
  const last = chords.at(-1);
  const home = last !== undefined && (last.quality === "dominant" || last.quality === "suspended") ? chords[0] : last;
  if (home === undefined) return parseKey("C");
  const mode =
    home.quality === "minor" || home.quality === "minor-major" || home.quality === "half-diminished"
      ? "minor"
      : "major";
  const fifths = fifthsOf(home.root) - (mode === "minor" ? 3 : 0);
  return Math.abs(fifths) > 7 ? parseKey("C") : { kind: "key", tonic: home.root, mode, fifths };
};

const lengthsIn = (bar: Bar, metre: Metre, text: string): readonly Beats[] => {
  const length = barLength(metre);
  const pulse = pulseLength(metre);
  const given = bar.entries.map((entry) => (entry.beats === undefined ? undefined : multiplyBeats(entry.beats, pulse)));
  const sum = given.reduce<Beats>((total, one) => (one === undefined ? total : addBeats(total, one)), ZERO);
  const open = given.filter((one) => one === undefined).length;
  const rest = subtractBeats(length, sum);
  if (open === 0 ? !equalBeats(sum, length) : compareBeats(rest, ZERO) <= 0) {
    throw new MusicError({
      code: "progression/beats",
      input: text,
      expected: `beats that fill bar ${bar.number}: ${formatBeats(divideBeats(length, pulse))} in all, given ${formatBeats(divideBeats(sum, pulse))}`,
    });
  }
  const share = open === 0 ? ZERO : open === 1 ? rest : divideBeats(rest, beats(open));
  return given.map((one) => one ?? share);
};

const sectionsOf = (marks: readonly Mark[], bars: number): readonly ProgressionSection[] =>
  marks
    .map(({ name, at }, i) => ({ name, bar: at + 1, bars: (marks[i + 1]?.at ?? bars) - at }))
    .filter((section) => section.bars > 0);
