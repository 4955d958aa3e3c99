import type { NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import type { BeatsLike } from "../time/index.ts";
import { beats, beatsToNumber } from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import { eachCharge } from "./cost.ts";
import { eventsTask } from "./line.ts";
import type { LineFingeringOptions } from "./options.ts";
import { heightAt } from "./reading.ts";
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
// Ours, all of it. Rules compare fingers, so what all fingers share costs nothing there: a key that is struck, and a semitone that a hand travels.
const STROKE = 20;
const TRAVEL = 6;
// A hand can always be lifted and set down anew, whatever the rules say of going there legato.
const LIFT = 40;
// In more time than this a way is the easier by as much.
const AT_ONCE = 0.25;

const oneDecimal = (points: number): number => Math.round(points * 10) / 10;

/**
 * How hard a passage lies under a hand, bar by bar: what its best fingers cost in the busiest second that begins in the bar.
 *
 * 20 points for each key that is struck, and what it costs to get there: the points of the rules (`"standard"` unless others are asked for), but for
 * the two that only keep habits, `scale-pattern` and `sequence-pattern`; at least 6 for each semitone that the hand travels, and at most 40 more, since it
 * can be lifted and set down anew; less where there is more than a quarter of a second for it, half in half a second. What is faster is as hard or harder. It sees
 * fingers, spans, turns and leaps, and neither rhythm nor how the hands go together. It compares passages and is no measure of a hand's health: stop
 * at pain, and ask a teacher or a clinician.
 *
 * Source: ours; what it was tried on is in docs/fingering.md.
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
  const charged = new Float64Array(line.notes.length);
  eachCharge(model, passage, solveOpen(model, passage), false, (rule, note, cost) => {
    if (!HABITS.has(rule)) charged[note] = (charged[note] ?? 0) + cost;
  });
  const points = new Map<number, number>();
  let before: { readonly at: number; readonly height: number } | undefined;
  for (const { keys } of passage.moments) {
    const struck = keys.filter((key) => key.struck);
    const [first] = struck;
    if (first === undefined) continue;
    const { at: moment } = nth(events, nth(line.notes, first.note).event);
    const at = moment.num / moment.den;
    const height = struck.reduce((sum, { note }) => sum + heightAt(passage.keys, note), 0) / struck.length;
    const rules = struck.reduce((sum, { note }) => sum + nth(charged, note), 0);
    let cost = STROKE * struck.length;
    if (before !== undefined) {
      const way = TRAVEL * Math.abs(height - before.height);
      const move = Math.min(Math.max(rules, way), LIFT + way);
      const seconds = (at - before.at) * beat;
      cost += move * (seconds > AT_ONCE ? AT_ONCE / seconds : 1);
    }
    points.set(at, (points.get(at) ?? 0) + cost);
    before = { at, height };
  }
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
