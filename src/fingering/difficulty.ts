import type { NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import type { BeatsLike } from "../time/index.ts";
import { beats, beatsToNumber } from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import { eachCharge } from "./cost.ts";
import { eventsTask } from "./line.ts";
import { MOVED } from "./model.ts";
import type { LineFingeringOptions } from "./options.ts";
import { stepAt } from "./reading.ts";
import { difficultyOptions, requireHand, requireOptions } from "./shape.ts";
import { solveOpen } from "./solve.ts";
import { eventsIn } from "./task.ts";

/** What {@link fingerDifficulty} is asked. */
export interface FingerDifficultyOptions extends LineFingeringOptions {
  /** Length of a bar. @defaultValue 4 */
  readonly bar?: BeatsLike | undefined;
}

/** How hard one bar lies under a hand. */
export interface BarDifficulty {
  /** From 1; 0 and below for what leads in. */
  readonly bar: number;
  /** What the fingers cost in its busiest second, in points. */
  readonly difficulty: number;
}

/** How hard a passage lies under a hand. */
export interface FingerDifficulty {
  readonly kind: "finger-difficulty";
  /** The bars in which something is struck. */
  readonly bars: readonly BarDifficulty[];
  /** The mean of these bars. */
  readonly difficulty: number;
  /** The hardest of them. */
  readonly hardest: BarDifficulty;
}

// What habit asks for is no strain of the hand: leaving it costs no effort at the keys.
const HABITS: ReadonlySet<string> = new Set(["scale-pattern", "sequence-pattern"]);
const LONGEST_BAR = 1000;
// Seconds that are exact fractions, as numbers.
const ALMOST = 1e-9;
// Rules compare fingers, so what all fingers share costs nothing there. Ours: a key that is struck, and a semitone that a hand travels as it is.
const STROKE = 10;
const TRAVEL = 6;

const oneDecimal = (points: number): number => Math.round(points * 10) / 10;

/**
 * How hard a passage lies under a hand, bar by bar: what its best fingers cost in the busiest second that begins in the bar.
 *
 * The points are those of the rules (`"standard"` unless others are asked for), but for the two that only keep habits, `scale-pattern` and
 * `sequence-pattern`; and 10 for each key that is struck, 6 for each semitone that a chord travels as it is. What is faster is as hard or harder. It sees fingers, spans, turns and leaps, and neither rhythm nor how the
 * hands go together. It compares passages and is no measure of a hand's health: stop at pain, and ask a teacher or a clinician.
 *
 * Source: ours; how it orders what is taught in a common order, and what it was not tried on, is in docs/fingering.md.
 *
 * @param notes - pitches or their names, each a quarter note, or events in time
 * @throws MusicError as `fingerPassage`, and `fingering/bar` for a bar of no length or longer than 1000 quarter notes
 *
 * @example
 * ```ts
 * import { fingerDifficulty } from "hands-together/fingering";
 *
 * const steps = fingerDifficulty("C4 D4 E4 F4 G4 F4 E4 D4", { hand: "right", tempo: 100 });
 * const thirds = fingerDifficulty("C4+E4 D4+F4 E4+G4 F4+A4", { hand: "right", tempo: 100 });
 * steps.bars.map(({ bar }) => bar); // => [1, 2]
 * thirds.difficulty > steps.difficulty; // => true
 * ```
 */
export function fingerDifficulty(
  notes: readonly (Pitch | PitchName)[] | string | readonly NoteEvent[],
  options: FingerDifficultyOptions,
): FingerDifficulty {
  requireOptions(difficultyOptions, options);
  requireHand(options.hand);
  const { bar: given = 4, ...asked } = options;
  const bar = isBeats(given) ? given : beats(given);
  if (bar.num <= 0 || beatsToNumber(bar) > LONGEST_BAR) {
    throw new MusicError({
      code: "fingering/bar",
      input: given,
      expected: `a bar longer than 0 and of at most ${LONGEST_BAR} quarter notes`,
    });
  }
  return difficultyOf(eventsIn(notes), asked, beatsToNumber(bar));
}

/** The same, of what was looked at. */
export const difficultyOf = (
  events: readonly NoteEvent[],
  options: LineFingeringOptions,
  bar: number,
): FingerDifficulty => {
  const task = eventsTask(events, options);
  const { model, passage, line } = task;
  const beat = 60 / (options.tempo ?? 120);
  const points = new Map<number, number>();
  const give = (note: number, cost: number): void => {
    const { at } = nth(events, nth(line.notes, note).event);
    const beats = at.num / at.den;
    points.set(beats, (points.get(beats) ?? 0) + cost);
  };
  passage.moments.forEach(({ keys }, i) => {
    const struck = keys.filter((key) => key.struck);
    const travel = passage.kinds[i] === MOVED ? Math.abs(stepAt(passage.innerMoves, i)) : 0;
    for (const { note } of struck) give(note, STROKE);
    give(struck[0]?.note ?? 0, TRAVEL * travel);
  });
  eachCharge(model, passage, solveOpen(model, passage), false, (rule, note, cost) => {
    if (!HABITS.has(rule)) give(note, cost);
  });
  const onsets = [...points].sort(([a], [b]) => a - b);
  const busiest = new Map<number, number>();
  let [to, sum] = [0, 0];
  for (const [at, own] of onsets) {
    for (; to < onsets.length && (nth(onsets, to)[0] - at) * beat < 1 - ALMOST; to++) sum += nth(onsets, to)[1];
    const one = Math.floor(at / bar) + 1;
    busiest.set(one, Math.max(busiest.get(one) ?? 0, sum));
    sum -= own;
  }
  const bars = [...busiest].map(([one, most]): BarDifficulty => ({ bar: one, difficulty: oneDecimal(most) }));
  return {
    kind: "finger-difficulty",
    bars,
    difficulty: oneDecimal(bars.reduce((sum, { difficulty }) => sum + difficulty, 0) / bars.length),
    hardest: bars.reduce((most, one) => (one.difficulty > most.difficulty ? one : most)),
  };
};
