import type { Finger, NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import { solveDiffering } from "./differ.ts";
import type { Fingering } from "./fingering.ts";
import type { FingeringAlternativesOptions, LineFingeringOptions } from "./options.ts";
import { alternativesOptions, priceOptions, requireOptions } from "./shape.ts";
import { solveOpen, solveRanked } from "./solve.ts";
import type { FingeringTask } from "./task.ts";
import { taskOf } from "./task.ts";

const MOST_ALTERNATIVES = 100;
const MOST_DIFFERING = 5;
const MOST_KEPT = 20_000;

/**
 * The best fingerings of notes, all different, best first; the first is that of `fingerPassage`.
 *
 * By default they differ as a teacher's would: each sets the hand anew at other places than every one before it, not by one finger alone.
 * With `differ: "fingers"` they are simply the cheapest. Among fingerings of equal cost the one with the lower finger at the first note where they
 * differ comes first.
 *
 * @param notes - the notes in the order in which they are played, their names, or events in time
 * @returns as many as were asked, or all there are
 * @throws MusicError as `fingerPassage`, and `fingering/count` when the count is no whole number from 1 to 100 (1 to 5 where they must set the hand
 *   elsewhere), or (cannot be done) when alternatives times notes are more than 20,000
 *
 * @example
 * ```ts
 * import { fingerAlternatives } from "hands-together";
 *
 * const [first, second] = fingerAlternatives("C4 D4 E4 F4 G4 A4", { hand: "right", count: 2 });
 * first?.crossings.length !== second?.crossings.length || first?.crossings[0]?.index !== second?.crossings[0]?.index; // => true
 * (second?.cost ?? 0) >= (first?.cost ?? 0); // => true
 * ```
 */
export function fingerAlternatives(
  notes: readonly (Pitch | PitchName)[] | string | readonly NoteEvent[],
  options: FingeringAlternativesOptions,
): readonly Fingering[] {
  requireOptions(alternativesOptions, options);
  const { count = 3, differ = options.loop === true ? "fingers" : "positions", ...asked } = options;
  const task = taskOf(notes, asked);
  const most = differ === "positions" ? MOST_DIFFERING : MOST_ALTERNATIVES;
  if (!Number.isInteger(count) || count < 1 || count > most) {
    throw new MusicError({ code: "fingering/count", input: count, expected: `a whole number from 1 to ${most}` });
  }
  if (differ === "positions" && options.loop === true) {
    throw new MusicError({
      code: "fingering/count",
      input: differ,
      expected: '"fingers" where a passage repeats without end',
    });
  }
  const { length } = task.pitches;
  // Every note keeps as many continuations for each pair of fingers.
  if (count * length > MOST_KEPT) {
    throw new MusicError({
      code: "fingering/count",
      input: { count, notes: length },
      expected: `at most ${MOST_KEPT} alternatives times notes`,
      hint: "ask for fewer, or for a part of the passage",
      reason: "cannot-be-done",
    });
  }
  if (differ === "fingers") return solveRanked(task.model, task.passage, count, task.cyclic).map(task.answer);
  const ways = [solveOpen(task.model, task.passage)];
  while (ways.length < count) {
    const next = solveDiffering(task.model, task.passage, ways);
    if (next === undefined) break;
    ways.push(next);
  }
  return ways.map(task.answer);
}

/** What {@link fingerPrice} is asked. */
export interface FingerPriceOptions extends LineFingeringOptions {
  /** The note that is asked about, by its index. */
  readonly index: number;
  /** The finger that it might have. */
  readonly finger: Finger;
}

/** What a finger would cost: why a note does not have it. */
export interface FingerPrice {
  readonly kind: "finger-price";
  /** How much dearer the best fingering with this finger is; 0 where it costs nothing. */
  readonly price: number;
  /** The same by rule: what each charges more, or, below zero, less. */
  readonly priceByRule: Readonly<Record<string, number>>;
  /** The best fingering. */
  readonly best: Fingering;
  /** The best fingering with the finger that was asked about. */
  readonly instead: Fingering;
  /** Indices of the other notes that change fingers with it. */
  readonly changes: readonly number[];
}

/**
 * "Why not 1 here?": the price of a finger, and which rules ask it.
 *
 * @throws MusicError as `fingerPassage`, and `fingering/fixed` when there is no such note or finger
 *
 * @example
 * ```ts
 * import { fingerPrice } from "hands-together/fingering";
 *
 * const { price, priceByRule } = fingerPrice("D4 Eb4 E4 G4", { hand: "right", index: 1, finger: 1 });
 * price > 0; // => true
 * (priceByRule["thumb-on-white"] ?? 0) > 0; // => true
 * ```
 */
export function fingerPrice(
  notes: readonly (Pitch | PitchName)[] | string | readonly NoteEvent[],
  options: FingerPriceOptions,
): FingerPrice {
  requireOptions(priceOptions, options);
  const { index, finger, ...asked } = options;
  const task = taskOf(notes, asked);
  const settled = taskOf(notes, { ...asked, fixed: { ...asked.fixed, [index]: finger } });
  // The figures that come back keep the fingers that they have without the question.
  settled.passage.role.set(task.passage.role);
  const [best, instead] = [bestOf(task), bestOf(settled)];
  const rules = new Set([...Object.keys(best.costByRule), ...Object.keys(instead.costByRule)]);
  const more = [...rules].map(
    (rule) => [rule, (instead.costByRule[rule] ?? 0) - (best.costByRule[rule] ?? 0)] as const,
  );
  return {
    kind: "finger-price",
    price: instead.cost - best.cost,
    priceByRule: Object.fromEntries(more.filter(([, price]) => price !== 0)),
    best,
    instead,
    changes: best.fingers.flatMap((one, i) => (i !== index && one !== instead.fingers[i] ? [i] : [])),
  };
}

const bestOf = ({ model, passage, cyclic, answer }: FingeringTask): Fingering =>
  answer((cyclic ? solveRanked(model, passage, 1, true)[0] : undefined) ?? solveOpen(model, passage));
