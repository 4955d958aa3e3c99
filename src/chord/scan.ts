import { FIGURES, PLAIN } from "./catalogue.ts";
import type { QualitySign } from "./catalogue.ts";
import type { ChordNumber } from "./shape.ts";
import {
  ALTERED_TENSIONS, ELEVENTH, FIFTH, FOURTH, MAJOR_THIRD, NINTH, ROOT, SECOND, SEVENTH, SEVENTHS,
  SIXTH, SIXTHS, THIRDS, THIRTEENTH, bitOf, fieldOf, isHigh, replaceNaturals,
} from "./shape.ts";
import type { CharSource } from "./signs.ts";
import { longestSign } from "./signs.ts";

/** A symbol that has been read. */
export interface Scanned {
  /** Index of the root's letter from C, and its alteration. */
  readonly letter: number;
  readonly alteration: number;
  /** Where the root ends and the bass's stroke stands (or the symbol ends). */
  readonly rootEnd: number;
  readonly shapeEnd: number;
  /** The bass as written, or the root's letter and alteration again. */
  readonly bassLetter: number;
  readonly bassAlteration: number;
  readonly low: number;
  readonly high: number;
}

/** Where and why reading stopped. */
export interface Refusal {
  readonly at: number;
  readonly part: "root" | "symbol" | "bass";
  readonly expected: string;
  /** A way out that is better than the nearest common symbol. */
  readonly hint?: string;
}

const BARE = FIGURES.reduce((set, row) => (row.bare ? set | (1 << row.number) : set), 0);
const NUMBERS = FIGURES.reduce((set, row) => set | (1 << row.number), 0);
// By alteration + 2: which numbers may carry it.
const ALTERABLE: readonly number[] = [-2, -1, 0, 1, 2].map((alteration) =>
  FIGURES.reduce((set, row) => (row.altered.some((a) => a === alteration) ? set | (1 << row.number) : set), 0),
);

const LETTER_OF_CODE = [5, 6, 0, 1, 2, 3, 4] as const;
const SPACE = 32;
const SHARP = 35;
const OPEN = 40;
const CLOSE = 41;
const PLUS = 43;
const COMMA = 44;
const MINUS = 45;
const STROKE = 47;
const DIGIT_0 = 48;
const UPPER_A = 65;
const LOWER_B = 98;
const LOWER_X = 120;
const FLAT_SIGN = 0x266d;
const NATURAL_SIGN = 0x266e;
const SHARP_SIGN = 0x266f;
const MINUS_SIGN = 0x2212;
// 𝄪 and 𝄫 lie outside the basic plane: two code units, of which the second tells them apart.
const DOUBLE_HIGH = 0xd834;
const DOUBLE_SHARP_LOW = 0xdd2a;
const DOUBLE_FLAT_LOW = 0xdd2b;

const TAIL = "an extension, an alteration such as b9, sus, add, omit, alt or a slash and a bass note";

/** Reads one symbol from left to right; no character is read more often than the longest sign is long. */
class Scanner {
  private at = 0;
  private low = 0;
  private high = 0;
  private altLow = 0;
  private altHigh = 0;
  private addLow = 0;
  private addHigh = 0;
  private omitLow = 0;
  private omitHigh = 0;
  private quality = PLAIN;
  private figure = 0;
  private majorSeventh = false;
  private power = false;
  private six = false;
  private nine = false;
  private sus = 0;
  private alt = false;
  refusal: Refusal | undefined;

  constructor(private readonly text: CharSource) {}

  scan(): Scanned | undefined {
    const letter = this.noteLetter();
    if (letter < 0) return this.refuse(0, "root", "a chord symbol that starts with a root: a letter A to G in upper case");
    const alteration = this.noteAccidentals();
    const rootEnd = this.at;
    const shape = this.qualityAndFigure() && this.tail();
    if (!shape) return undefined;
    const shapeEnd = this.at;
    let bassLetter = letter;
    let bassAlteration = alteration;
    if (this.at < this.text.length) {
      this.at++;
      bassLetter = this.noteLetter();
      bassAlteration = this.noteAccidentals();
      if (this.at < this.text.length) return this.refuse(this.at, "bass", "nothing after the bass note", "a slash takes a single note");
    }
    return this.finish() ? { letter, alteration, rootEnd, shapeEnd, bassLetter, bassAlteration, low: this.low, high: this.high } : undefined;
  }

