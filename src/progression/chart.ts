import { MusicError } from "../errors.ts";
import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { Span } from "../event/index.ts";
import type { Key, KeyMode, NoteName } from "../pitch/index.ts";
import { fifthsOf, parseKey } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  ZERO, addBeats, barLength, barStart, beats, compareBeats, divideBeats, equalBeats, formatBeats, multiplyBeats, parseMetre, pulseLength, subtractBeats,
} from "../time/index.ts";
import type { Numeral } from "./numeral.ts";
import { chordOf, looksLikeNumeral, readNumeral } from "./numeral.ts";

/** A chord for a stretch of time. */
export interface ChordSpan extends Span {
  /** `undefined` where the chart says N.C.: no chord. */
  readonly chord: Chord | undefined;
  /** The Roman numeral, where the chord was written as one. */
  readonly numeral?: string;
}

/** A named part of a form. */
export interface ProgressionSection {
  readonly name: string;
  /** Its first bar, from 1. */
  readonly bar: number;
  /** Its length in bars. */
  readonly bars: number;
}

/** Chords in exact time, in a key. */
export interface Progression {
  readonly kind: "progression";
  readonly key: Key;
  readonly metre: Metre;
  /** Length in bars, repeats played out. */
  readonly bars: number;
  /** In time, without gap or overlap; a chord that lasts two bars has two spans. */
  readonly spans: readonly ChordSpan[];
  /** Title of the catalogue row, where it comes from one. */
  readonly name?: string;
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
  readonly key?: Key | string;
  /** The metre, or its time signature. @defaultValue 4/4, or that of the catalogue row */
  readonly metre?: Metre | string;
  /** How many chords share a bar in a list without bar lines. @defaultValue 1 */
  readonly chordsPerBar?: number;
}

interface Entry {
  readonly text: string;
  /** Pulses as written behind `*`, or counted by strokes. */
  beats: Beats | undefined;
}

interface Bar {
  readonly entries: Entry[];
  /** The number of the written bar, for messages. */
  readonly number: number;
}

