import type { Pitch } from "../pitch/index.ts";
import type { Grid, LineValues } from "./grid.ts";
import { runDurations } from "./grid.ts";

/** A note of a line in the making, in ticks. */
export interface DraftNote {
  readonly at: number;
  readonly duration: number;
  readonly pitch: Pitch;
  /** The pitch of a grace note before it. */
  readonly grace?: Pitch;
  readonly accent?: true;
}

/** A stretch of whole bars with one phrase in it; ticks count from its own start. */
export interface DraftPhrase {
  readonly bars: number;
  readonly notes: readonly DraftNote[];
}

/** A tone to be set in time: a pitch with, perhaps, a grace note. */
export interface Tone {
  readonly pitch: Pitch;
  readonly grace?: Pitch;
}

/**
 * A run of tones from a moment, the last of them held to the end of its bar, which it fills for at least a beat;
 * where less than a beat is left, it is held through the next bar.
 */
export const runAndHold = (tones: readonly Tone[], values: LineValues, grid: Grid, from = 0): DraftPhrase => {
  const lengths = runDurations(tones.length - 1, values, grid);
  let at = from;
  const notes = tones.map((tone, i): DraftNote => {
    const duration = lengths[i] ?? holdLength(at, grid);
    const note = { at, duration, ...tone };
    at += duration;
    return note;
  });
  return { bars: at / grid.bar, notes };
};

const holdLength = (at: number, grid: Grid): number => {
  const left = grid.bar - (at % grid.bar);
  return left >= grid.pulse ? left : left + grid.bar;
};

/** A phrase with its last note held for more bars. */
export const holdLonger = (phrase: DraftPhrase, bars: number, grid: Grid): DraftPhrase => ({
  bars: phrase.bars + bars,
  notes: phrase.notes.map((note, i) => (i === phrase.notes.length - 1 ? { ...note, duration: note.duration + bars * grid.bar } : note)),
});
