import type { Finger, Hand } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import type { KeyColour, Pitch } from "../pitch/index.ts";
import { keyColour } from "../pitch/index.ts";

/** One side of a crossing: a note, the finger that plays it and the colour of its key. */
export interface CrossingNote {
  readonly pitch: Pitch;
  readonly finger: Finger;
  readonly colour: KeyColour;
}

/** A place where the hand turns: the thumb passes under a finger, or a finger crosses over the thumb. */
export interface Crossing {
  /** Which of the two. */
  readonly kind: "thumb-under" | "cross-over";
  /** Index of the note that the hand turns onto. */
  readonly index: number;
  /** The note that it turns from. */
  readonly from: CrossingNote;
  /** The note that it turns onto. */
  readonly to: CrossingNote;
}

/** A stretch of notes that lie under the hand without a crossing, a slide or a leap. */
export interface HandPosition {
  /** Index of its first note. */
  readonly from: number;
  /** Index of its last note. */
  readonly to: number;
  /** Its lowest note. */
  readonly lowest: Pitch;
  /** Its highest note. */
  readonly highest: Pitch;
}

/** Semitones from one pitch to another as a right hand would play them; a left hand's are turned round. */
export const handInterval = (hand: Hand, from: Pitch, to: Pitch): number =>
  hand === "right" ? to.semitones - from.semitones : from.semitones - to.semitones;

/** Whether two fingers in a row turn the hand, and how. */
export const turnKind = (from: Finger, to: Finger, interval: number): Crossing["kind"] | undefined =>
  to === 1 && from !== 1 && interval > 0
    ? "thumb-under"
    : from === 1 && to !== 1 && interval < 0
      ? "cross-over"
      : undefined;

const side = (pitch: Pitch, finger: Finger): CrossingNote => ({ pitch, finger, colour: keyColour(pitch) });

/**
 * The crossings of a fingering.
 *
 * @param breaks - indices of notes before which the hand is free; no crossing leads to them
 */
export const findCrossings = (
  hand: Hand,
  pitches: readonly Pitch[],
  fingers: readonly Finger[],
  breaks: ReadonlySet<number>,
): readonly Crossing[] => {
  const crossings: Crossing[] = [];
  for (let i = 1; i < pitches.length; i++) {
    if (breaks.has(i)) continue;
    const [from, to] = [nth(pitches, i - 1), nth(pitches, i)];
    const [leaving, arriving] = [nth(fingers, i - 1), nth(fingers, i)];
    const kind = turnKind(leaving, arriving, handInterval(hand, from, to));
    if (kind !== undefined) crossings.push({ kind, index: i, from: side(from, leaving), to: side(to, arriving) });
  }
  return crossings;
};

/** The hand positions of a fingering, in order; together they hold every note once. */
export const findPositions = (
  hand: Hand,
  pitches: readonly Pitch[],
  fingers: readonly Finger[],
  breaks: ReadonlySet<number>,
): readonly HandPosition[] => {
  const positions: HandPosition[] = [];
  let from = 0;
  const close = (to: number): void => {
    const rising = pitches.slice(from, to + 1).sort((a, b) => a.semitones - b.semitones);
    positions.push({ from, to, lowest: nth(rising, 0), highest: nth(rising, -1) });
    from = to + 1;
  };
  for (let i = 1; i < pitches.length; i++) {
    const interval = handInterval(hand, nth(pitches, i - 1), nth(pitches, i));
    const [leaving, arriving] = [nth(fingers, i - 1), nth(fingers, i)];
    // In one position the fingers move as the keys do; anything else sets the hand anew.
    const stays = interval === 0 || Math.sign(arriving - leaving) === Math.sign(interval);
    if (breaks.has(i) || !stays) close(i - 1);
  }
  close(pitches.length - 1);
  return positions;
};
