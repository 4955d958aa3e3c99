import type { Finger, Hand } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, keyColour, noteName } from "../pitch/index.ts";
import { handInterval, turnKind } from "./crossings.ts";
import { isSlide } from "./rules.ts";

const named = (p: Pitch): string => formatPitch(noteName(p));
const playing = (finger: Finger): string => (finger === 1 ? "thumb" : String(finger));

/** What a teacher would say at a note of a chord. */
export const chordSentence = (p: Pitch, finger: Finger, lowest: boolean): string =>
  `${lowest ? "together: " : "with it "}${playing(finger)} on ${named(p)}`;

/** What a teacher would say at a note over or under others that are held. */
export const heldSentence = (p: Pitch, finger: Finger, held: readonly string[]): string =>
  `${held.join(" and ")} held: ${playing(finger)} on ${named(p)}`;

/** What a teacher would say at a note of a line. */
export const sentenceFor = (
  hand: Hand,
  pitches: readonly Pitch[],
  fingers: readonly Finger[],
  index: number,
  breaks: ReadonlySet<number>,
  free: boolean,
): string => {
  const to = nth(pitches, index);
  const finger = nth(fingers, index);
  if (index === 0) return `start with ${finger === 1 ? "the thumb" : finger} on ${named(to)}`;
  if (free) return `the hand is free: ${playing(finger)} on ${named(to)}`;
  if (breaks.has(index)) return `after it ${playing(finger)} on ${named(to)}`;
  const from = nth(pitches, index - 1);
  const leaving = nth(fingers, index - 1);
  const interval = handInterval(hand, from, to);
  const turn = turnKind(leaving, finger, interval);
  if (turn === "thumb-under") return `thumb under onto ${named(to)} after ${leaving} on ${named(from)}`;
  if (turn === "cross-over") return `${finger} over the thumb onto ${named(to)} after ${named(from)}`;
  if (interval === 0)
    return leaving === finger
      ? `${playing(finger)} again on ${named(to)}`
      : `change to ${playing(finger)} on ${named(to)}`;
  if (leaving === finger && isSlide(keyColour(from) === "black", keyColour(to) === "black", interval)) {
    return `slide ${playing(finger)} from ${named(from)} to ${named(to)}`;
  }
  return Math.sign(finger - leaving) === Math.sign(interval)
    ? `${playing(finger)} on ${named(to)}`
    : `move the hand: ${playing(finger)} on ${named(to)}`;
};
