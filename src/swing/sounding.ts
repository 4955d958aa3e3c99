import type { TimeSpan } from "../event/index.ts";
import { need } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Beats, BeatsLike } from "../time/index.ts";
import {
  addBeats,
  beatsOf,
  compareBeats,
  divideBeats,
  floorBeats,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { beatsIn } from "../time/inner.ts";
import type { Feel } from "./feel.ts";
import { needFeel, pairLength } from "./feel.ts";

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
 * import { beats, swungFeel } from "hands-together";
 * import { soundingTime } from "hands-together/swing";
 *
 * const swing = swungFeel("2:1");
 * soundingTime(swing, beats("1/2")); // => { num: 2, den: 3 }
 * soundingTime(swing, beats("1/3")); // => { num: 1, den: 3 }
 * ```
 */
export function soundingTime(feel: Feel, at: BeatsLike): Beats {
  needFeel(feel);
  return moved(feel, beatsIn(at));
}

const moved = (feel: Feel, at: Beats): Beats => (isTuplet(at) ? at : bend(feel, at, written(feel), heard(feel)));

/**
 * The written moment that sounds at a given one: {@link soundingTime} undone. Because a swung offbeat and a
 * triplet can sound together, say which grid is asked for.
 *
 * @param grid - `"binary"` for eighths and sixteenths, `"tuplet"` for triplets and the like; the first note of a pair, which a
 * downbeat delay moves, is found on either
 *
 * @example
 * ```ts
 * import { beats, swungFeel } from "hands-together";
 * import { writtenTime } from "hands-together/swing";
 *
 * writtenTime(swungFeel("2:1"), beats("2/3"), "binary"); // => { num: 1, den: 2 }
 * ```
 */
export function writtenTime(feel: Feel, at: BeatsLike, grid: "binary" | "tuplet"): Beats {
  needFeel(feel);
  if (grid !== "binary" && grid !== "tuplet")
    throw new MusicError({ code: "swing/argument", input: grid, expected: "binary or tuplet" });
  const own = beatsIn(at);
  const back = bend(feel, own, heard(feel), written(feel));
  return grid === "binary" || isPairStart(feel, back) ? back : own;
}

/**
 * A written span as it sounds: its start and its end moved by {@link soundingTime}. A span inside one pair that
 * touches a tuplet position belongs to a tuplet and keeps both ends, so that the fourth of six sixteenths does
 * not swing.
 *
 * @example
 * ```ts
 * import { beats, swungFeel } from "hands-together";
 * import { soundingSpan } from "hands-together/swing";
 *
 * soundingSpan(swungFeel("2:1"), { at: beats("1/2"), duration: beats("1/2") }).duration; // => { num: 1, den: 3 }
 * ```
 */
export function soundingSpan(feel: Feel, span: TimeSpan): TimeSpan {
  needFeel(feel);
  need(
    (value): value is TimeSpan => typeof value === "object" && value !== null,
    span,
    "swing/argument",
    "a span of time",
  );
  return sounded(feel, { at: beatsIn(span.at), duration: beatsIn(span.duration) });
}

/** As {@link soundingSpan}, of what has been checked. */
export const sounded = (feel: Feel, { at, duration }: TimeSpan): TimeSpan => {
  const end = addBeats(at, duration);
  const pair = pairLength(feel.unit);
  const inTuplet = (isTuplet(at) || isTuplet(end)) && compareBeats(end, addBeats(startOf(at, pair), pair)) <= 0;
  const heardAt = (edge: Beats): Beats => (inTuplet && !isPairStart(feel, edge) ? edge : moved(feel, edge));
  const from = heardAt(at);
  return { at: from, duration: subtractBeats(heardAt(end), from) };
};

// A denominator with an odd factor lies on a tuplet's grid.
const isTuplet = (at: Beats): boolean => (at.den & (at.den - 1)) !== 0;

const isPairStart = (feel: Feel, at: Beats): boolean => divideBeats(at, pairLength(feel.unit)).den === 1;

/** The start of the pair that a moment lies in. */
const startOf = (at: Beats, pair: Beats): Beats => multiplyBeats(pair, beatsOf(floorBeats(divideBeats(at, pair)), 1));

// Start, middle and end of a pair, counted from its written start: as written, and as heard.
type Knots = readonly [Beats, Beats, Beats];
const knots = (feel: Feel, delay: Beats, first: number, second: number): Knots => {
  const pair = pairLength(feel.unit);
  return [delay, multiplyBeats(pair, beatsOf(first, first + second)), addBeats(pair, delay)];
};
const written = (feel: Feel): Knots => knots(feel, ZERO, 1, 1);
const heard = (feel: Feel): Knots => knots(feel, feel.downbeatDelay ?? ZERO, feel.ratio.first, feel.ratio.second);

/** A moment moved as far between two knots as it lies between the two that they come from. */
const bend = (feel: Feel, at: Beats, [low, middle, high]: Knots, [toLow, toMiddle, toHigh]: Knots): Beats => {
  if (feel.ratio.first === feel.ratio.second && feel.downbeatDelay === undefined) return at;
  const start = startOf(subtractBeats(at, low), pairLength(feel.unit));
  const x = subtractBeats(at, start);
  return addBeats(
    start,
    compareBeats(x, middle) <= 0
      ? between(x, low, middle, toLow, toMiddle)
      : between(x, middle, high, toMiddle, toHigh),
  );
};

const between = (x: Beats, low: Beats, high: Beats, toLow: Beats, toHigh: Beats): Beats => {
  const share = divideBeats(subtractBeats(x, low), subtractBeats(high, low));
  return addBeats(toLow, multiplyBeats(share, subtractBeats(toHigh, toLow)));
};
