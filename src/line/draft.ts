import { nth } from "../ground/list.ts";
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

/** A stretch of whole bars that holds a phrase, or more than one with silence between; ticks count from its own start. */
export interface DraftPhrase {
  readonly bars: number;
  readonly notes: readonly DraftNote[];
}

/** A tone to be set in time. */
export type Tone = Omit<DraftNote, "at" | "duration">;

/** Tones one after the other from a moment. */
export const layOut = (tones: readonly Tone[], lengths: readonly number[], from = 0): readonly DraftNote[] => {
  let at = from;
  return tones.map((tone, i) => {
    const note = { at, duration: nth(lengths, i), ...tone };
    at += note.duration;
    return note;
  });
};

/** How long a note is held from a moment: to the end of its bar, or of the next where less than a beat is left. */
export const holdLength = (at: number, grid: Grid): number => {
  const left = grid.bar - (at % grid.bar);
  return left >= grid.pulse ? left : left + grid.bar;
};

const swapFirstBeats = (lengths: readonly number[], pulse: number): readonly number[] => {
  const ends: number[] = [];
  let sum = 0;
  lengths.forEach((length, i) => {
    sum += length;
    if (sum === pulse || sum === 2 * pulse) ends.push(i + 1);
  });
  const [first = 0, second = first] = ends;
  return [...lengths.slice(first, second), ...lengths.slice(0, first), ...lengths.slice(second)];
};

/**
 * A run of tones from the start of a bar, the last of them held to the end of its bar, or of the next where less than a beat is left.
 *
 * @param shortStart - the beat that is not full comes second instead of first, so that the first note is not long
 */
export const runAndHold = (tones: readonly Tone[], values: LineValues, grid: Grid, shortStart = false): DraftPhrase => {
  const early = runDurations(tones.length - 1, values, grid);
  const lengths = shortStart ? swapFirstBeats(early, grid.pulse) : early;
  const end = lengths.reduce((sum, length) => sum + length, 0);
  const hold = holdLength(end, grid);
  return { bars: (end + hold) / grid.bar, notes: layOut(tones, [...lengths, hold]) };
};

/**
 * A phrase that takes some bars more: its last note is held on, for at most two bars in all, and the rest is silence.
 */
export const lengthen = (phrase: DraftPhrase, bars: number, grid: Grid): DraftPhrase => ({
  bars: phrase.bars + bars,
  notes: phrase.notes.map((note) => {
    const held = note.at + note.duration === phrase.bars * grid.bar;
    const more = held ? Math.min(bars, Math.max(0, Math.floor((2 * grid.bar - note.duration) / grid.bar))) : 0;
    return { ...note, duration: note.duration + more * grid.bar };
  }),
});
