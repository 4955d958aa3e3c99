import { parseChord } from "../chord/index.ts";
import { isMusicError, MusicError } from "../ground/errors.ts";
import type { Key, KeyMode } from "../pitch/index.ts";
import { parseKey } from "../pitch/index.ts";
import { addBeats, beats, formatBeats } from "../time/index.ts";
import type { ChartChord } from "./document.ts";
import type { Draft, Item, Placed } from "./drafts.ts";
import { fromGerman } from "./german.ts";
import type { Numeral } from "./numeral.ts";
import { appliedTo, chordOf, looksLikeNumeral, readNumeral } from "./numeral.ts";
import type { Reading } from "./reading.ts";
import { raised, readSymbol } from "./symbol.ts";
import { inMode } from "./twins.ts";

/** The key that a chart is read in, where something tells it, and a mode to be taken all the same. */
export interface GivenKey {
  readonly key: Key | undefined;
  readonly mode: KeyMode | undefined;
}

/** What the chords of a chart are: symbols as they stand, numerals in the key of their bar. */
export class Symbols {
  readonly #reading: Reading;
  readonly #drafts: readonly Draft[];
  readonly #numerals = new Map<string, Numeral>();
  #inNumerals: boolean | undefined;
  #lowerCase: boolean | undefined;

  constructor(reading: Reading, drafts: readonly Draft[]) {
    this.#reading = reading;
    this.#drafts = drafts;
  }

