import { nth } from "../ground/list.ts";

/** A tempo and where it begins. */
export interface TempoChange {
  readonly ticks: number;
  readonly seconds: number;
  readonly microsecondsPerQuarter: number;
  readonly tempo: number;
}

// Spec. 1.1: 120 quarters a minute where a file says nothing.
const UNSTATED = 500_000;

/** Tempo changes in order of time, with their seconds; the last of several on one tick holds. */
export const tempoMap = (
  changes: readonly { readonly ticks: number; readonly microseconds: number }[],
  ticksPerQuarter: number,
): readonly TempoChange[] => {
  const map: TempoChange[] = [];
  const sorted = [{ ticks: 0, microseconds: UNSTATED }, ...changes].sort((a, b) => a.ticks - b.ticks);
  for (const { ticks, microseconds } of sorted) {
    const before = map.at(-1);
    const seconds = before === undefined ? 0 : before.seconds + elapsed(ticks - before.ticks, before, ticksPerQuarter);
    if (before?.ticks === ticks) map.pop();
    map.push({ ticks, seconds, microsecondsPerQuarter: microseconds, tempo: 60_000_000 / microseconds });
  }
  return map;
};

const elapsed = (ticks: number, tempo: TempoChange, ticksPerQuarter: number): number =>
  (ticks * tempo.microsecondsPerQuarter) / ticksPerQuarter / 1_000_000;

/** A function from ticks to seconds; it finds the tempo by bisection. */
export const secondsAt =
  (map: readonly TempoChange[], ticksPerQuarter: number): ((ticks: number) => number) =>
  (ticks) => {
    let low = 0;
    let high = map.length - 1;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if (nth(map, middle).ticks <= ticks) low = middle;
      else high = middle - 1;
    }
    const tempo = nth(map, low);
    return tempo.seconds + elapsed(ticks - tempo.ticks, tempo, ticksPerQuarter);
  };