  private refuse(at: number, part: Refusal["part"], expected: string, hint?: string): undefined {
    this.refusal = hint === undefined ? { at, part, expected } : { at, part, expected, hint };
    return undefined;
  }

  private stop(expected: string, hint?: string): false {
    this.refuse(this.at, "symbol", expected, hint);
    return false;
  }

  private code(at: number): number {
    return at < this.text.length ? this.text.charCodeAt(at) : 0;
  }

  private noteLetter(): number {
    const index = this.code(this.at) - UPPER_A;
    if (index < 0 || index > 6) return -1;
    this.at++;
    return LETTER_OF_CODE[index] as number;
  }

  private noteAccidentals(): number {
    const code = this.code(this.at);
    if (code !== LOWER_X && code !== NATURAL_SIGN) return this.accidentals(3);
    this.at++;
    return code === LOWER_X ? 2 : 0;
  }

  // A run of equal signs, or one double sign with one more; 0 and no step where none stands.
  private accidentals(limit: number): number {
    const code = this.code(this.at);
    if (code === LOWER_B || code === FLAT_SIGN) return -this.run(code, limit);
    if (code === SHARP || code === SHARP_SIGN) return this.run(code, limit);
    if (code === DOUBLE_HIGH) return this.doubleSign(limit);
    return 0;
  }

  private run(code: number, limit: number): number {
    let length = 1;
    while (length < limit && this.code(this.at + length) === code) length++;
    this.at += length;
    return length;
  }

  private doubleSign(limit: number): number {
    const low = this.code(this.at + 1);
    if (low !== DOUBLE_FLAT_LOW && low !== DOUBLE_SHARP_LOW) return 0;
    this.at += 2;
    const third = this.code(this.at);
    const flat = low === DOUBLE_FLAT_LOW;
    const more = limit > 2 && (flat ? third === LOWER_B || third === FLAT_SIGN : third === SHARP || third === SHARP_SIGN);
    if (more) this.at++;
    return (flat ? -1 : 1) * (more ? 3 : 2);
  }

  // A number that chords use; 0 and no step where none stands.
  private number(): number {
    const first = this.code(this.at) - DIGIT_0;
    if (first < 0 || first > 9) return 0;
    const second = first === 1 ? this.code(this.at + 1) - DIGIT_0 : -1;
    const two = second >= 0 && second <= 9 ? 10 + second : 0;
    const number = two === 0 ? first : two;
    if ((NUMBERS >> number) % 2 === 0) return 0;
    this.at += two === 0 ? 1 : 2;
    return number;
  }

  private qualityAndFigure(): boolean {
    const found = longestSign(this.text, this.at);
    if (typeof found?.sign === "object") {
      this.quality = found.sign;
      this.at += found.length;
    }
    const start = this.at;
    const number = this.number();
    if (number === 0) {
      if (this.quality.bareSeventh) this.figure = 7;
      return true;
    }
    if (number === 5 && (this.quality === PLAIN || this.quality.fifth === 1)) {
      this.power = this.quality === PLAIN;
      return true;
    }
    if (number === 6 && this.quality.fifth !== -1 && !this.quality.bareSeventh) {
      this.six = true;
      this.nine = this.sixNine();
      this.figure = 6;
      return true;
    }
    if (number >= 7) {
      this.figure = number;
      return true;
    }
    this.at = start;
    if (number === 2 || number === 4) return this.stop(`sus${number} or add${number}, which a bare ${number} leaves open`);
    return this.stop("a figure 5, 6, 7, 9, 11 or 13 that fits the quality");
  }

  // "69" and "6/9".
  private sixNine(): boolean {
    const stroke = this.code(this.at) === STROKE ? 1 : 0;
    if (this.code(this.at + stroke) !== DIGIT_0 + 9) return false;
    this.at += stroke + 1;
    return true;
  }

