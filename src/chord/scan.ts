import type { TailWord } from "./catalogue.ts";
import {
  ACCIDENTALS,
  ADDED_ONLY,
  FIGURE_SIGNS,
  FIGURES,
  NEVER_STACKED,
  PLAIN,
  QUALITY_SIGNS,
  TAIL_WORDS,
} from "./catalogue.ts";
import type { Shape } from "./shape.ts";
import {
  ALTERED,
  bitOf,
  ELEVENTH,
  FIFTH,
  FLAT_FIFTH,
  FOURTH,
  fieldOf,
  NINTH,
  NUMBERS,
  ROOT,
  replacePlain,
  SECOND,
  SEVENTH,
  SEVENTHS,
  SHARP_FIFTH,
  SIXTH,
  SIXTHS,
  shapeOf,
  THIRDS,
  thirteenths,
} from "./shape.ts";
import type { CharSource, Signs } from "./signs.ts";
import { longestSign, signsOf } from "./signs.ts";

/** A symbol that has been read. */
export interface Scanned {
  /** Root, and bass (the root again where none is written), in fifths from C. */
  readonly root: number;
  readonly bass: number;
  /** Where the root ends and the bass's stroke stands (or the symbol ends). */
  readonly rootEnd: number;
  readonly shapeEnd: number;
  readonly shape: Shape;
}

/** Where and why reading stopped. */
export interface Refusal {
  readonly at: number;
  readonly part: "root" | "symbol" | "bass";
  readonly expected: string;
  /** A way out that is better than the nearest common symbol. */
  readonly hint?: string | undefined;
}

/** A quality by its tones, for short. */
interface Quality {
  readonly tones: Shape;
  readonly bareSeventh: boolean;
}

const qualityOf = (degrees: string, bareSeventh = false): Quality => ({ tones: shapeOf(degrees), bareSeventh });
const PLAIN_QUALITY = qualityOf(PLAIN);

const LETTERS = signsOf([..."FCGDAEB"].map((letter, i) => [i - 1, letter]));
const NOTE_SIGNS = signsOf(ACCIDENTALS);
const STACK_SIGNS = signsOf([...ACCIDENTALS, ...FIGURE_SIGNS]);
const SIGNS = signsOf([
  ...QUALITY_SIGNS.map(({ signs, degrees, bareSeventh }): readonly [Quality | TailWord, string] => [
    qualityOf(degrees, bareSeventh),
    signs,
  ]),
  ...TAIL_WORDS,
]);
const FIGURE_SHAPES = signsOf(FIGURES.map(([degrees, signs]) => [shapeOf(degrees), signs]));
const NUMBER_SIGNS = signsOf(NUMBERS.map((number) => [number, `${number}`]));
const SUSPENSIONS = signsOf([
  [FOURTH, "4"],
  [SECOND, "2"],
  [FOURTH | SECOND, "24 42"],
]);
const ADDED_DEGREES = ~shapeOf(NEVER_STACKED);
const STACKED_DEGREES = ADDED_DEGREES & ~shapeOf(ADDED_ONLY);

const TAIL = "a degree such as b9, sus, add, omit, alt, or a slash and a bass note";
const BLANK = 32;

/** Reads one symbol from left to right; no character is read more often than a few times. */
class Scanner {
  #at = 0;
  #quality = PLAIN_QUALITY;
  #figure: Shape = 0;
  #base: Shape = 0;
  #seventh: Shape = 0;
  #suspended: Shape = 0;
  #altered: Shape = 0;
  #added: Shape = 0;
  #omitted: Shape = 0;

  readonly #text: CharSource;

  constructor(text: CharSource) {
    this.#text = text;
  }

