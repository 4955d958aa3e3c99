import type { Pitch } from "../../pitch/index.ts";
import type { DraftNote, DraftPhrase } from "../draft.ts";
import { layOut } from "../draft.ts";
import { beatCycle, runDurations } from "../grid.ts";
import type { Pattern, PatternContext } from "./context.ts";

const barsFor = (ticks: number, bar: number): number => Math.ceil(ticks / bar);

/** A short run that ends on a note of one beat, and at least a beat of rest after it. */
const statement = (indexes: readonly number[], { ladder, values, grid }: PatternContext): DraftPhrase => {
  const lengths = [...runDurations(indexes.length - 1, values, grid), grid.pulse];
  const notes = layOut(indexes.map((index) => ({ pitch: ladder[index] as Pitch })), lengths);
  return { bars: barsFor(lengths.reduce((sum, length) => sum + length, 0) + grid.pulse, grid.bar), notes };
};

/**
 * A call of five notes and a response in the same rhythm that turns back home; then the call again from two
 * notes higher, and the response that closes on the tonic. In each octave of the range.
 */
export const callAndResponse: Pattern = (context) => {
  const calls = [[0, 1, 2, 3, 4], [4, 3, 2, 1, 0], [2, 3, 4, 5, 4], [3, 4, 2, 1, 0]];
  const octaves = (context.ladder.length - 1) / context.size;
  return Array.from({ length: octaves }, (_, octave) => octave).flatMap((octave) =>
    calls.map((call) => {
      const indexes = call.map((index) => Math.min(index, context.size) + octave * context.size);
      const top = context.ladder.length - 1;
      return statement(context.direction === "up" ? indexes : indexes.map((index) => top - index), context);
    }));
};

const walk = (length: number, top: number, direction: "up" | "down"): readonly number[] => {
  const round = 2 * top;
  return Array.from({ length }, (_, i) => {
    const place = (i + (direction === "up" ? 0 : top)) % round;
    return place <= top ? place : round - place;
  });
};

/**
 * The scale up and down with one beat of each bar silent; the note before the silence lasts a beat. The silent beat
 * moves through the bar, or stays where it is put.
 */
export const restOnABeat: Pattern = ({ ladder, values, grid, direction, restOn }) => {
  const beats = Math.floor(grid.bar / grid.pulse);
  const bars = restOn === undefined ? beats : 4;
  const silent = new Set(Array.from({ length: bars }, (_, bar) => bar * beats + ((restOn ?? bar + 1) - 1)));
  const cycle = beatCycle(values, grid);
  const spots: { at: number; duration: number }[] = [];
  for (let beat = 0; beat < bars * beats; beat++) {
    if (silent.has(beat)) continue;
    const held = silent.has(beat + 1) || beat === bars * beats - 1;
    let at = Math.floor(beat / beats) * grid.bar + (beat % beats) * grid.pulse;
    for (const duration of held ? [grid.pulse] : (cycle[beat % cycle.length] as readonly number[])) {
      spots.push({ at, duration });
      at += duration;
    }
  }
  const indexes = walk(spots.length, ladder.length - 1, direction);
  return [{ bars, notes: spots.map((spot, i): DraftNote => ({ ...spot, pitch: ladder[indexes[i] as number] as Pitch })) }];
};
