import Fraction from "fraction.js";
import { MusicError } from "../errors.ts";

/**
 * An exact stretch or moment of time: a rational number of quarter notes, in lowest terms.
 *
 * One unit serves everything: positions count from the start of the score, and a dotted quarter, the pulse
 * of 6/8, is 3/2.
 */
export interface Beats {
  /** Numerator, with the sign. */
  readonly num: number;
  /** Denominator, at least 1. */
  readonly den: number;
}

/** What reads as exact beats: a whole number, text such as `"7/3"` or `"1.5"`, or beats themselves. */
export type BeatsLike = number | string | Beats;

const TEXT = /^-?[0-9]{1,15}(?:\/[0-9]{1,15}|\.[0-9]{1,12})?$/;

/**
 * Reads exact beats.
 *
 * @param value - whole quarters as a number, or text: `"7/3"`, `"1.5"`
 * @returns the rational in lowest terms
 * @throws MusicError `time/beats` for text that is no fraction, or a number that is not whole (a float is not exact: write `"1/3"`)
 *
 * @example
 * ```ts
 * import { beats } from "hands-together";
 *
 * beats("14/6"); // => { num: 7, den: 3 }
 * beats(2); // => { num: 2, den: 1 }
 * ```
 */
export function beats(value: BeatsLike): Beats {
  if (typeof value === "object" && value !== null) return beatsOf(value.num, value.den);
  if (typeof value === "number" && Number.isSafeInteger(value)) return { num: value + 0, den: 1 };
  if (typeof value === "string" && TEXT.test(value) && !/\/0+$/.test(value)) return fromFraction(new Fraction(value));
  throw new MusicError({
    code: "time/beats",
    input: value,
    expected: 'quarter notes as a whole number or exact text such as "7/3"',
    ...(typeof value === "number" ? { hint: "a decimal number is not exact; write it as a fraction in quotes" } : {}),
  });
}

/**
 * The beats of a numerator and a denominator.
 *
 * @throws MusicError `time/beats` when either is not whole or the denominator is not positive
 *
 * @example
 * ```ts
 * import { beatsOf } from "hands-together";
 *
 * beatsOf(2, 6); // => { num: 1, den: 3 }
 * ```
 */
export function beatsOf(num: number, den: number): Beats {
  if (!Number.isSafeInteger(num) || !Number.isSafeInteger(den) || den < 1) {
    throw new MusicError({ code: "time/beats", input: { num, den }, expected: "a whole numerator and a denominator of at least 1" });
  }
  if (den === 1) return { num: num + 0, den };
  return fromFraction(new Fraction(num, den));
}

const fromFraction = (f: Fraction): Beats => {
  const num = Number(f.s * f.n);
  const den = Number(f.d);
  if (!Number.isSafeInteger(num) || !Number.isSafeInteger(den)) {
    throw new MusicError({ code: "time/overflow", input: f.toFraction(), expected: "a fraction of whole numbers below 2^53", reason: "cannot-be-done" });
  }
  return { num, den };
};

// In lowest terms, where products of this size are exact in a number; fraction.js, which counts in big integers, does the rest.
const lowest = (num: number, den: number): Beats | undefined => {
  if (!Number.isSafeInteger(num) || !Number.isSafeInteger(den)) return undefined;
  let [a, b] = [Math.abs(num), den];
  while (b !== 0) [a, b] = [b, a % b];
  return { num: num / a + 0, den: den / a };
};

const fraction = (b: Beats): Fraction => new Fraction(b.num, b.den);

/** Zero beats. */
export const ZERO: Beats = Object.freeze({ num: 0, den: 1 });

/**
 * The exact sum.
 *
 * @throws MusicError `time/overflow` when it no longer fits whole numbers below 2^53
 *
 * @example
 * ```ts
 * import { addBeats, beats } from "hands-together";
 *
 * addBeats(beats("1/3"), beats("1/6")); // => { num: 1, den: 2 }
 * ```
 */