  scan(): Scanned | Refusal {
    const root = this.#note();
    if (root === undefined) return this.#stop("a root: a letter A to G in upper case", 0, undefined, "root");
    const rootEnd = this.#at;
    const refusal = this.#head() ?? this.#tail();
    if (refusal !== undefined) return refusal;
    const shapeEnd = this.#at;
    let bass = root;
    if (this.#at < this.#text.length) {
      this.#at++;
      bass = this.#note() ?? root;
      if (this.#at < this.#text.length)
        return this.#stop("nothing more", this.#at, "a slash takes a single note", "bass");
    }
    return { root, bass, rootEnd, shapeEnd, shape: this.#shape() };
  }

  #stop(expected: string, at = this.#at, hint?: string, part: Refusal["part"] = "symbol"): Refusal {
    return { at, part, expected, hint };
  }

  /** Reads a sign, and says what it means; `undefined` and no step where none stands. */
  #take<T>(signs: Signs<T>): T | undefined {
    const found = longestSign(signs, this.#text, this.#at);
    if (found === undefined) return undefined;
    this.#at += found.length;
    return found.meaning;
  }

  #note(): number | undefined {
    const letter = this.#take(LETTERS);
    return letter === undefined ? undefined : letter + 7 * (this.#take(NOTE_SIGNS) ?? 0);
  }

  #blanks(): void {
    while (this.#text.charCodeAt(this.#at) === BLANK) this.#at++;
  }

  #head(): Refusal | undefined {
    const start = this.#at;
    const sign = this.#take(SIGNS);
    if (typeof sign === "object") this.#quality = sign;
    else this.#at = start;
    const { tones, bareSeventh } = this.#quality;
    const figureAt = this.#at;
    this.#figure = this.#take(FIGURE_SHAPES) ?? (bareSeventh ? SEVENTH : 0);
    const power = this.#figure === FIFTH && this.#quality === PLAIN_QUALITY;
    const unfit =
      this.#figure === FIFTH
        ? !power && !(tones & SHARP_FIFTH)
        : this.#figure & SIXTH && (bareSeventh || tones & FLAT_FIFTH);
    if (unfit) return this.#stop("a figure that fits the quality", figureAt);
    this.#figure &= ~FIFTH;
    this.#base = ROOT | (power ? FIFTH : tones & ~SEVENTHS);
    this.#seventh = tones & SEVENTHS;
    return undefined;
  }

