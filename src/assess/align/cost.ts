/**
 * What an alignment costs. The figures are ours: a slip costs 4, so that a neighbouring key struck by mistake (5) is one wrong note
 * rather than a missed and an extra one (8), while a key far off is both; three slips are borne before the player is thought to have
 * gone back or ahead (10; 13 without a silence). Keys that nothing asks for are slips one by one, but a handful of them is something else
 * that was played, before, after or in between: then they cost 2, and 9 each for leaving and coming back (5 after a silence).
 */
export const COST = {
  /** An asked note that nothing was played for. */
  missed: 4,
  /** A grace note left out. */
  missedGrace: 2,
  /** A played note that nothing asks for. */
  extra: 4,
  /** Going back or ahead to any place of the score, in either hand or both. */
  jump: 10,
  /** The same where no silence speaks for it. */
  seamless: 13,
  /** Leaving the score, to try something out, or coming back to any place of it. */
  leave: 9,
  /** The same after a silence. */
  depart: 5,
  /** A key struck meanwhile. */
  aside: 2,
} as const;

/** How far one hand may be ahead of the other, in quarter notes. */
export const APART = 1;

/** Quarter notes off its place at which a right note costs as much as a missed and an extra one. */
export const WINDOW = 1;

/** What it costs to take one key for another: nothing for the same, nothing reasonable beyond a fifth, the octave aside. */
export const pitchCost = (asked: number, played: number): number => {
  const distance = Math.abs(asked - played);
  if (distance === 0) return 0;
  if (distance <= 2) return 5;
  if (distance === 12) return 6;
  return distance <= 7 ? 7 : Infinity;
};

// A power of two: sums of such parts are exact, so that two readings that cost the same do so at any tempo.
const PARTS = 2 ** 20;

/** What it costs to be off by so many quarter notes: the square, so that a little costs next to nothing. */
export const timeCost = (off: number): number =>
  Math.round(PARTS * (COST.missed + COST.extra) * (off / WINDOW) ** 2) / PARTS;
