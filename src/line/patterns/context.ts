import type { Pitch } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { DraftPhrase } from "../draft.ts";
import type { Grid, LineValues } from "../grid.ts";
import type { ChordSlot } from "../harmony.ts";

/** What an exercise is built from. */
export interface PatternContext {
  readonly scale: Scale;
  readonly grid: Grid;
  readonly values: LineValues;
  /** Which way the line sets out. */
  readonly direction: "up" | "down";
  /** From the bottom tonic to the top tonic. */
  readonly ladder: readonly Pitch[];
  /** No note lies below it or above; absent where nothing was asked for. */
  readonly lowest?: Pitch | undefined;
  readonly highest?: Pitch | undefined;
  /** Notes of the scale in an octave. */
  readonly size: number;
  /** The chords of one turn of the progression; empty for exercises that do not look at them. */
  readonly chords: readonly ChordSlot[];
  /** The bars of one turn of the progression. */
  readonly bars: number;
  /** The beat, counted from 1, on which the exercise rests; each in turn where absent. */
  readonly restOn?: number;
}

/** How an exercise is made: the phrases of one round, which is then repeated. */
export type Pattern = (context: PatternContext) => readonly DraftPhrase[];

/** The same figure rising and falling, in the order that was asked for. */
export const bothWays = <T>(
  context: PatternContext,
  ladder: readonly T[],
  phrase: (ladder: readonly T[]) => DraftPhrase,
): readonly DraftPhrase[] => {
  const rising = phrase(ladder);
  const falling = phrase(ladder.toReversed());
  return context.direction === "up" ? [rising, falling] : [falling, rising];
};

/** Whether a note of a ladder is a blue note: the next above it has the same letter, as E♭ below E. */
export const isBlue = (ladder: readonly Pitch[], index: number): boolean => {
  const above = ladder[index + 1];
  return above !== undefined && above.steps === ladder[index]?.steps;
};