  #tail(): Refusal | undefined {
    // Whether brackets stand open, a mark waits for what must follow it, and a plain degree may follow.
    let open = false;
    let waits = false;
    let parted = false;
    while (this.#at < this.#text.length) {
      const mark = String.fromCharCode(this.#text.charCodeAt(this.#at));
      if (!"(), /".includes(mark)) {
        const refusal = this.#item(parted);
        if (refusal !== undefined) return refusal;
        waits = parted = false;
        continue;
      }
      const beforeBass = mark === "/" && longestSign(LETTERS, this.#text, this.#at + 1) !== undefined;
      const fits = mark === " " ? open : !waits && (mark === "(" || beforeBass ? !open : mark === "/" || open);
      if (!fits) break;
      if (beforeBass) return undefined;
      if (mark === "(" || mark === ")") open = !open;
      parted = mark !== ")";
      waits ||= parted && mark !== " ";
      this.#at++;
    }
    return open
      ? this.#stop("a degree such as b9 or a closing bracket")
      : waits || this.#at < this.#text.length
        ? this.#stop(TAIL)
        : undefined;
  }

  #item(mayBePlain: boolean, adds = false): Refusal | undefined {
    const start = this.#at;
    const alteration = this.#take(STACK_SIGNS);
    const numberAt = this.#at;
    const number = this.#take(NUMBER_SIGNS);
    if (alteration === undefined && number === undefined) return this.#word(adds);
    if (alteration === 1 && number === 7) return this.#raiseSeventh(SEVENTH, start);
    const bit = number === undefined ? 0 : bitOf(number, alteration ?? 0) & (adds ? ADDED_DEGREES : STACKED_DEGREES);
    if (alteration === undefined && (!mayBePlain || bit === 0)) {
      return this.#stop(
        TAIL,
        start,
        [1, 3, 5, 7].includes(number ?? 1)
          ? undefined
          : `write ${bit & (SECOND | FOURTH) ? `sus${number} or ` : ""}add${number}`,
      );
    }
    if (bit === 0) return this.#stop("a degree such as b9 or #11", numberAt < this.#text.length ? numberAt : start);
    if (alteration && !adds) this.#altered |= bit;
    else this.#added |= bit === SEVENTH ? this.#seventh : bit;
    return undefined;
  }

  #word(adds: boolean): Refusal | undefined {
    const start = this.#at;
    const sign = this.#take(SIGNS);
    if (typeof sign === "object" && !(adds && sign.tones & SHARP_FIFTH)) return this.#refit(sign, start);
    if (adds) return this.#stop("a degree to add, such as add9", start);
    if (sign === "sus") return this.#suspension();
    if (sign === "alt") return this.#alt(start);
    this.#blanks();
    return sign === "add" ? this.#item(true, true) : sign === "omit" ? this.#omission() : this.#stop(TAIL, start);
  }

  #suspension(): Refusal | undefined {
    this.#suspended |= this.#take(SUSPENSIONS) ?? FOURTH;
    const start = this.#at;
    const extension = this.#take(FIGURE_SHAPES) ?? 0;
    if (extension && (this.#figure || !(extension & SEVENTH))) return this.#stop("2 or 4 after sus", start);
    this.#figure |= extension;
    return undefined;
  }

  #alt(start: number): Refusal | undefined {
    const plain =
      this.#quality.tones === PLAIN_QUALITY.tones && this.#seventh !== SEVENTH && !(this.#figure & ~SEVENTH);
    if (!plain) return this.#stop("alt on a plain dominant", start);
    this.#base = ALTERED;
    this.#figure = SEVENTH;
    return undefined;
  }

  #omission(): Refusal | undefined {
    const number = this.#take(NUMBER_SIGNS);
    if (number === undefined) return this.#stop("a degree to leave out, such as no3");
    this.#omitted |= fieldOf(number);
    return undefined;
  }

  // A quality behind the figure: "m(maj7)", "m/maj9", "7M", "7aug".
  #refit({ tones, bareSeventh }: Quality, start: number): Refusal | undefined {
    if (tones & SHARP_FIFTH) {
      this.#altered |= SHARP_FIFTH;
      return undefined;
    }
    if (!(tones & SEVENTH)) return this.#stop(TAIL, start);
    const extension = this.#take(FIGURE_SHAPES) ?? (bareSeventh ? SEVENTH : 0);
    if (extension & SEVENTH) return this.#raiseSeventh(extension, start);
    if (extension || !(this.#figure & SEVENTH) || this.#seventh === SEVENTH)
      return this.#stop("maj7 or a higher figure", start);
    this.#seventh = SEVENTH;
    return undefined;
  }

  #raiseSeventh(extension: Shape, start: number): Refusal | undefined {
    if (this.#figure & SEVENTH) return this.#stop("one seventh", start);
    this.#figure |= extension;
    this.#seventh = SEVENTH;
    this.#added |= SEVENTH;
    return undefined;
  }

  // Base tones, then alterations, additions and omissions, whatever their order in the symbol.
  #shape(): Shape {
    const figure = this.#figure;
    const suspended = this.#suspended;
    let shape = this.#base | (figure & SEVENTH ? (figure ^ SEVENTH) | this.#seventh : figure);
    if (suspended) shape = (shape & ~THIRDS) | suspended;
    // A suspension swallows the extension of its own letter.
    if (suspended & FOURTH) shape &= ~ELEVENTH;
    if (suspended & SECOND) shape &= ~NINTH;
    shape = (replacePlain(shape, this.#altered) | this.#added) & ~this.#omitted;
    // With a seventh present a sixth is called thirteenth (Garcia, "Clear Chord Symbols").
    return shape & SEVENTHS ? (shape & ~SIXTHS) | thirteenths(shape & SIXTHS) : shape;
  }
}

/** Reads a chord symbol: the chord's parts, or where and why reading stopped. */
export const scanSymbol = (text: CharSource): Scanned | Refusal => new Scanner(text).scan();
