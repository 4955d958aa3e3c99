import { MusicError } from "../ground/errors.ts";
import type { Beats, BeatsLike } from "./beats.ts";
import { addBeats, beats, beatsOf, divideBeats, floorBeats, multiplyBeats, subtractBeats } from "./beats.ts";

/** A metre, as in a time signature. */
export interface Metre {
  readonly kind: "metre";
  /** Upper figure. */
  readonly count: number;
  /** Lower figure: the note value counted, 4 for a quarter. */
  readonly unit: 2 | 4 | 8 | 16;
}

/** The metres that the type checker knows; `parseMetre` reads others. */
export type MetreName = "2/4" | "3/4" | "4/4" | "5/4" | "2/2" | "6/8" | "9/8" | "12/8";

/**
 * The metre of a time signature that the type checker has read.
 *
 * @throws MusicError `time/metre` when it can't be read (only possible past the type checker)
 *
 * @example
 * ```ts
 * import { metre } from "hands-together";
 *
 * metre("4/4"); // => { kind: "metre", count: 4, unit: 4 }
 * ```
 */
export function metre(name: MetreName): Metre {
  return parseMetre(name);
}

/**
 * Reads a time signature.
 *
 * @throws MusicError `time/metre` unless it is a count of 1 to 32, a stroke, and 2, 4, 8 or 16
 *
 * @example
 * ```ts
 * import { parseMetre } from "hands-together";
 *
 * parseMetre("7/8"); // => { kind: "metre", count: 7, unit: 8 }
 * ```
 */
export function parseMetre(text: string): Metre {
  const [, count, unit] = (typeof text === "string" && /^([1-9][0-9]?)\/(2|4|8|16)$/.exec(text)) || [];
  const m = { kind: "metre", count: Number(count), unit: Number(unit) };
  if (isMetre(m)) return m;
  throw new MusicError({ code: "time/metre", input: text, expected: "a time signature such as 4/4, 3/4 or 12/8" });
}

const UNITS: readonly unknown[] = [2, 4, 8, 16];

/** Whether a value is a metre. */
export const isMetre = (value: unknown): value is Metre => {
  const { kind, count, unit }: Partial<Metre> = Object(value);
  return (
    kind === "metre" && Number.isInteger(count) && Number(count) >= 1 && Number(count) <= 32 && UNITS.includes(unit)
  );
};

/** The metre that an argument is, or whose time signature it is. */
export const metreIn = (m: Metre | MetreName): Metre => {
  if (typeof m === "string") return parseMetre(m);
  if (isMetre(m)) return m;
  throw new MusicError({ code: "time/argument", input: m, expected: "a metre or a time signature such as 4/4" });
};

/**
 * The time signature of a metre, as text.
 *
 * @example
 * ```ts
 * import { metre } from "hands-together";
 * import { formatMetre } from "hands-together/time";
 *
 * formatMetre(metre("12/8")); // => "12/8"
 * ```
 */
export function formatMetre(m: Metre | MetreName): string {
  const { count, unit } = metreIn(m);
  return `${count}/${unit}`;
}

/**
 * The length of a full bar in quarter notes.
 *
 * @example
 * ```ts
 * import { metre } from "hands-together";
 * import { barLength } from "hands-together/time";
 *
 * barLength(metre("6/8")); // => { num: 3, den: 1 }
 * ```
 */
export function barLength(m: Metre | MetreName): Beats {
  const { count, unit } = metreIn(m);
  return beatsOf(4 * count, unit);
}

/**
 * Whether the pulse is a dotted note, as in 6/8, 9/8 and 12/8; where quarters or halves are counted it never is.
 *
 * @example
 * ```ts
 * import { metre } from "hands-together";
 * import { isCompound } from "hands-together/time";
 *
 * isCompound(metre("12/8")); // => true
 * ```
 */
export function isCompound(m: Metre | MetreName): boolean {
  const { count, unit } = metreIn(m);
  return unit >= 8 && count > 3 && count % 3 === 0;
}

