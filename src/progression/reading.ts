import { isMusicError, MusicError } from "../ground/errors.ts";
import { chordOf, looksLikeNumeral, readNumeral } from "./numeral.ts";
import { lineAndColumn, plainText } from "./plain.ts";
import { raised, readSymbol } from "./symbol.ts";

/** One reading of a text: its plain characters, places in what was typed, what is guessed, and how it is refused. */
export class Reading {
  /** As it was typed. */
  readonly original: string;
  /** In plain characters, as long as what was read of it; {@link Reading.clear} puts blanks where something is no part of the chart. */
  text: string;
  /** Bars read so far: refusals name the next. */
  bars = 0;
  readonly #from: readonly number[];
  readonly #guesses = new Map<string, number[]>();
  readonly #chords = new Map<string, boolean>();

  constructor(original: string) {
    this.original = original;
    const { text, from } = plainText(original);
    this.text = text;
    this.#from = from;
  }

  /** What was typed between two places. */
  asTyped(from: number, to: number): string {
    return this.original.slice(this.#from[from], this.#from[to]).trim();
  }

  /** Blanks in place of what is no part of the chart; places stay. */
  clear(from: number, to: number): void {
    this.text = this.text.slice(0, from) + " ".repeat(to - from) + this.text.slice(to);
  }

  /** Takes something for granted. */
  guess(what: string, at: number): void {
    const places = this.#guesses.get(what) ?? [];
    places.push(at);
    this.#guesses.set(what, places);
  }

  /** What was taken for granted, each with its first place. */
  told(): readonly string[] {
    return [...this.#guesses].slice(0, 100).map(([what, places]) => {
      const [first, ...rest] = places;
      const { line, column } = this.#place(first ?? 0);
      return `${what} (line ${line}, column ${column}${rest.length === 0 ? "" : `, and ${rest.length} more`})`;
    });
  }

  #place(at: number): { readonly line: number; readonly column: number } {
    return lineAndColumn(this.original, this.#from[Math.min(at, this.#from.length - 1)] ?? 0);
  }

  /** A place in words; of the heading without a bar. */
  where(at: number, bar: number): string {
    const { line, column } = this.#place(at);
    const place = `line ${line}, column ${column}`;
    return bar === 0 ? `at ${place}` : `in bar ${bar} (${place})`;
  }

  /** The refusal of what stands at a place. */
  refuse(expected: string, at: number, hint?: string): MusicError {
    const rest = this.text.slice(at, at + 24).split("\n")[0] ?? "";
    const found = rest === "" ? "" : `, found ${JSON.stringify(rest)}`;
    return new MusicError({
      code: "progression/chart",
      input: this.original,
      expected: `${expected}, ${this.where(at, this.bars + 1)}${found}`,
      hint,
    });
  }

  /** Adds the place to what a chord, a key or a numeral was refused for. */
  within<T>(at: number, bar: number, read: () => T): T {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof MusicError)) throw error;
      throw new MusicError({
        code: error.code,
        input: error.input,
        expected: `${error.expected}, ${this.where(at, bar)}`,
        reason: error.reason,
        hint: error.hint,
      });
    }
  }

  /** Whether a word is a chord, a numeral or N.C. in somebody's writing. */
  isChord(text: string): boolean {
    const known = this.#chords.get(text);
    if (known !== undefined) return known;
    const is =
      text === "N.C." ||
      text === "N" ||
      readSymbol(text) !== undefined ||
      isNumeral(text) ||
      (/^[a-g][b#]?(?:m|maj|min|dim|7|6|9|ø|o|sus|-|$)/.test(text) &&
        readSymbol(raised(text)) !== undefined &&
        !/^b(?:\d|$)/.test(text));
    this.#chords.set(text, is);
    return is;
  }
}

const isNumeral = (text: string): boolean => {
  if (!looksLikeNumeral(text)) return false;
  try {
    const numeral = readNumeral(text);
    // Any key will do to see whether the quality can be read.
    chordOf(numeral, text, "C", "major");
    return true;
  } catch (error) {
    // One that has two readings, or none in this key, is a numeral all the same.
    if (isMusicError(error)) return error.code === "progression/unspellable" || error.expected === "one reading";
    throw error;
  }
};
