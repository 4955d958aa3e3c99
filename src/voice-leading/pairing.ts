import type { VoiceLeadingMetric } from "./metric.ts";
import { joined } from "./metric.ts";

/** Which note of one chord goes to which of another, by index from the lowest. */
export type Pairing = readonly (readonly [from: number, to: number])[];

/**
 * The smallest voice leading between two rising lists of semitones.
 *
 * Chords of one size: lowest to lowest and so on up; no crossing of voices can be smaller for any of the metrics
 * (Tymoczko 2006). Chords of two sizes: the smaller one's notes are doubled until each note of the larger has a
 * partner, and every note of both is used. Equal answers double the lowest notes.
 */
export const bestPairing = (from: readonly number[], to: readonly number[], metric: VoiceLeadingMetric): Pairing => {
  if (from.length < to.length) return bestPairing(to, from, metric).map(([l, s]) => [s, l]);
  // The smallest largest move first, then the smallest sum that keeps it.
  const ceiling = metric === "largest" ? doubled(from, to, "largest", Infinity).size : Infinity;
  return doubled(from, to, metric === "largest" ? "sum" : metric, ceiling).pairing;
};

// Dynamic programme over the larger chord's notes: the partner is that of the note below, or the next one up.
const doubled = (
  large: readonly number[],
  small: readonly number[],
  metric: VoiceLeadingMetric,
  ceiling: number,
): { readonly size: number; readonly pairing: Pairing } => {
  const rows: number[][] = [];
  large.forEach((note, i) => {
    const below = rows[i - 1];
    rows.push(
      small.map((partner, j) => {
        const move = note - partner;
        if (Math.abs(move) > ceiling) return Infinity;
        const before =
          below === undefined ? (j === 0 ? 0 : Infinity) : Math.min(below[j] ?? 0, below[j - 1] ?? Infinity);
        return joined(metric, before, move);
      }),
    );
  });
  const size = (rows.at(-1) ?? []).at(-1) ?? 0;
  const pairing: [number, number][] = [];
  let j = small.length - 1;
  for (let i = large.length - 1; i >= 0; i--) {
    pairing.unshift([i, j]);
    // From the top down, a partner of its own where that costs no more: doubling is left to the lowest notes.
    const below = rows[i - 1] ?? [];
    if (j > 0 && (below[j - 1] ?? 0) <= (below[j] ?? 0)) j--;
  }
  return { size, pairing };
};
