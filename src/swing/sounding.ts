import type { Span } from "../event/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beats, beatsOf, compareBeats, divideBeats, floorBeats, multiplyBeats, subtractBeats } from "../time/index.ts";
import type { Feel } from "./feel.ts";
import { pairLength } from "./feel.ts";

/**
 * The exact sounding moment of a written one.
 *
 * The second note of each pair moves to its place in the ratio; what lies between (sixteenths in swung
 * eighths) moves with it, evenly on each side. Triplets and other tuplets, whose positions have an odd factor
 * in the denominator, stay where they are written. The first note of a pair moves only by the downbeat delay.
 * The feel's own ratio and delay are used; take {@link partFeel} first for a part that plays otherwise.
 *
 * Pairs are counted from the first bar line in quarter notes (eighths for sixteenth swing), so a compound metre,
 * whose eighths are already thirds of its beat, wants a straight feel.
 *
 * @param at - quarter notes from the first bar line; negative in a pickup
 *
 * @example
 * ```ts
 * import { beats, soundingTime, swungFeel } from "hands-together";
 *
 * const swing = swungFeel("2:1");
 * soundingTime(swing, beats("1/2")); // => { num: 2, den: 3 }
 * soundingTime(swing, beats("1/3")); // => { num: 1, den: 3 }
 * ```
 */
export function soundingTime(feel: Feel, at: Beats): Beats {
  return isTuplet(at) ? at : swingTime(feel, at);
}

/**
 * The written moment that sounds at a given one: {@link soundingTime} undone. Because a swung offbeat and a
 * triplet can sound together, say which grid is asked for.
 *
 * @param grid - `"binary"` for eighths and sixteenths, `"tuplet"` for triplets and the like
 *
 * @example
 * ```ts
 * import { beats, swungFeel, writtenTime } from "hands-together";
 *
 * writtenTime(swungFeel("2:1"), beats("2/3"), "binary"); // => { num: 1, den: 2 }
 * ```
 */
export function writtenTime(feel: Feel, at: Beats, grid: "binary" | "tuplet"): Beats {
  if (isUneven(feel) && (grid === "binary" || isPairStart(feel, at))) {
    const { pair, delay, middle } = knots(feel);
    const start = multiplyBeats(pair, beats(floorBeats(divideBeats(subtractBeats(at, delay), pair))));
    const heard = subtractBeats(at, start);
    const half = multiplyBeats(pair, beats("1/2"));
    return addBeats(start, compareBeats(heard, middle) <= 0 ? between(heard, delay, middle, beats(0), half) : between(heard, middle, addBeats(pair, delay), half, pair));
  }
  return at;
}

/**
 * A written span as it sounds: its start and its end moved by {@link soundingTime}. A span inside one pair that
 * touches a tuplet position belongs to a tuplet and keeps both ends, so that the fourth of six sixteenths does
 * not swing.
 *
 * @example
 * ```ts
 * import { beats, soundingSpan, swungFeel } from "hands-together";
 *
 * soundingSpan(swungFeel("2:1"), { at: beats("1/2"), duration: beats("1/2") }).duration; // => { num: 1, den: 3 }
 * ```
 */
export function soundingSpan(feel: Feel, span: Span): Span {
  const end = addBeats(span.at, span.duration);
  const inTuplet = (isTuplet(span.at) || isTuplet(end)) && samePair(feel, span.at, end);
  const from = inTuplet && !isPairStart(feel, span.at) ? span.at : soundingTime(feel, span.at);
  const to = inTuplet && !isPairStart(feel, end) ? end : soundingTime(feel, end);
  return { at: from, duration: subtractBeats(to, from) };
}

const isUneven = (feel: Feel): boolean => feel.ratio.first !== feel.ratio.second || feel.downbeatDelay !== undefined;

// A denominator with an odd factor lies on a tuplet's grid.
const isTuplet = (at: Beats): boolean => (at.den & (at.den - 1)) !== 0;

const isPairStart = (feel: Feel, at: Beats): boolean => divideBeats(at, pairLength(feel.unit)).den === 1;

const samePair = (feel: Feel, from: Beats, to: Beats): boolean => {
  const pair = pairLength(feel.unit);
  const next = multiplyBeats(pair, beats(floorBeats(divideBeats(from, pair)) + 1));
  return compareBeats(to, next) <= 0;
};

/** Where the start, the middle and the end of a pair sound, counted from its written start. */
const knots = (feel: Feel): { pair: Beats; delay: Beats; middle: Beats } => {
  const pair = pairLength(feel.unit);
  const { first, second } = feel.ratio;
  return { pair, delay: feel.downbeatDelay ?? beats(0), middle: multiplyBeats(pair, beatsOf(first, first + second)) };
};

const swingTime = (feel: Feel, at: Beats): Beats => {
  if (!isUneven(feel)) return at;
  const { pair, delay, middle } = knots(feel);
  const start = multiplyBeats(pair, beats(floorBeats(divideBeats(at, pair))));
  const written = subtractBeats(at, start);
  const half = multiplyBeats(pair, beats("1/2"));
  const heard = compareBeats(written, half) <= 0
    ? between(written, beats(0), half, delay, middle)
    : between(written, half, pair, middle, addBeats(pair, delay));
  return addBeats(start, heard);
};

/** The point of [toLow, toHigh] that lies as far along it as `x` along [fromLow, fromHigh]. */
const between = (x: Beats, fromLow: Beats, fromHigh: Beats, toLow: Beats, toHigh: Beats): Beats => {
  const share = divideBeats(subtractBeats(x, fromLow), subtractBeats(fromHigh, fromLow));
  return addBeats(toLow, multiplyBeats(share, subtractBeats(toHigh, toLow)));
};
