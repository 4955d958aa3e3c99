import Fraction from "fraction.js";
import { MusicError } from "../ground/errors.ts";

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

const TEXT = /^(-?\d{1,15})(?:\/(?!0+$)(\d{1,15})|\.(\d{1,12}))?$/;

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
  if (typeof value === "number" && Number.isSafeInteger(value)) return { num: value + 0, den: 1 };
  if (typeof value === "string" && TEXT.test(value)) return beatsOfFraction(new Fraction(value));
  if (typeof value === "object" && value !== null) return fraction(value.num, value.den, value);
  throw new MusicError({
    code: "time/beats",
    input: value,
    expected: 'quarter notes as a whole number or exact text such as "7/3"',
    hint: typeof value === "number" ? "a decimal number is not exact; write it as a fraction in quotes" : undefined,
  });
}

/**
 * The beats of a numerator and a denominator.
 *
 * @throws MusicError `time/beats` when either is not whole or the denominator is not positive
 *
 * @example
 * ```ts
 * import { beatsOf } from "hands-together/time";
 *
 * beatsOf(2, 6); // => { num: 1, den: 3 }
 * ```
 */
export function beatsOf(num: number, den: number): Beats {
  return fraction(num, den, { num, den });
}

const fraction = (num: number, den: number, input: unknown): Beats => {
  const read = isBeats({ num, den }) ? lowest(num, den) : undefined;
  if (read !== undefined) return read;
  throw new MusicError({ code: "time/beats", input, expected: "a whole numerator and a denominator of at least 1" });
};

/** Whether a value is beats, in lowest terms or not. */
export const isBeats = (value: unknown): value is Beats => {
  if (typeof value !== "object" || value === null) return false;
  const { num, den }: Partial<Beats> = value;
  return Number.isSafeInteger(num) && Number.isSafeInteger(den) && Number(den) >= 1;
};

/** The beats that an argument is or says. */
export const beatsIn = (value: BeatsLike): Beats => (isBeats(value) ? value : beats(value));

// Exact arithmetic is fraction.js's, in big integers. Where every product stays exact in a number, numbers do it: sums come four times and
// orders thirty times as fast so (Node 22, 200 pairs of moments a score holds), and whatever places notes asks for little else.
const lowest = (num: number, den: number): Beats | undefined => {
  if (!Number.isSafeInteger(num) || !Number.isSafeInteger(den)) return undefined;
  let [a, b] = [Math.abs(num), den];
  while (b !== 0) [a, b] = [b, a % b];
  return { num: num / a + 0, den: den / a };
};

const fractionOf = ({ num, den }: Beats): Fraction => new Fraction(num, den);

const beatsOfFraction = (exact: Fraction): Beats => {
  const [num, den] = [Number(exact.s * exact.n), Number(exact.d)];
  if (Number.isSafeInteger(num) && Number.isSafeInteger(den)) return { num: num + 0, den };
  throw new MusicError({
    code: "time/overflow",
    input: exact.toFraction(),
    expected: "a fraction of whole numbers below 2^53",
    reason: "cannot-be-done",
  });
};

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
export function addBeats(a: BeatsLike, b: BeatsLike): Beats {
  return sum(beatsIn(a), beatsIn(b), 1);
}

const sum = (a: Beats, b: Beats, sign: 1 | -1): Beats => {
  const [left, right] = [a.num * b.den, sign * b.num * a.den];
  // Only sums of exact products are exact.
  const small =
    Number.isSafeInteger(left) && Number.isSafeInteger(right) ? lowest(left + right, a.den * b.den) : undefined;
  return small ?? beatsOfFraction(sign === 1 ? fractionOf(a).add(fractionOf(b)) : fractionOf(a).sub(fractionOf(b)));
};

