import { attempt } from "../ground/attempt.ts";
import { exerciseLine } from "../line/index.ts";
import type { DrillRecipe } from "../recipe/index.ts";
import { parseDrillRecipe } from "../recipe/index.ts";
import { barsAfter, changesOf, scaleOf } from "../recipe/inner.ts";
import { addBeats, barLength, beatsToNumber } from "../time/index.ts";
import { barStartInMetres } from "../time/inner.ts";

/** What a drill will come to. */
export interface DrillEstimate {
  /** Full bars; exact. */
  readonly bars: number;
  /** Chords, each time that it comes. */
  readonly chords: number;
  /** Notes of all parts, within a factor of two. */
  readonly notes: number;
  /** Of one core of 2020, once the library is warm: a guide for queues and for limits, within a factor of four. */
  readonly milliseconds: number;
}

// As in drill/hands.ts: an improvised line has at least so many bars.
const BARS_FOR_A_LINE = 8;
// Measured by bench/limits.ts.
const NOTES_A_BAR = { bass: 4, drums: 9, improvised: 5, comping: 2, chord: 3 } as const;
const MS = { start: 8, bar: 1, improvised: 2 } as const;

/**
 * What a drill will come to, told without making it: to refuse a request before its work, to price it, or to choose a queue.
 *
 * @throws MusicError `recipe/drill` for a recipe that can't be read
 *
 * @example
 * ```ts
 * import { estimateDrill } from "hands-together/limits";
 *
 * const { bars, chords } = estimateDrill({ key: "Eb", changes: "blues", repeats: 3 });
 * bars; // => 36
 * chords; // => 36
 * ```
 */
export function estimateDrill(recipe: DrillRecipe): DrillEstimate {
  const full = parseDrillRecipe(recipe);
  const changes = changesOf(full);
  const { right, values = "eighths", octaves, repeats, backing, bars: part } = full;
  const improvised = right === "improvised";
  const exercise =
    improvised || right === "comping"
      ? undefined
      : attempt(() =>
          exerciseLine(right, {
            scale: scaleOf(changes, full),
            progression: changes,
            values,
            ...(octaves && { octaves }),
          }),
        );
  const turns = improvised
    ? Math.max(1, Math.ceil(BARS_FOR_A_LINE / changes.bars))
    : (exercise?.bars ?? changes.bars) / changes.bars;
  const once = part === undefined ? turns * changes.bars : part[1] - part[0] + 1;
  const { tag, last } = barsAfter(full, changes, once);
  const bars = once * repeats + tag + last;
  const again = beatsToNumber(barStartInMetres(changes, changes.bars + 1 - (tag % changes.bars)));
  const inTag =
    Math.floor(tag / changes.bars) * changes.chords.length +
    changes.chords.filter((span) => beatsToNumber(addBeats(span.at, span.duration)) > again + 1e-9).length;
  const chords = Math.round((changes.chords.length * once * repeats) / changes.bars) + (tag === 0 ? 0 : inTag) + last;
  const quarters = beatsToNumber(barLength(changes.metre)) / 4;
  const line =
    exercise === undefined
      ? NOTES_A_BAR[improvised ? "improvised" : "comping"] * bars * quarters
      : (exercise.events.length / exercise.bars) * bars;
  const band = backing === "none" ? 0 : (NOTES_A_BAR.bass + NOTES_A_BAR.drums) * bars * quarters;
  return {
    bars,
    chords,
    notes: Math.round(line + band + NOTES_A_BAR.chord * chords),
    milliseconds: Math.ceil(MS.start + bars * (improvised ? MS.improvised : MS.bar)),
  };
}
