/**
 * How the size of a voice leading is measured: `"sum"` of all moves in semitones (taxicab, L1), the `"largest"` single
 * move, or `"euclidean"`, the root of the summed squares (L2).
 */
export type VoiceLeadingMetric = "sum" | "largest" | "euclidean";

export const METRICS: readonly VoiceLeadingMetric[] = ["sum", "largest", "euclidean"];

/** Adds one move to a running size; squares are kept until {@link finished}. */
export const joined = (metric: VoiceLeadingMetric, size: number, move: number): number =>
  metric === "sum" ? size + Math.abs(move) : metric === "largest" ? Math.max(size, Math.abs(move)) : size + move * move;

/** The size of a whole voice leading. */
export const finished = (metric: VoiceLeadingMetric, size: number): number =>
  metric === "euclidean" ? Math.sqrt(size) : size;

export const sizeOf = (metric: VoiceLeadingMetric, moves: readonly number[]): number =>
  finished(
    metric,
    moves.reduce((size, move) => joined(metric, size, move), 0),
  );
