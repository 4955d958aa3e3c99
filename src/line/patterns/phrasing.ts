import { nth } from "../../ground/list.ts";
import type { DraftNote, DraftPhrase } from "../draft.ts";
import { layOut } from "../draft.ts";
import { beatCycle, runDurations } from "../grid.ts";
import type { Pattern, PatternContext } from "./context.ts";
import { isBlue } from "./context.ts";

const barsFor = (ticks: number, bar: number): number => Math.ceil(ticks / bar);

/** A short run that ends on a note of one beat, and at least a beat of rest after it. */
const statement = (indexes: readonly number[], { ladder, values, grid }: PatternContext): DraftPhrase => {
  const lengths = [...runDurations(indexes.length - 1, values, grid), grid.pulse];
  const notes = layOut(
    indexes.map((index) => ({ pitch: nth(ladder, index) })),
    lengths,
  );
  return { bars: barsFor(lengths.reduce((sum, length) => sum + length, 0) + grid.pulse, grid.bar), notes };
};

/**
 * A call of five notes that ends on the fifth and a response in the same rhythm that turns home; then a call round the
 * fifth and a response that closes on the tonic. In each octave of the range; downwards, the call round the fifth comes first.
 */
export const callAndResponse: Pattern = (context) => {
  const { ladder, size, scale, direction } = context;
  const written = (scale.degrees as readonly string[]).indexOf("5");
  const fifth = written > 2 ? written : Math.round((size * 4) / 7);
  const rising = fifth >= 4 ? [fifth - 4, fifth - 3, fifth - 2, fifth - 1, fifth] : [0, 1, 2, fifth + 1, fifth];
  const pairs = [
    [rising, rising.toReversed()],
    [
      [fifth, fifth - 1, fifth, fifth + 1, fifth],
      [fifth - 1, fifth, 2, 1, 0],
    ],
  ];
  const octaves = Array.from({ length: (ladder.length - 1) / size }, (_, octave) => octave * size);
  return (direction === "up" ? octaves : octaves.toReversed()).flatMap((base) =>
    (direction === "up" ? pairs : pairs.toReversed()).flat().map((indexes) =>
      statement(
        indexes.map((index) => base + index),
        context,
      ),
    ),
  );
};

const walk = (length: number, top: number, direction: "up" | "down"): readonly number[] => {
  const round = 2 * top;
  return Array.from({ length }, (_, i) => {
    const place = (i + (direction === "up" ? 0 : top)) % round;
    return place <= top ? place : round - place;
  });
};

/**
 * The scale up and down with one beat of each bar silent; the note before the silence lasts a beat, and passes over a blue
 * note. The silent beat moves through the bar, or stays where it is put.
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
  const indexes = walk(2 * spots.length, ladder.length - 1, direction);
  let next = 0;
  const notes = spots.map((spot): DraftNote => {
    if (spot.duration >= grid.pulse && isBlue(ladder, nth(indexes, next))) next += 1;
    return { ...spot, pitch: nth(ladder, nth(indexes, next++)) };
  });
  return [{ bars, notes }];
};
