import { needOptions } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Beats, BeatsLike } from "./beats.ts";
import {
  addBeats,
  beats,
  beatsIn,
  beatsOf,
  compareBeats,
  divideBeats,
  equalBeats,
  floorBeats,
  formatBeats,
  minBeats,
  multiplyBeats,
  subtractBeats,
} from "./beats.ts";
import type { Metre, MetreName } from "./metre.ts";
import { barLength, barPosition, isCompound, metreIn, middleOfBar, pulseLength } from "./metre.ts";

/** Note types by the names of MusicXML 4.0 (`note-type-value`). */
export type NoteType = "whole" | "half" | "quarter" | "eighth" | "16th" | "32nd" | "64th";

/** So many notes in the time of so many: 3 in the time of 2 for the triplet. */
export interface Tuplet {
  readonly actual: number;
  readonly normal: number;
}

/** A printable note value. */
export interface NoteValue {
  readonly type: NoteType;
  readonly dots: 0 | 1;
  readonly tuplet?: Tuplet;
}

/** One printable piece of a sounding note; pieces after the first are tied to the one before. */
export interface NotatedPiece {
  /** Quarter notes from the first bar line. */
  readonly at: Beats;
  /** Sounding length in quarter notes. */
  readonly duration: Beats;
  readonly value: NoteValue;
}

const TYPES: readonly (readonly [NoteType, Beats])[] = [
  ["whole", beats(4)],
  ["half", beats(2)],
  ["quarter", beats(1)],
  ["eighth", beats("1/2")],
  ["16th", beats("1/4")],
  ["32nd", beats("1/8")],
  ["64th", beats("1/16")],
];

// Far longer than any note; each bar makes a piece.
const NONE: NotateOptions = {};
const LONGEST = 10_000;

const TUPLETS: ReadonlyMap<number, Tuplet> = new Map([
  [3, { actual: 3, normal: 2 }],
  [5, { actual: 5, normal: 4 }],
  [7, { actual: 7, normal: 4 }],
]);

/**
 * The sounding length of a note value in quarter notes.
 *
 * @throws MusicError `time/value` when the type is none of {@link NoteType}
 *
 * @example
 * ```ts
 * import { valueLength } from "hands-together/time";
 *
 * valueLength({ type: "eighth", dots: 0, tuplet: { actual: 3, normal: 2 } }); // => { num: 1, den: 3 }
 * valueLength({ type: "quarter", dots: 1 }); // => { num: 3, den: 2 }
 * ```
 */
export function valueLength(value: NoteValue): Beats {
  const { type, dots, tuplet }: Partial<NoteValue> = Object(value);
  const plain = TYPES.find(([name]) => name === type)?.[1];
  if (plain === undefined || (dots !== 0 && dots !== 1) || (tuplet !== undefined && !isTuplet(tuplet)))
    throw new MusicError({ code: "time/value", input: value, expected: "a note value from whole to 64th" });
  const dotted = dots === 1 ? multiplyBeats(plain, beats("3/2")) : plain;
  return tuplet === undefined ? dotted : multiplyBeats(dotted, beatsOf(tuplet.normal, tuplet.actual));
}

const isTuplet = (value: unknown): value is Tuplet => {
  const { actual, normal }: Partial<Tuplet> = Object(value);
  return [actual, normal].every((n) => Number.isInteger(n) && Number(n) >= 1 && Number(n) <= 64);
};

/** Options of {@link notate}. */
export interface NotateOptions {
  /** Rests are never dotted in simple metres and never cross the middle of the bar. @defaultValue false */
  readonly rest?: boolean | undefined;
}

/**
 * Cuts a sounding note into printable values, tied at bar lines, at the middle of the bar and at the beat.
 *
 * A note may run across beats only when it starts on one, and across the dotted beats of compound metres only for a
 * whole number of them; across the middle only as a whole note, as a dotted half from the first or second quarter of the bar, or in 4/4 as a half
 * from the second (quarter, half, quarter). Source: common practice, as in Gould, E. (2011), Behind Bars, "Rhythmic notation" (cited from memory).
 *
 * @param at - quarter notes from the first bar line; negative in a pickup
 * @param duration - sounding length in quarter notes, above zero
 * @param m - the metre
 * @returns the pieces in order; their lengths add up to the duration
 * @throws MusicError `time/value` when the duration is not above zero, or is above 10,000, or when a piece has no printable value
 *
 * @example
 * ```ts
 * import { beats, metre } from "hands-together";
 * import { notate } from "hands-together/time";
 *
 * // An eighth-note anticipation of beat 3, held to the end of the bar.
 * notate(beats("3/2"), beats("5/2"), metre("4/4")).map((piece) => piece.value.type); // => ["eighth", "half"]
 * ```
 */
export function notate(
  at: BeatsLike,
  duration: BeatsLike,
  m: Metre | MetreName,
  options: NotateOptions = NONE,
): readonly NotatedPiece[] {
  if (options !== NONE)
    needOptions(options, { rest: [(rest) => typeof rest === "boolean", "true or false"] }, "time/argument");
  const length = beatsIn(duration);
  if (length.num <= 0 || compareBeats(length, LONGEST) > 0) {
    throw new MusicError({
      code: "time/value",
      input: formatBeats(length),
      expected: `a duration above zero, at most ${LONGEST} quarter notes`,
    });
  }
  const pieces: NotatedPiece[] = [];
  const end = addBeats(at, length);
  const own = metreIn(m);
  let from = beatsIn(at);
  while (compareBeats(from, end) < 0) {
    const piece = nextPiece(from, end, own, options.rest === true);
    pieces.push(piece);
    from = addBeats(from, piece.duration);
  }
  return pieces;
}