  private tail(): boolean {
    let open = false;
    let separated = false;
    while (this.at < this.text.length) {
      const code = this.code(this.at);
      if (code === OPEN) {
        if (open || separated) return this.stop("one pair of brackets at a time");
        open = separated = true;
        this.at++;
        this.blanks();
      } else if (code === CLOSE) {
        if (!open || separated) return this.stop(open ? "an alteration inside the brackets" : "an opening bracket before");
        open = false;
        this.at++;
      } else if (code === COMMA || code === SPACE) {
        if (!open || separated) return this.stop(TAIL);
        this.at++;
        this.blanks();
        if (this.code(this.at) === COMMA && code === SPACE) {
          this.at++;
          this.blanks();
        }
        separated = this.code(this.at) !== CLOSE || code === COMMA;
      } else if (code === STROKE) {
        const next = this.code(this.at + 1) - UPPER_A;
        if (next >= 0 && next <= 6) return open || separated ? this.stop("a closing bracket before the bass") : true;
        if (separated) return this.stop(TAIL);
        separated = true;
        this.at++;
      } else {
        if (!this.item(separated)) return false;
        separated = false;
      }
    }
    if (separated) return this.stop("an extension, or a bass note in upper case, after the stroke or bracket");
    return open ? this.stop("a closing bracket") : true;
  }

  private blanks(): void {
    while (this.code(this.at) === SPACE) this.at++;
  }

  private item(separated: boolean): boolean {
    const start = this.at;
    const code = this.code(start);
    if (code >= DIGIT_0 && code <= DIGIT_0 + 9) return separated ? this.bareNumber() : this.strayNumber();
    if (code === NATURAL_SIGN) {
      this.at++;
      return this.bareNumber();
    }
    if (code === PLUS || code === MINUS || code === MINUS_SIGN) {
      const next = this.code(start + 1) - DIGIT_0;
      if (next >= 0 && next <= 9) {
        this.at++;
        if (next === 7) return this.stop(`a plain #7, b7 or maj7, since a sign before 7 is read in more than one way`);
        return this.alteration(code === PLUS ? 1 : -1);
      }
    } else {
      const alteration = this.accidentals(2);
      if (this.at !== start) return this.alteration(alteration);
    }
    const found = longestSign(this.text, start);
    if (found === undefined) return this.stop(TAIL);
    if (typeof found.sign === "object") return this.qualityInTail(found.sign, found.length, start);
    this.at += found.length;
    switch (found.sign) {
      case "sus": return this.suspension();
      case "alt": return this.altered(start);
      case "add": return this.addition();
      case "omit": return this.omission();
    }
  }

  private strayNumber(): boolean {
    const start = this.at;
    const known = (BARE >> this.number()) % 2 !== 0;
    this.at = start;
    return this.stop(TAIL, known ? "put a degree to add in brackets" : undefined);
  }

  private bareNumber(): boolean {
    const start = this.at;
    const number = this.number();
    if (number === 0 || (BARE >> number) % 2 === 0) {
      this.at = start;
      return this.stop("an extension 2, 4, 6, 7, 9, 11 or 13", number === 3 || number === 5 ? `write add${number} or omit${number}` : undefined);
    }
    this.put(number as ChordNumber, number === 7 ? this.quality.seventh : 0, false);
    return true;
  }

  private alteration(alteration: number): boolean {
    const start = this.at;
    const number = this.number();
    if (number === 0 || ((ALTERABLE[alteration + 2] as number) >> number) % 2 === 0) {
      this.at = start;
      return this.stop("a degree that this accidental can alter, such as b9 or #11");
    }
    if (number === 7 && alteration === 1) return this.raiseSeventh(start);
    this.put(number as ChordNumber, alteration, true);
    return true;
  }

  private put(number: ChordNumber, alteration: number, replaces: boolean): void {
    const bit = bitOf(number, alteration);
    if (isHigh(number)) {
      if (replaces) this.altHigh |= bit;
      else this.addHigh |= bit;
    } else if (replaces) this.altLow |= bit;
    else this.addLow |= bit;
  }

  // "m(maj7)", "m/maj9", "7M", "7aug".
  private qualityInTail(sign: QualitySign, length: number, start: number): boolean {
    if (sign.fifth === 1) {
      this.at += length;
      this.altLow |= bitOf(5, 1);
      return true;
    }
    if (sign.third !== 0 || sign.seventh !== 0) return this.stop(TAIL);
    this.at += length;
    const number = this.number();
    if (number === 0 && !sign.bareSeventh) {
      if (this.figure < 7 || this.quality.seventh === 0) {
        this.at = start;
        return this.stop("a figure after maj", "as in maj7");
      }
      this.majorSeventh = true;
      return true;
    }
    if (number !== 0 && number < 7) {
      this.at = start;
      return this.stop("maj7, maj9, maj11 or maj13");
    }
    const raised = this.raiseSeventh(start);
    if (number > 7) this.figure = number;
    return raised;
  }