export function addBeats(a: Beats, b: Beats): Beats {
  const [left, right] = [a.num * b.den, b.num * a.den];
  // Only sums of exact products are exact.
  const small = Number.isSafeInteger(left) && Number.isSafeInteger(right) ? lowest(left + right, a.den * b.den) : undefined;
  return small ?? fromFraction(fraction(a).add(fraction(b)));
}

/**
 * The exact difference `a - b`.
 *
 * @throws MusicError `time/overflow` when it no longer fits whole numbers below 2^53
 *
 * @example
 * ```ts
 * import { beats, subtractBeats } from "hands-together";
 *
 * subtractBeats(beats(1), beats("1/3")); // => { num: 2, den: 3 }
 * ```
 */
export function subtractBeats(a: Beats, b: Beats): Beats {
  return addBeats(a, { num: -b.num + 0, den: b.den });
}

/**
 * The exact product.
 *
 * @throws MusicError `time/overflow` when it no longer fits whole numbers below 2^53
 *
 * @example
 * ```ts
 * import { beats, multiplyBeats } from "hands-together";
 *
 * multiplyBeats(beats("2/3"), beats(3)); // => { num: 2, den: 1 }
 * ```
 */
export function multiplyBeats(a: Beats, b: Beats): Beats {
  return lowest(a.num * b.num, a.den * b.den) ?? fromFraction(fraction(a).mul(fraction(b)));
}

/**
 * The exact quotient `a / b`.
 *
 * @throws MusicError `time/beats` when `b` is zero, `time/overflow` as for the sum
 *
 * @example
 * ```ts
 * import { beats, divideBeats } from "hands-together";
 *
 * divideBeats(beats(1), beats(3)); // => { num: 1, den: 3 }
 * ```
 */
export function divideBeats(a: Beats, b: Beats): Beats {
  if (b.num === 0) throw new MusicError({ code: "time/beats", input: b, expected: "a divisor other than zero" });
  const sign = Math.sign(b.num);
  return lowest(sign * a.num * b.den, a.den * sign * b.num) ?? fromFraction(fraction(a).div(fraction(b)));
}

/**
 * The largest whole number of beats not above a moment.
 *
 * @example
 * ```ts
 * import { beats, floorBeats } from "hands-together";
 *
 * floorBeats(beats("7/3")); // => 2
 * ```
 */
export function floorBeats(a: Beats): number {
  return Math.floor(a.num / a.den);
}

/**
 * Orders moments; negative when `a` comes first. For `Array.prototype.sort`.
 *
 * @example
 * ```ts
 * import { beats, compareBeats } from "hands-together";
 *
 * compareBeats(beats("1/3"), beats("1/2")) < 0; // => true
 * ```
 */
export function compareBeats(a: Beats, b: Beats): number {
  if (a.den === b.den) return a.num - b.num;
  const left = a.num * b.den;
  const right = b.num * a.den;
  return Number.isSafeInteger(left) && Number.isSafeInteger(right) ? left - right : fraction(a).compare(fraction(b));
}

/**
 * Whether two moments are the same.
 *
 * @example
 * ```ts
 * import { beats, equalBeats } from "hands-together";
 *
 * equalBeats(beats("2/4"), beats("1/2")); // => true
 * ```
 */
export function equalBeats(a: Beats, b: Beats): boolean {
  return a.num === b.num && a.den === b.den;
}

/**
 * Beats as the text of the JSON contract: `"7/3"`, whole numbers without a stroke.
 *
 * @example
 * ```ts
 * import { beats, formatBeats } from "hands-together";
 *
 * formatBeats(beats("7/3")); // => "7/3"
 * formatBeats(beats(4)); // => "4"
 * ```
 */
export function formatBeats(a: Beats): string {
  return a.den === 1 ? String(a.num) : `${a.num}/${a.den}`;
}

/**
 * The nearest decimal number, for where exactness ends (milliseconds, pictures).
 *
 * @example
 * ```ts
 * import { beats, beatsToNumber } from "hands-together";
 *
 * beatsToNumber(beats("1/2")); // => 0.5
 * ```
 */
export function beatsToNumber(a: Beats): number {
  return a.num / a.den;
}