  /** The key of each bar; the first is settled by what is given, or by the numerals. */
  keys({ key: given, mode }: GivenKey): readonly (Key | undefined)[] {
    const numerals = this.#drafts.flatMap(({ items }) => items).filter((item) => this.#isNumeral(item));
    const read = numerals.map((item) => this.#numeral(item));
    // Beside figures of thoroughbass a lone 6 could be one as well.
    const sixth = numerals.find((_, i) => read[i]?.suffix === "6" && read[i]?.inversion === undefined);
    if (sixth !== undefined && read.some(({ inversion }) => inversion !== undefined))
      this.#reading.guess(
        `${sixth.text} taken as a chord with a sixth; ${sixth.text.replace(/6$/, "63")} is the triad over its 3rd`,
        sixth.at,
      );
    const marked = this.#drafts[0]?.marks.key;
    const first = marked === undefined ? given : parseKey(marked);
    const own =
      read.length === 0
        ? first
        : inMode(first ?? parseKey("C"), marked === undefined ? (mode ?? modeOf(read)) : undefined);
    let current = own;
    return this.#drafts.map(({ marks }, i) => {
      if (marks.key !== undefined && i > 0) current = parseKey(marks.key);
      return current;
    });
  }

  /** The chords of each bar. */
  chords(placed: readonly Placed[], keys: readonly (Key | undefined)[]): readonly (readonly ChartChord[])[] {
    const symbols = new Map<string, string>();
    const done = new Map<Placed, readonly ChartChord[]>();
    return placed.map((bar, i) => {
      const key = keys[i];
      const before = done.get(bar);
      if (before !== undefined) return before;
      const chords = bar.map(([item, beat]): ChartChord => {
        const numeral = this.#isNumeral(item) ? this.#numeral(item) : undefined;
        const name = `${item.text} ${item.goals ?? ""} ${key?.tonic} ${key?.mode}`;
        let symbol = symbols.get(name);
        if (symbol === undefined) {
          symbol = this.#reading.within(item.at, i + 1, () => this.#symbol(item, numeral, key));
          symbols.set(name, symbol);
        }
        const written = item.goals === undefined ? item.text : `[${item.text}]/${item.goals}`;
        return {
          symbol,
          beat: formatBeats(addBeats(beat, beats(1))),
          ...(numeral !== undefined && { numeral: written }),
          ...(item.optional && { optional: true }),
          ...(item.mark !== undefined && { mark: item.mark }),
        };
      });
      if (bar.length > 0) done.set(bar, chords);
      return chords;
    });
  }

  // A plain N is the Neapolitan among numerals, and no chord elsewhere.
  #isNumeral({ text }: Item): boolean {
    if (text !== "N") return looksLikeNumeral(text);
    this.#inNumerals ??= this.#drafts.some(({ items }) =>
      items.some((item) => item.text !== "N" && looksLikeNumeral(item.text)),
    );
    return this.#inNumerals;
  }

  #numeral(item: Item): Numeral {
    let numeral = this.#numerals.get(item.text);
    if (numeral === undefined) {
      const bar = this.#drafts.findIndex(({ items }) => items.includes(item)) + 1;
      numeral = this.#reading.within(item.at, bar, () => readNumeral(item.text));
      this.#numerals.set(item.text, numeral);
    }
    const first = numeral;
    const { goals } = item;
    return goals === undefined ? first : this.#reading.within(item.at, 0, () => appliedTo(first, goals));
  }

  #symbol({ text, at }: Item, numeral: Numeral | undefined, key: Key | undefined): string {
    if (text === "N.C." || (text === "N" && numeral === undefined)) return "N.C.";
    if (numeral !== undefined && key !== undefined) return chordOf(numeral, text, key.tonic, key.mode).symbol;
    const read = readSymbol(text);
    if (read !== undefined) {
      if (read.taken !== undefined) this.#reading.guess(`${text} taken as ${read.taken}`, at);
      return read.chord.symbol;
    }
    const capital = /^[a-g]/.test(text) ? readSymbol(raised(text)) : undefined;
    if (capital !== undefined) return this.#fromLowerCase(text, at, capital.chord.symbol);
    throw this.#unread(text);
  }

  // "dm7 g7 cmaj7": roots in lower case, where the minor chords say that they are minor.
  #fromLowerCase(text: string, at: number, symbol: string): string {
    this.#lowerCase ??= this.#drafts.some(({ items }) =>
      items.some((item) => /^[a-g][b#]?(?:m(?!aj)|-|min)/.test(item.text)),
    );
    const says = /^[a-g][b#]?(?:m|maj|min|dim|ø|o|°|-|sus|aug|\+|Δ)/.test(text);
    if (!this.#lowerCase && !says) {
      const minor = symbol.replace(/^([A-G][b#]?)/, "$1m");
      throw new MusicError({
        code: "chord/root",
        input: text,
        expected: "a root in upper case, since a small letter alone is minor to some",
        hint: `write ${symbol}, or ${minor} if it is minor`,
      });
    }
    this.#reading.guess("roots in lower case taken as capitals", at);
    return symbol;
  }

  /** What is wrong with a word, with the writing that is nearest to it. */
  #unread(text: string): MusicError {
    const german = fromGerman(text);
    if (german !== undefined) return this.#germanRoot(text, german);
    if (/^(?:x|sim|simile|ditto|idem|same|repeat)$/i.test(text))
      return new MusicError({
        code: "progression/chart",
        input: text,
        expected: "a chord or a sign",
        hint: "write % for the bar before, again",
      });
    const degree = /^[b#]?([1-7])(?!\d)/.exec(text)?.[1];
    if (degree !== undefined) {
      const roman = ["I", "II", "III", "IV", "V", "VI", "VII"][Number(degree) - 1] ?? "";
      return new MusicError({
        code: "chord/root",
        input: text,
        expected: "a root: a letter A to G, or a degree as a Roman numeral",
        hint: `write ${roman} for a major or dominant chord on degree ${degree}, ${roman.toLowerCase()} for a minor one`,
      });
    }
    const [, upper = "", lower = ""] = /^([^/]+)\/([A-G].+)$/.exec(text) ?? [];
    const two = readSymbol(upper) !== undefined && readSymbol(lower) !== undefined;
    try {
      parseChord(text);
    } catch (error) {
      if (!isMusicError(error)) throw error;
      const { code, input, expected, hint } = error;
      // A word that begins with H is no note.
      const mended = hint?.includes("of H is B") === true ? undefined : hint;
      return new MusicError({ code, input, expected, hint: two ? `write ${upper} ${lower} for two chords` : mended });
    }
    return new MusicError({ code: "chord/symbol", input: text, expected: "a chord symbol" });
  }

  // In a chart with H or Es, B is B flat to who wrote it, and B to who reads it.
  #germanRoot(text: string, symbol: string): MusicError {
    const low = this.#drafts.flatMap(({ items }) => items).find((item) => /^B(?![b#♭♯])/.test(item.text));
    const rest = low?.text.slice(1) ?? "";
    const [, root = ""] = /^([A-G][b#]?)/.exec(symbol) ?? [];
    const name = text.slice(0, text.length - (symbol.length - root.length));
    return new MusicError({
      code: "chord/root",
      input: text,
      expected: "the international name of a root, A to G with b or #",
      hint:
        `the English name of ${name} is ${root}: write ${symbol}` +
        (low === undefined
          ? ""
          : `; B${rest} is then Bb${rest} to some, so write Bb${rest} or, for H, B${rest} in a chart without H`),
    });
  }
}

const isTonic = (numeral: Numeral | undefined): boolean =>
  numeral !== undefined && numeral.degree === "1" && numeral.targets.length === 0;

const modeOf = (numerals: readonly Numeral[]): "minor" | undefined =>
  (isTonic(numerals[0]) || isTonic(numerals.at(-1))) && numerals.every((numeral) => !isTonic(numeral) || !numeral.upper)
    ? "minor"
    : undefined;
