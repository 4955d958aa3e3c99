import { asPair, given, LETTER_SEMITONES, refusal } from "./names.ts";

/**
 * A spelled interval: the difference of two pitches, in steps and semitones, so an augmented fourth is not
 * a diminished fifth. Both numbers are negative for a falling interval.
 */
export interface Interval {
  readonly kind: "interval";
  /** Letters apart: a third is 2. */
  readonly steps: number;
  /** Semitones apart. */
  readonly semitones: number;
}

type PerfectNumber = 1 | 4 | 5 | 8 | 11 | 12 | 15;
type MajorNumber = 2 | 3 | 6 | 7 | 9 | 10 | 13 | 14;

/**
 * The name of an interval up to two octaves: quality (P, M, m, A, d, doubled AA and dd) and number; a
 * leading minus means falling.
 */
export type IntervalName =
  `${"" | "-"}${`${"P" | "A" | "d" | "AA" | "dd"}${PerfectNumber}` | `${"M" | "m" | "A" | "d" | "AA" | "dd"}${MajorNumber}`}`;

/** Builds an interval from its two integers. */
export const asInterval = (steps: number, semitones: number): Interval => asPair("interval", steps, semitones);

/** The interval that an argument is, or whose name it is. */
export const intervalOf = (i: Interval | IntervalName): Interval => given("interval", i, parseInterval);

// Semitones of the major and perfect intervals above a tonic.
const plainSemitones = (steps: number): number => Math.floor(steps / 7) * 12 + (LETTER_SEMITONES[steps % 7] ?? 0);

// Qualities from narrow to wide; the plain one stands at index 3 of the perfect intervals and 4 of the others.
const PERFECT = ["ddd", "dd", "d", "P", "A", "AA", "AAA"];
const OTHERS = ["ddd", "dd", "d", "m", "M", "A", "AA", "AAA"];
const qualities = (steps: number): readonly string[] => ([0, 3, 4].includes(steps % 7) ? PERFECT : OTHERS);
const plainIndex = (list: readonly string[]): number => list.length - 4;

/**
 * The interval of a name that the type checker has read.
 *
 * Source of the names: Schmidt-Jones, C., Understanding Basic Music Theory (2013), "Interval", p. 133.
 *
 * @throws MusicError `pitch/interval` when the name can't be read (only possible past the type checker)
 *
 * @example
 * ```ts
 * import { interval } from "hands-together";
 *
 * interval("A4"); // => { kind: "interval", steps: 3, semitones: 6 }
 * interval("d5"); // => { kind: "interval", steps: 4, semitones: 6 }
 * ```
 */
export function interval(name: IntervalName): Interval {
  return parseInterval(name);
}

/**
 * Reads an interval name from any text; numbers above 15 are read too.
 *
 * @throws MusicError `pitch/interval` when the text is no interval, or asks for a quality that the number does not have (P3, M5)
 *
 * @example
 * ```ts
 * import { parseInterval } from "hands-together/pitch";
 *
 * parseInterval("-m3"); // => { kind: "interval", steps: -2, semitones: -3 }
 * ```
 */
export function parseInterval(text: string): Interval {
  const [, sign, quality, number] =
    (typeof text === "string" && /^(-?)(P|M|m|A{1,3}|d{1,3})([1-9]\d?)$/.exec(text)) || [];
  const steps = Number(number) - 1;
  const list = qualities(steps);
  const index = list.indexOf(quality ?? "");
  if (index < 0) {
    throw refusal(
      "interval",
      text,
      "an interval such as m3, P5 or A11: quality P, M, m, A or d, then the number",
      number && `a ${steps + 1} is ${list === PERFECT ? "perfect" : "major, minor"}, augmented or diminished`,
    );
  }
  const rising = asInterval(steps, plainSemitones(steps) + index - plainIndex(list));
  return sign === "-" ? negate(rising) : rising;
}

/**
 * The name of an interval, with a leading minus when it falls.
 *
 * @returns the name; above two octaves it is a name of the same form that the type leaves out
 * @throws MusicError `pitch/interval` when it is augmented or diminished more than three times
 *
 * @example
 * ```ts
 * import { interval } from "hands-together";
 * import { intervalName, invert } from "hands-together/pitch";
 *
 * intervalName(invert(interval("d7"))); // => "A2"
 * ```
 */