const nextPiece = (from: Beats, end: Beats, m: Metre, rest: boolean): NotatedPiece => {
  const bar = barLength(m);
  const pulse = pulseLength(m);
  const { offset } = barPosition(from, m);
  const inBar = minBeats(subtractBeats(end, from), subtractBeats(bar, offset));
  const pulses = divideBeats(offset, pulse);
  const onPulse = pulses.den === 1;
  const longest = onPulse
    ? inBar
    : minBeats(inBar, subtractBeats(multiplyBeats(pulse, beats(floorBeats(pulses) + 1)), offset));
  const middle = middleOfBar(m);
  const beforeMiddle = middle !== undefined && compareBeats(offset, middle) < 0;
  const dottedHalf =
    !rest &&
    equalBeats(longest, beats(3)) &&
    (offset.num === 0 || (equalBeats(offset, beats(1)) && equalBeats(bar, beats(4))));
  const syncopated =
    !rest && m.count === 4 && m.unit === 4 && equalBeats(offset, beats(1)) && equalBeats(longest, beats(2));
  const wholeWay = dottedHalf || syncopated || (offset.num === 0 && equalBeats(longest, bar));
  const limit = beforeMiddle && !wholeWay ? minBeats(longest, subtractBeats(middle, offset)) : longest;
  const undotted = rest && !isCompound(m);
  const value = onPulse ? valueFromPulse(limit, pulse, m, undotted) : valueInPulse(offset, limit, m, undotted);
  return { at: from, duration: valueLength(value), value };
};

// From a pulse: a value that fits exactly, else the longest that ends on a pulse, else part of the pulse. Across dotted pulses only whole ones.
const valueFromPulse = (limit: Beats, pulse: Beats, m: Metre, undotted: boolean): NoteValue => {
  const exact = isCompound(m) ? undefined : exactValue(limit, undotted);
  if (exact !== undefined) return exact;
  for (let pulses = floorBeats(divideBeats(limit, pulse)); pulses >= 1; pulses--) {
    const value = exactValue(multiplyBeats(pulse, beats(pulses)), undotted);
    if (value !== undefined) return value;
  }
  return valueInPulse(beats(0), limit, m, undotted);
};

// Inside a pulse: the tuplet is the one whose grid the start and the end lie on, and it never reaches beyond what it divides.
const valueInPulse = (offset: Beats, limit: Beats, m: Metre, undotted: boolean): NoteValue => {
  const plain = oddPart(offset.den) === 1 && oddPart(addBeats(offset, limit).den) === 1;
  const cell = dividedBy(offset, addBeats(offset, limit), m);
  const within = multiplyBeats(cell, beats(floorBeats(divideBeats(offset, cell)) + 1));
  const length = plain ? limit : minBeats(limit, subtractBeats(within, offset));
  const tuplet = tupletOf(offset, length);
  const stretch = tuplet === undefined ? length : multiplyBeats(length, beatsOf(tuplet.actual, tuplet.normal));
  const longest = longestValue(stretch, undotted);
  if (longest === undefined) throw unprintable(length);
  return tuplet === undefined ? longest : { ...longest, tuplet };
};

// A tuplet divides a quarter, an eighth where the metre counts those, and a half note where it counts halves and both ends lie on the thirds, fifths
// or sevenths of one: three quarters in the time of a half.
const dividedBy = (from: Beats, to: Beats, m: Metre): Beats => {
  const half = pulseLength(m);
  return m.unit === 2 && TUPLETS.has(lcm(divideBeats(from, half).den, divideBeats(to, half).den))
    ? half
    : beatsOf(4, Math.max(m.unit, 4));
};

const tupletOf = (offset: Beats, length: Beats): Tuplet | undefined => {
  const odd = lcm(oddPart(offset.den), oddPart(addBeats(offset, length).den));
  if (odd === 1) return undefined;
  const tuplet = TUPLETS.get(odd);
  if (tuplet === undefined) throw unprintable(length);
  return tuplet;
};

const unprintable = (length: Beats): MusicError =>
  new MusicError({
    code: "time/value",
    input: formatBeats(length),
    expected: "a length that notes from whole to 64th, triplets, quintuplets or septuplets can print",
    reason: "cannot-be-done",
  });

const exactValue = (length: Beats, undotted: boolean): NoteValue | undefined => {
  const longest = longestValue(length, undotted);
  return longest !== undefined && equalBeats(valueLength(longest), length) ? longest : undefined;
};

// Dotted only where that is the whole length: the rest of it would have no beat to start on.
const longestValue = (length: Beats, undotted: boolean): NoteValue | undefined => {
  for (const [type, plain] of TYPES) {
    if (!undotted && equalBeats(multiplyBeats(plain, beats("3/2")), length)) return { type, dots: 1 };
    if (compareBeats(plain, length) <= 0) return { type, dots: 0 };
  }
  return undefined;
};

const oddPart = (n: number): number => {
  let odd = n;
  while (odd % 2 === 0) odd /= 2;
  return odd;
};

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
const lcm = (a: number, b: number): number => (a / gcd(a, b)) * b;