/**
 * The length of one pulse (what a foot taps) in quarter notes: 1 in 4/4, 3/2 in 12/8, 2 in 2/2.
 *
 * @example
 * ```ts
 * import { metre } from "hands-together";
 * import { pulseLength } from "hands-together/time";
 *
 * pulseLength(metre("12/8")); // => { num: 3, den: 2 }
 * ```
 */
export function pulseLength(m: Metre | MetreName): Beats {
  return beatsOf(isCompound(m) ? 12 : 4, metreIn(m).unit);
}

/**
 * The time of a position that musicians count in pulses, in quarter notes: whole numbers are pulses, a half is the offbeat ("and").
 *
 * In simple metres the offbeat is the second half of the pulse, in compound ones its last third, as a pattern moves from 4/4 to 12/8.
 * Other fractions divide the pulse evenly. Common practice, no source.
 *
 * @param pulses - from the start of the bar; negative before it
 *
 * @example
 * ```ts
 * import { beats, metre } from "hands-together";
 * import { pulseTime } from "hands-together/time";
 *
 * pulseTime(beats("3/2"), metre("4/4")); // => { num: 3, den: 2 }
 * pulseTime(beats("3/2"), metre("12/8")); // => { num: 5, den: 2 }
 * ```
 */
export function pulseTime(pulses: BeatsLike, m: Metre | MetreName): Beats {
  const whole = beats(floorBeats(pulses));
  const rest = subtractBeats(pulses, whole);
  const offbeat = isCompound(m) && rest.den === 2;
  return multiplyBeats(addBeats(whole, offbeat ? beatsOf(2, 3) : rest), pulseLength(m));
}

/** Where a moment lies: bar and beat counted from 1 as musicians do; bar 0 is the pickup. */
export interface BarPosition {
  /** 1 for the first full bar, 0 for a pickup bar. */
  readonly bar: number;
  /** Pulses from the start of the bar, counted from 1: the second swung eighth of beat 3 is 7/2. */
  readonly beat: Beats;
  /** Quarter notes from the start of the bar. */
  readonly offset: Beats;
}

/**
 * The bar and beat of a moment. Beats of a pickup count back from the first bar line, so that a pickup on the
 * last beat of 4/4 lies on beat 4 of bar 0.
 *
 * @param at - quarter notes from the first bar line; negative inside a pickup
 * @param m - the metre
 *
 * @example
 * ```ts
 * import { beats, metre } from "hands-together";
 * import { barPosition } from "hands-together/time";
 *
 * const { bar, beat } = barPosition(beats("23/3"), metre("4/4"));
 * bar; // => 2
 * beat; // => { num: 14, den: 3 }
 * ```
 */
export function barPosition(at: BeatsLike, m: Metre | MetreName): BarPosition {
  const length = barLength(m);
  const bars = floorBeats(divideBeats(at, length));
  const offset = subtractBeats(at, multiplyBeats(length, beats(bars)));
  return { bar: bars + 1, beat: addBeats(divideBeats(offset, pulseLength(m)), beats(1)), offset };
}

/**
 * The moment at which a bar starts, in quarter notes from the first bar line.
 *
 * @param bar - 1 for the first full bar
 *
 * @example
 * ```ts
 * import { metre } from "hands-together";
 * import { barStart } from "hands-together/time";
 *
 * barStart(3, metre("4/4")); // => { num: 8, den: 1 }
 * ```
 */
export function barStart(bar: number, m: Metre | MetreName): Beats {
  if (Number.isSafeInteger(bar)) return multiplyBeats(barLength(m), beats(bar - 1));
  throw new MusicError({ code: "time/argument", input: bar, expected: "the whole number of a bar" });
}

/**
 * The moment inside a bar at which a long note is cut so that the pulse stays visible: the middle of a bar of four, of six or of
 * twelve, and none where pulses are odd in number or are but two plain ones.
 */
export const middleOfBar = (m: Metre): Beats | undefined => {
  const pulses = divideBeats(barLength(m), pulseLength(m)).num;
  return pulses % 2 === 0 && (pulses > 2 || isCompound(m)) ? multiplyBeats(barLength(m), beats("1/2")) : undefined;
};
