import type { Beats, Metre } from "../time/index.ts";
import { barLength, beatsOf, isCompound, pulseLength } from "../time/index.ts";

/**
 * Lines are computed on a grid of ticks, twelve to a quarter note: eighths are 6, triplets 4, sixteenths
 * 3. They become exact beats once, at the end.
 */
export const TICKS = 12;

// Where the beat is an eighth or a sixteenth, its parts are quarters of a tick.
const PARTS = 4;

/** Ticks as exact beats. */
export const ticksToBeats = (ticks: number): Beats => beatsOf(ticks * PARTS, TICKS * PARTS);

/** Beats as ticks; not whole where the moment lies off the grid. */
export const beatsToTicks = (b: Beats): number => (b.num * TICKS) / b.den;

/** A metre in ticks. */
export interface Grid {
  readonly bar: number;
  /** What a foot taps: a quarter, or a dotted quarter in compound metres. */
  readonly pulse: number;
  readonly compound: boolean;
}

/** The grid of a metre. */
export const gridOf = (m: Metre): Grid => ({
  bar: beatsToTicks(barLength(m)),
  pulse: beatsToTicks(pulseLength(m)),
  compound: isCompound(m),
});

/** What the notes of a run are written in: eighths, triplets, or beats of each in turn; in 2/2, where the beat is a half note, quarters and their triplets. */
export type LineValues = "eighths" | "triplets" | "mixed";

const cut = (pulse: number, shares: readonly number[]): readonly number[] => {
  const whole = shares.reduce((sum, share) => sum + share, 0);
  return shares.map((share) => (pulse * share) / whole);
};

/**
 * The lengths of the notes in each beat, as a cycle of beats. Compound metres write their triplets as three
 * eighths, and mix them with a quarter and an eighth.
 */
export const beatCycle = (values: LineValues, grid: Grid): readonly (readonly number[])[] => {
  const thirds = cut(grid.pulse, [1, 1, 1]);
  const pair = grid.compound ? cut(grid.pulse, [2, 1]) : cut(grid.pulse, [1, 1]);
  if (values === "mixed") return [pair, thirds];
  return values === "triplets" || grid.compound ? [thirds] : [pair];
};

const partBeat = (notes: number, grid: Grid): readonly number[] =>
  cut(grid.pulse, notes === 1 ? [1] : grid.compound ? [2, 1] : [1, 1]);

/**
 * The lengths of a run of notes that fills whole beats, so that what follows it lands on a beat. A beat that is
 * not full comes first and its notes are longer.
 */
export const runDurations = (notes: number, values: LineValues, grid: Grid): readonly number[] => {
  const cycle = beatCycle(values, grid);
  const run: number[] = [];
  for (let beat = cycle.length - 1, left = notes; left > 0; beat = (beat + cycle.length - 1) % cycle.length) {
    const full = cycle[beat] as readonly number[];
    const here = left >= full.length ? full : partBeat(left, grid);
    run.unshift(...here);
    left -= here.length;
  }
  return run;
};
