/**
 * Notes in exact time: what lines, comping patterns, fingering and scores all hold.
 *
 * @module event
 */
import type { Pitch } from "../pitch/index.ts";
import type { Beats } from "../time/index.ts";

/** A pianist's hand. */
export type Hand = "left" | "right";

/** A finger by its number: 1 is the thumb, 5 the little finger. */
export type Finger = 1 | 2 | 3 | 4 | 5;

/** A short note played just before the beat of the event that it decorates. */
export interface GraceNote {
  readonly pitch: Pitch;
  /** `"slide"`: one finger slips from this (black) key to the main note; `"crushed"`: a finger of its own. */
  readonly style: "slide" | "crushed";
  readonly finger?: Finger;
}

/** A stretch of time in quarter notes from the first bar line. */
export interface TimeSpan {
  /** Start; negative inside a pickup. */
  readonly at: Beats;
  /** Length as written, above zero. */
  readonly duration: Beats;
}

/** One or more pitches struck together by one hand. */
export interface NoteEvent extends TimeSpan {
  /** From low to high; one for a note of a line. */
  readonly pitches: readonly Pitch[];
  /** One finger a pitch, in the same order. */
  readonly fingers?: readonly Finger[];
  /** Grace notes before the event, in the order in which they are played. */
  readonly graces?: readonly GraceNote[];
  readonly articulation?: "accent" | "staccato";
  /** MIDI velocity, 1 to 127; the writer's default where absent. */
  readonly velocity?: number;
}
