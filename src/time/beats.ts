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
  if (typeof value === "object" && value !== null) return fraction(value.num, value.den, value);
  if (Number.isSafeInteger(value)) return { num: (value as number) + 0, den: 1 };
  const match = typeof value === "string" ? TEXT.exec(value) : null;
  if (match !== null) {
    const [, whole, over = "1", decimals = ""] = match;
    const [num, den] = [whole + decimals, over + "0".repeat(decimals.length)];
    return lowest(Number(num), Number(den)) ?? lowestOf(BigInt(num), BigInt(den));
  }
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
  if (!Number.isSafeInteger(num) || !Number.isSafeInteger(den) || den < 1) {
    throw new MusicError({ code: "time/beats", input, expected: "a whole numerator and a denominator of at least 1" });
  }
  return lowest(num, den) as Beats;
};

// In lowest terms, where both are exact in a number; big integers, several times slower, do the rest.
const lowest = (num: number, den: number): Beats | undefined => {
  if (!Number.isSafeInteger(num) || !Number.isSafeInteger(den)) return undefined;
  let [a, b] = [Math.abs(num), den];
  while (b !== 0) [a, b] = [b, a % b];
  return { num: num / a + 0, den: den / a };
};

const lowestOf = (num: bigint, den: bigint): Beats => {
  let [a, b] = [num < 0n ? -num : num, den];
  while (b !== 0n) [a, b] = [b, a % b];
  return lowest(Number(num / a), Number(den / a)) ?? overflow(num / a, den / a);
};

const overflow = (num: bigint, den: bigint): never => {
  const input = den === 1n ? `${num}` : `${num}/${den}`;
  throw new MusicError({
    code: "time/overflow",
    input,
    expected: "a fraction of whole numbers below 2^53",
    reason: "cannot-be-done",
  });
};

const product = (a: number, b: number): bigint => BigInt(a) * BigInt(b);

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
  const small =
    Number.isSafeInteger(left) && Number.isSafeInteger(right) ? lowest(left + right, a.den * b.den) : undefined;
  return small ?? lowestOf(product(a.num, b.den) + product(b.num, a.den), product(a.den, b.den));
}

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
export function subtractBeats(a: Beats, b: Beats): Beats {
  return addBeats(a, { num: -b.num, den: b.den });
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
export function multiplyBeats(a: Beats, b: Beats): Beats {
  return lowest(a.num * b.num, a.den * b.den) ?? lowestOf(product(a.num, b.num), product(a.den, b.den));
}

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
export function divideBeats(a: Beats, b: Beats): Beats {
  if (b.num === 0) throw new MusicError({ code: "time/beats", input: b, expected: "a divisor other than zero" });
  const sign = Math.sign(b.num);
  return multiplyBeats(a, { num: sign * b.den, den: sign * b.num });
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
  return Number.isSafeInteger(left) && Number.isSafeInteger(right)
    ? left - right
    : Number(product(a.num, b.den) - product(b.num, a.den));
}

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
export function minBeats(a: Beats, b: Beats): Beats {
  return compareBeats(a, b) <= 0 ? a : b;
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