  private raiseSeventh(start: number): boolean {
    if (this.figure >= 7 || this.majorSeventh) {
      this.at = start;
      return this.stop("one seventh only");
    }
    this.majorSeventh = true;
    this.addHigh |= SEVENTH;
    return true;
  }

  private suspension(): boolean {
    let read = 0;
    for (;;) {
      const digit = this.code(this.at) - DIGIT_0;
      if (digit !== 2 && digit !== 4) break;
      read |= digit === 2 ? SECOND : FOURTH;
      this.at++;
    }
    this.sus |= read === 0 ? FOURTH : read;
    const start = this.at;
    const number = this.number();
    if (number === 0) return true;
    if (number < 7 || this.figure !== 0) {
      this.at = start;
      return this.stop("2 or 4 after sus");
    }
    this.figure = number;
    return true;
  }

  private altered(start: number): boolean {
    if (this.quality.third !== 0 || this.quality.seventh !== -1 || this.quality.fifth !== 0 || (this.figure !== 0 && this.figure !== 7)) {
      this.at = start;
      return this.stop("alt on a plain dominant, as in 7alt");
    }
    this.alt = true;
    this.figure = 7;
    return true;
  }

  private addition(): boolean {
    this.blanks();
    const start = this.at;
    const alteration = this.accidentals(2);
    const number = this.number();
    if (number !== 0 && this.canAdd(number, alteration)) {
      if (number === 7 && alteration === 1) return this.raiseSeventh(start);
      this.put(number as ChordNumber, number === 7 && alteration === 0 ? this.quality.seventh : alteration, false);
      return true;
    }
    this.at = start;
    const found = longestSign(this.text, start);
    if (typeof found?.sign === "object" && found.sign.third === 0 && found.sign.seventh === 0) return this.qualityInTail(found.sign, found.length, start);
    return this.stop("the degree to add, such as add9 or add#11");
  }

  private canAdd(number: number, alteration: number): boolean {
    if (alteration === 0) return number > 1;
    return ((ALTERABLE[alteration + 2] as number) >> number) % 2 === 1 || (number === 3 && alteration === -1);
  }

  private omission(): boolean {
    this.blanks();
    const start = this.at;
    const number = this.number();
    if (number === 0) {
      this.at = start;
      return this.stop("the degree to leave out, such as no3 or omit5");
    }
    if (isHigh(number)) this.omitHigh |= fieldOf(number as ChordNumber);
    else this.omitLow |= fieldOf(number as ChordNumber);
    return true;
  }

  // Base tones, then alterations, additions and omissions, whatever their order in the symbol.
  private finish(): boolean {
    const { quality, figure } = this;
    let low = ROOT | (this.power ? 0 : MAJOR_THIRD >> -quality.third) | bitOf(5, quality.fifth);
    let high = this.nine ? NINTH : 0;
    if (this.six) low |= SIXTH;
    if (figure >= 7) high |= this.majorSeventh ? SEVENTH : bitOf(7, quality.seventh);
    if (figure >= 9) high |= NINTH;
    if (figure === 11) high |= ELEVENTH;
    if (figure === 13) high |= THIRTEENTH;
    if (this.sus !== 0) {
      low = (low & ~THIRDS) | this.sus;
      // A suspension swallows the extension of its own letter.
      if ((this.sus & FOURTH) !== 0) high &= ~ELEVENTH;
      if ((this.sus & SECOND) !== 0) high &= ~NINTH;
    }
    if (this.alt) {
      low &= ~FIFTH;
      high |= ALTERED_TENSIONS;
    }
    low = (replaceNaturals(low, this.altLow) | this.addLow) & ~this.omitLow;
    high = (replaceNaturals(high, this.altHigh) | this.addHigh) & ~this.omitHigh;
    if ((high & SEVENTHS) !== 0 && (low & SIXTHS) !== 0) {
      // With a seventh present a sixth is called thirteenth (Garcia, "Clear Chord Symbols").
      high |= ((low & SIXTHS) / bitOf(6, -2)) * bitOf(13, -2);
      low &= ~SIXTHS;
    }
    this.low = low;
    this.high = high;
    return true;
  }
}

/** Reads a chord symbol: the chord's parts, or where and why reading stopped. */
export const scanSymbol = (text: CharSource): Scanned | Refusal => {
  const scanner = new Scanner(text);
  return scanner.scan() ?? (scanner.refusal as Refusal);
};