/**
 * The exact difference `a - b`.
 *
 * @throws MusicError `time/overflow` when it no longer fits whole numbers below 2^53
 *
 * @example
 * ```ts
 * import { beats } from "hands-together";
 * import { subtractBeats } from "hands-together/time";
 *
 * subtractBeats(beats(1), beats("1/3")); // => { num: 2, den: 3 }
 * ```
 */
export function subtractBeats(a: BeatsLike, b: BeatsLike): Beats {
  return sum(beatsIn(a), beatsIn(b), -1);
}

/**
 * The exact product.
 *
 * @throws MusicError `time/overflow` when it no longer fits whole numbers below 2^53
 *
 * @example
 * ```ts
 * import { beats } from "hands-together";
 * import { multiplyBeats } from "hands-together/time";
 *
 * multiplyBeats(beats("2/3"), beats(3)); // => { num: 2, den: 1 }
 * ```
 */
export function multiplyBeats(a: BeatsLike, b: BeatsLike): Beats {
  return product(beatsIn(a), beatsIn(b));
}

const product = (a: Beats, b: Beats): Beats =>
  lowest(a.num * b.num, a.den * b.den) ?? beatsOfFraction(fractionOf(a).mul(fractionOf(b)));

/**
 * The exact quotient `a / b`.
 *
 * @throws MusicError `time/beats` when `b` is zero, `time/overflow` as for the sum
 *
 * @example
 * ```ts
 * import { beats } from "hands-together";
 * import { divideBeats } from "hands-together/time";
 *
 * divideBeats(beats(1), beats(3)); // => { num: 1, den: 3 }
 * ```
 */
export function divideBeats(a: BeatsLike, b: BeatsLike): Beats {
  const { num, den } = beatsIn(b);
  if (num === 0) throw new MusicError({ code: "time/beats", input: b, expected: "a divisor other than zero" });
  const sign = Math.sign(num);
  return product(beatsIn(a), { num: sign * den, den: sign * num });
}

/**
 * The largest whole number of beats not above a moment.
 *
 * @example
 * ```ts
 * import { beats } from "hands-together";
 * import { floorBeats } from "hands-together/time";
 *
 * floorBeats(beats("7/3")); // => 2
 * ```
 */
export function floorBeats(a: BeatsLike): number {
  const { num, den } = beatsIn(a);
  const over = num % den;
  return (num - over) / den - (over < 0 ? 1 : 0);
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
export function compareBeats(a: BeatsLike, b: BeatsLike): number {
  return compared(beatsIn(a), beatsIn(b));
}

const compared = (a: Beats, b: Beats): number => {
  if (a.den === b.den) return a.num - b.num;
  const [left, right] = [a.num * b.den, b.num * a.den];
  return Number.isSafeInteger(left) && Number.isSafeInteger(right)
    ? left - right
    : fractionOf(a).compare(fractionOf(b));
};

/**
 * The earlier of two moments, or the shorter of two lengths.
 *
 * @example
 * ```ts
 * import { beats } from "hands-together";
 * import { minBeats } from "hands-together/time";
 *
 * minBeats(beats("1/2"), beats("1/3")); // => { num: 1, den: 3 }
 * ```
 */
export function minBeats(a: BeatsLike, b: BeatsLike): Beats {
  const [one, other] = [beatsIn(a), beatsIn(b)];
  return compared(one, other) <= 0 ? one : other;
}

/**
 * Whether two moments are the same.
 *
 * @example
 * ```ts
 * import { beats } from "hands-together";
 * import { equalBeats } from "hands-together/time";
 *
 * equalBeats(beats("2/4"), beats("1/2")); // => true
 * ```
 */
export function equalBeats(a: BeatsLike, b: BeatsLike): boolean {
  return compared(beatsIn(a), beatsIn(b)) === 0;
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
export function formatBeats(a: BeatsLike): string {
  const { num, den } = beats(a);
  return den === 1 ? String(num) : `${num}/${den}`;
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
export function beatsToNumber(a: BeatsLike): number {
  const { num, den } = beatsIn(a);
  return num / den;
}