export function intervalName(i: Interval | IntervalName): IntervalName {
  const own = intervalOf(i);
  const rising = own.steps < 0 ? negate(own) : own;
  const list = qualities(rising.steps);
  const quality = list[plainIndex(list) + rising.semitones - plainSemitones(rising.steps)];
  if (quality === undefined)
    throw refusal("interval", i, "an interval altered at most three times", undefined, "cannot-be-done");
  return `${own.steps < 0 ? "-" : ""}${quality}${rising.steps + 1}` as IntervalName;
}

/**
 * The sum of two intervals.
 *
 * @example
 * ```ts
 * import { interval } from "hands-together";
 * import { addIntervals, intervalName } from "hands-together/pitch";
 *
 * intervalName(addIntervals(interval("M3"), interval("m3"))); // => "P5"
 * ```
 */
export function addIntervals(a: Interval | IntervalName, b: Interval | IntervalName): Interval {
  const [one, other] = [intervalOf(a), intervalOf(b)];
  return asInterval(one.steps + other.steps, one.semitones + other.semitones);
}

/**
 * The same interval in the other direction.
 *
 * @example
 * ```ts
 * import { interval } from "hands-together";
 * import { intervalName, negate } from "hands-together/pitch";
 *
 * intervalName(negate(interval("m3"))); // => "-m3"
 * ```
 */
export function negate(i: Interval | IntervalName): Interval {
  const { steps, semitones } = intervalOf(i);
  return asInterval(-steps, -semitones);
}

/**
 * The inversion of a simple interval: what completes it to an octave.
 *
 * @throws MusicError `pitch/invert` when the interval falls or is wider than an octave
 *
 * @example
 * ```ts
 * import { interval } from "hands-together";
 * import { intervalName, invert } from "hands-together/pitch";
 *
 * intervalName(invert(interval("M6"))); // => "m3"
 * ```
 */
export function invert(i: Interval | IntervalName): Interval {
  const { steps, semitones } = intervalOf(i);
  if (steps < 0 || steps > 7)
    throw refusal("invert", i, "a rising interval no wider than an octave", "take simple() first");
  return asInterval(7 - steps, 12 - semitones);
}

/**
 * The interval within an octave that a compound interval repeats: a ninth becomes a second. An octave stays
 * an octave, and so do its multiples.
 *
 * @example
 * ```ts
 * import { interval } from "hands-together";
 * import { intervalName, simple } from "hands-together/pitch";
 *
 * intervalName(simple(interval("M13"))); // => "M6"
 * ```
 */
export function simple(i: Interval | IntervalName): Interval {
  const { steps, semitones } = intervalOf(i);
  const octaves = Math.sign(steps) * Math.max(0, Math.ceil(Math.abs(steps) / 7) - 1);
  return asInterval(steps - 7 * octaves, semitones - 12 * octaves);
}

type DegreeSign = "" | "b" | "bb" | "#" | "##";
/** A degree counted against the major scale of a root, as in `"b3"`, `"#11"` or `"bb7"`. */
export type Degree = `${DegreeSign}${1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12 | 13 | 14 | 15}`;

const DEGREE = /^(b{0,2}|#{0,2})(1[0-5]|[1-9])$/;

/** Whether a value is a degree. */
export const isDegree = (value: unknown): value is Degree => typeof value === "string" && DEGREE.test(value);

/**
 * The interval of a degree above its root, counted against the major scale; it keeps the degree's letter.
 *
 * @throws MusicError `pitch/degree` when the text is no degree
 *
 * @example
 * ```ts
 * import { degreeInterval, intervalName } from "hands-together/pitch";
 *
 * intervalName(degreeInterval("#11")); // => "A11"
 * intervalName(degreeInterval("bb7")); // => "d7"
 * ```
 */
export function degreeInterval(degree: Degree): Interval {
  const [, sign = "", number] = (typeof degree === "string" && /^(b{0,2}|#{0,2})(1[0-5]|[1-9])$/.exec(degree)) || [];
  if (!number) throw refusal("degree", degree, "a degree from 1 to 15 such as b3, #11 or bb7");
  const steps = Number(number) - 1;
  return asInterval(steps, plainSemitones(steps) + (sign < "b" ? sign.length : -sign.length));
}