const NO_CHORD = /^N\.?C\.?$/;
const BLANK = /\s/;

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
 * chart.spans.map((span) => [span.chord?.canonical, span.at.num]); // => [["Dm9", 0], ["G13", 3], ["Cmaj9", 4], ["Cmaj9", 8]]
 * ```
 */
export function parseChart(text: string, options: ProgressionOptions = {}): Progression {
  return readChart(text, options, undefined);
}

/** Reads a chart whose mode may be settled beforehand. */
export const readChart = (text: string, options: ProgressionOptions, mode: KeyMode | undefined): Progression => {
  if (typeof text !== "string") {
    throw new MusicError({ code: "progression/chart", input: text, expected: "a chart as text, such as Dm9 | G13 | Cmaj9" });
  }
  const metre = typeof options.metre === "string" ? parseMetre(options.metre) : (options.metre ?? parseMetre("4/4"));
  const { bars, marks } = readLayout(text, chordsPerBar(options.chordsPerBar));
  const reading = new Map<string, Numeral | undefined>();
  const readings = bars.map((bar) => bar.entries.map((entry) => {
    if (!reading.has(entry.text)) reading.set(entry.text, looksLikeNumeral(entry.text) ? inBar(bar, () => readNumeral(entry.text)) : undefined);
    return reading.get(entry.text);
  }));
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
        chords.set(entry.text, inBar(bar, () =>
          NO_CHORD.test(entry.text) ? undefined
          : numeral === undefined ? parseChord(entry.text)
          : chordOf(numeral, entry.text, numeralKey.tonic, numeralKey.mode)));
      }
      const duration = lengths[i] as Beats;
      spans.push({ at, duration, chord: chords.get(entry.text), ...(numeral === undefined ? {} : { numeral: entry.text }) });
      at = addBeats(at, duration);
    });
  });
  const key = numerals.length > 0 ? numeralKey : (given ?? likelyKey(spans));
  return { kind: "progression", key, metre, bars: bars.length, spans, sections: sectionsOf(marks, bars.length) };
};

const chordsPerBar = (value: number | undefined): number => {
  if (value === undefined) return 1;
  if (Number.isInteger(value) && value >= 1 && value <= 16) return value;
  throw new MusicError({ code: "progression/chart", input: value, expected: "a whole number of chords a bar from 1 to 16" });
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

const isTonic = (numeral: Numeral | undefined): boolean => numeral !== undefined && numeral.degree === "1" && numeral.target === undefined;

const modeOf = (numerals: readonly Numeral[]): "minor" | undefined =>
  (isTonic(numerals[0]) || isTonic(numerals.at(-1))) && numerals.every((numeral) => !isTonic(numeral) || !numeral.upper) ? "minor" : undefined;

/** A key's tonic in another mode, under the name that has a key signature. */
export const inMode = (key: Key, mode: Key["mode"] | undefined): Key => {
  if (mode === undefined || mode === key.mode) return key;
  const tonic = Math.abs(fifthsOf(key.tonic) - (mode === "minor" ? 3 : 0)) <= 7 ? key.tonic : twinOf(key.tonic);
  return parseKey(`${tonic} ${mode}`);
};

const TWINS: Readonly<Record<string, NoteName>> = { Db: "C#", Gb: "F#", Cb: "B", "G#": "Ab", "D#": "Eb", "A#": "Bb" };
const twinOf = (tonic: NoteName): NoteName => TWINS[tonic] ?? tonic;

const likelyKey = (spans: readonly ChordSpan[]): Key => {
  const chords = spans.flatMap((span) => span.chord ?? []);
  const last = chords.at(-1);
  const home = last !== undefined && (last.quality === "dominant" || last.quality === "suspended") ? chords[0] : last;
  if (home === undefined) return parseKey("C");
  const mode = home.quality === "minor" || home.quality === "minor-major" || home.quality === "half-diminished" ? "minor" : "major";
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

interface Mark {
  readonly name: string;
  readonly at: number;
}

const sectionsOf = (marks: readonly Mark[], bars: number): readonly ProgressionSection[] =>
  marks.map(({ name, at }, i) => ({ name, bar: at + 1, bars: (marks[i + 1]?.at ?? bars) - at })).filter((section) => section.bars > 0);

/** What the layout is read from: a string, or in a test something that counts the characters read. */
export type ChartText = Pick<string, "length" | "charAt" | "slice" | "includes" | "indexOf">;

/** Reads the layout of a chart from left to right, each character a bounded number of times. */
class ChartReader {
  private at = 0;
  private barLines = false;
  private afterBarLine = false;
  private written = 0;
  private current: Entry[] = [];
  private strokes = false;
  private readonly bars: Bar[] = [];
  private readonly marks: Mark[] = [];
  private repeatFrom = 0;
  private repeatOpen = false;
  private firstEnding: number | undefined;
  // Set from the end of a first ending until its second one begins.
  private awaitsSecond = false;

  constructor(private readonly text: ChartText, private readonly perBar: number) {}

  read(): { readonly bars: readonly Bar[]; readonly marks: readonly Mark[] } {
    // Bar lines are known beforehand, so that a list without them is told apart at its first chord.
    this.barLines = this.text.includes("|");
    while (this.at < this.text.length) {
      const c = this.text.charAt(this.at);
      if (BLANK.test(c)) {
        // A line may end and the next begin with a bar line.
        if (c === "\n") this.afterBarLine = false;
        this.at++;
      } else if (c === "|" || c === ":") this.barLine();
      else if (c === "[") this.bracket();
      else this.token();
    }
    this.closeBar();
    if (this.bars.length === 0) throw this.refuse("at least one chord");
    if (this.repeatOpen) throw this.refuse("the end of the repeat, :|");
    this.requireSecondEnding();
    return { bars: this.bars, marks: this.marks };
  }

  private refuse(expected: string, found?: string): MusicError {
    const where = found === undefined ? "" : `, found ${JSON.stringify(found.slice(0, 24))}`;
    return new MusicError({ code: "progression/chart", input: this.text, expected: `${expected}, in bar ${this.written + 1}${where}` });
  }

  private closeBar(): void {
    if (this.current.length === 0) return;
    const last = this.bars.at(-1);
    const only = this.current.length === 1 ? this.current[0] : undefined;
    if (only?.text === "%" && last === undefined) throw this.refuse("a bar before the first %");
    if (this.strokes) for (const entry of this.current) entry.beats ??= beats(1);
    this.strokes = false;
    this.written++;
    this.bars.push({ entries: only?.text === "%" && last !== undefined ? last.entries : this.current, number: this.written });
    this.current = [];
  }

  // A run of strokes and colons: "|", "||", "|:", ":|", ":|:".
  private barLine(): void {
    const start = this.at;
    while (this.at < this.text.length && (this.text.charAt(this.at) === "|" || this.text.charAt(this.at) === ":")) this.at++;
    const run = this.text.slice(start, this.at);
    if (!/^:?\|{1,2}:?$/.test(run)) throw this.refuse("a bar line |, ||, |: or :|", run);
    if (this.current.length === 0 && run === "|" && this.afterBarLine) throw this.refuse("a chord, % or N.C. in the bar");
    this.closeBar();
    this.afterBarLine = run === "|";
    if (run.startsWith(":")) this.endRepeat();
    if (run.endsWith(":")) this.startRepeat();
  }

  private startRepeat(): void {
    if (this.repeatOpen) throw this.refuse("the end of one repeat before the next begins");
    this.requireSecondEnding();
    this.repeatOpen = true;
    this.repeatFrom = this.bars.length;
    this.firstEnding = undefined;
  }

  // A repeat without a beginning goes back to the last one, or to the top.
  private endRepeat(): void {
    const times = this.times();
    const body = this.bars.slice(this.repeatFrom, this.firstEnding ?? this.bars.length);
    if (this.bars.length === this.repeatFrom) throw this.refuse("bars to repeat");
    if (this.firstEnding !== undefined && times !== 2) throw this.refuse("a repeat with endings that is played twice");
    let first = this.marks.length;
    while (first > 0 && (this.marks[first - 1] as Mark).at >= this.repeatFrom) first--;
    const marks = this.marks.slice(first).filter((mark) => mark.at < this.repeatFrom + body.length);
    for (let pass = 1; pass < times; pass++) {
      const offset = this.bars.length - this.repeatFrom;
      for (const mark of marks) this.marks.push({ name: mark.name, at: mark.at + offset });
      for (const bar of body) this.bars.push(bar);
    }
    this.awaitsSecond = this.firstEnding !== undefined;
    this.firstEnding = undefined;
    this.repeatOpen = false;
    this.repeatFrom = this.bars.length;
  }

  private times(): number {
    if (this.text.charAt(this.at) !== "*") return 2;
    const digits = /^\*([0-9]{1,2})(?![0-9])/.exec(this.text.slice(this.at, this.at + 4))?.[1];
    const times = Number(digits ?? 0);
    if (times < 2 || times > 16) throw this.refuse("a count from 2 to 16 after :|*");
    this.at += 1 + (digits as string).length;
    return times;
  }

  private bracket(): void {
    const end = this.text.indexOf("]", this.at);
    const name = end < 0 || end - this.at > 25 ? "" : this.text.slice(this.at + 1, end).trim();
    if (name === "" || /[|[:]/.test(name)) throw this.refuse("a section name of up to 24 characters, as in [A]", this.text.slice(this.at));
    this.at = end + 1;
    if (name === "1") this.beginFirstEnding();
    else if (name === "2") this.beginSecondEnding();
    else {
      if (this.current.length > 0 && this.barLines) throw this.refuse("a section to begin with its bar", `[${name}]`);
      this.closeBar();
      this.requireSecondEnding();
      this.marks.push({ name, at: this.bars.length });
    }
  }

  private requireSecondEnding(): void {
    if (this.awaitsSecond) throw this.refuse("a second ending, [2], after the first");
  }

  private beginFirstEnding(): void {
    this.closeBar();
    if (!this.repeatOpen || this.firstEnding !== undefined || this.bars.length === this.repeatFrom) {
      throw this.refuse("a first ending inside a repeat, after its first bar", "[1]");
    }
    this.firstEnding = this.bars.length;
  }

  private beginSecondEnding(): void {
    if (!this.awaitsSecond || this.current.length > 0) throw this.refuse("a second ending right after :|", "[2]");
    this.awaitsSecond = false;
  }

  private token(): void {
    this.requireSecondEnding();
    this.afterBarLine = false;
    const word = this.word();
    if (word === "/") return this.stroke();
    if (word === "%" ? this.current.length > 0 && this.barLines : this.current.length === 1 && this.current[0]?.text === "%") {
      throw this.refuse("% alone in its bar");
    }
    if (!this.barLines && (word === "%" || this.current.length === this.perBar)) this.closeBar();
    const star = word.indexOf("*");
    this.current.push(star < 0 ? { text: word, beats: undefined } : { text: word.slice(0, star), beats: this.beatsOf(word.slice(star + 1), word) });
    if (!this.barLines && word === "%") this.closeBar();
  }

  // A chord's characters; blanks inside its brackets belong to it.
  private word(): string {
    const start = this.at;
    let depth = 0;
    while (this.at < this.text.length) {
      const c = this.text.charAt(this.at);
      if (c === "|" || c === ":" || c === "[" || (depth <= 0 && BLANK.test(c))) break;
      if (c === "(") depth++;
      if (c === ")") depth--;
      this.at++;
    }
    return this.text.slice(start, this.at).trimEnd();
  }

  private beatsOf(text: string, word: string): Beats {
    if (!/^[0-9]{1,4}(?:\/[0-9]{1,4}|\.[0-9]{1,4})?$/.test(text) || /^[0.]*$/.test(text) || /\/0+$/.test(text) || /^0+\//.test(text)) {
      throw this.refuse("a number of beats after *, as in Dm7*3", word);
    }
    return beats(text);
  }

  // In a bar with strokes a chord lasts a pulse, and one more for each stroke behind it.
  private stroke(): void {
    const last = this.current.at(-1);
    if (last === undefined || !this.barLines || last.text === "%") throw this.refuse("a chord in the same bar before /");
    last.beats = addBeats(last.beats ?? beats(1), beats(1));
    this.strokes = true;
  }
}

/** The bars of a chart, repeats played out, and where its sections begin. */
export const readLayout = (text: ChartText, perBar: number): { readonly bars: readonly Bar[]; readonly marks: readonly Mark[] } =>
  new ChartReader(text, perBar).read();
