import * as v from "valibot";
import { check, checkOnce } from "../ground/check.ts";
import type { MusicError } from "../ground/errors.ts";
import { kept } from "../ground/memo.ts";
import type { VoicingCandidate } from "./candidate.ts";
import { moving } from "./candidate.ts";
import type { VoiceLeading, VoiceLeadingOptions } from "./leading.ts";
import { leadingBetween, requireMetric } from "./leading.ts";
import { refusal } from "./refusal.ts";
import { candidatesSchema, chordsSchema, pathFields } from "./shape.ts";
import { search } from "./solver.ts";

const optionsSchema = /* @__PURE__ */ v.strictObject(pathFields);

/** Rules of {@link smoothestPath}. */
export interface SmoothestPathOptions<C extends VoicingCandidate = VoicingCandidate> extends VoiceLeadingOptions {
  /**
   * Whether the last chord leads back to the first.
   *
   * @defaultValue `false`
   */
  readonly loop?: boolean | undefined;
  /** The first voicing, or the id of its form. @defaultValue any */
  readonly first?: C | string | undefined;
  /** The last voicing, or the id of its form. @defaultValue any */
  readonly last?: C | string | undefined;
  /** Ids of forms that must not be used. @defaultValue none */
  readonly without?: readonly string[] | undefined;
  /**
   * Whether neighbours must differ in label, A after B and B after A.
   *
   * @defaultValue `false`
   */
  readonly alternate?: boolean | undefined;
  /** The largest move of the top note that is allowed, in semitones. @defaultValue any */
  readonly maxTopMove?: number | undefined;
}

/** The smoothest way through a series of candidates. */
export interface SmoothestPath<C extends VoicingCandidate = VoicingCandidate> {
  readonly kind: "smoothest-path";
  /** One a chord. */
  readonly voicings: readonly C[];
  /** From each voicing to the next; in a loop one more, from the last to the first. */
  readonly leadings: readonly VoiceLeading[];
  /** The distance of each leading. */
  readonly motion: readonly number[];
  readonly totalMotion: number;
  /** The largest move of any voice, in semitones. */
  readonly largestMove: number;
  /** Moves of the top note beyond a minor third. */
  readonly topLeaps: number;
}

const LEAP_ABOVE = 3;

/**
 * The smoothest path through any sets of candidates, one from each: an exact optimum, not a greedy choice.
 *
 * The aims, each deciding only where those before it tie: the least total motion; the fewest leaps of the top note
 * (moves of more than a minor third); the least total distance from the middle of the register (`offMiddle`); the
 * candidate that stands first in the first chord's set, then in the second's, and so on. So the answer is unique.
 * Euclidean distances are compared to a 2^-20th of a semitone. Time grows with the number of chords.
 *
 * Source: Bellman, R. (1957), Dynamic Programming, Princeton University Press, for the method.
 *
 * @param candidates - one set a chord; pass the same array for a chord that returns, and its steps are worked out once
 * At most 200,000 chords of 5,000 candidates, and 20 million steps between different neighbours.
 *
 * @throws MusicError `voice-leading/empty` without chords or for a set without candidates, `voice-leading/size` for more than that,
 * `voice-leading/metric` and `voice-leading/top-move` for options that can't be read, `voice-leading/fixed` when a set has no candidate left of the
 * form that is asked for, `voice-leading/forbidden` when all its forms are forbidden, and `voice-leading/blocked`, naming
 * the pair of chords, when no path keeps the rules
 *
 * @example
 * ```ts
 * import { pitchName, smoothestPath, voicingsFor } from "hands-together";
 *
 * const path = smoothestPath(["Dm7", "G7", "Cmaj7"].map((symbol) => [...voicingsFor(symbol)]));
 * path.motion; // => [1, 5]
 * path.voicings.map((voicing) => voicing.label); // => ["A", "B", "A"]
 * ```
 */
export function smoothestPath<C extends VoicingCandidate>(
  candidates: readonly (readonly C[])[],
  options: SmoothestPathOptions<C> = {},
): SmoothestPath<C> {
  requireSets(candidates);
  requireOptions(options);
  return pathThrough(candidates, options);
}

const requireSets = (candidates: unknown): void => {
  check(chordsSchema, candidates, "voice-leading/argument");
  for (const set of candidates) checkOnce(candidatesSchema, set, "voice-leading/argument");
};

const requireOptions = (options: unknown): void => check(optionsSchema, options, "voice-leading/argument");

/** As {@link smoothestPath}, of sets that have been checked. */
export const pathThrough = <C extends VoicingCandidate>(
  candidates: readonly (readonly C[])[],
  options: SmoothestPathOptions<C>,
): SmoothestPath<C> => {
  const metric = requireMetric(options.metric ?? "sum");
  const { loop = false, alternate = false, maxTopMove = Infinity } = options;
  if (typeof maxTopMove !== "number" || !(maxTopMove >= 0))
    throw refusal("top-move", maxTopMove, "semitones, 0 or more");
  const sets = allowed(candidates, options);
  const result = search(sets, { metric, loop, leap: LEAP_ABOVE, maxTopMove, alternate });
  if (typeof result === "number") throw blocked(sets, result);
  const voicings = sets.flatMap((set, i) => set.slice(result[i], (result[i] ?? 0) + 1));
  return { kind: "smoothest-path", voicings, ...journey(voicings, loop, metric) };
};

const allowed = <C extends VoicingCandidate>(
  candidates: readonly (readonly C[])[],
  options: SmoothestPathOptions<C>,
): readonly (readonly C[])[] => {
  if (
    candidates.length === 0 ||
    candidates.some((set) => set.length === 0 || set.some((c) => moving(c).length === 0))
  ) {
    throw refusal("empty", candidates.length, "chords, each with candidates of one note or more");
  }
  const forbid = new Set(options.without ?? []);
  // A set that returns stays one set.
  const left = new Map<readonly C[], readonly C[]>();
  const sets = candidates.map((set) => (forbid.size === 0 ? set : kept(left, set, () => without(set, forbid))));
  const [start, end] = [sets[0], sets.at(-1)];
  if (options.first !== undefined && start !== undefined) sets[0] = fixed(start, options.first);
  if (options.last !== undefined && end !== undefined)
    sets[sets.length - 1] = fixed(sets.length === 1 ? (sets[0] ?? end) : end, options.last);
  return sets;
};

const without = <C extends VoicingCandidate>(set: readonly C[], forbid: ReadonlySet<string>): readonly C[] => {
  const left = set.filter(({ form }) => form === undefined || !forbid.has(form));
  if (left.length > 0) return left;
  throw refusal(
    "forbidden",
    [...forbid].join(", "),
    `a form left for ${set[0]?.chord?.symbol ?? "each chord"}`,
    undefined,
    "cannot-be-done",
  );
};

const fixed = <C extends VoicingCandidate>(set: readonly C[], choice: C | string): readonly C[] => {
  if (typeof choice !== "string") return [choice];
  const left = set.filter((c) => c.form === choice);
  if (left.length > 0) return left;
  const forms = [...new Set(set.map((c) => c.form))].join(", ");
  throw refusal(
    "fixed",
    choice,
    `a form that ${set[0]?.chord?.symbol ?? "the chord"} has among its candidates`,
    forms,
    "cannot-be-done",
  );
};

const blocked = (sets: readonly (readonly VoicingCandidate[])[], after: number): MusicError => {
  const next = (after + 1) % sets.length;
  const name = (i: number): string => {
    const symbol = sets[i]?.[0]?.chord?.symbol;
    return symbol === undefined ? `chord ${i + 1}` : `${symbol} (chord ${i + 1})`;
  };
  return refusal(
    "blocked",
    `${name(after)} to ${name(next)}`,
    "a step that keeps the rules",
    "let the top note move farther, or don't alternate",
    "cannot-be-done",
  );
};

const journey = <C extends VoicingCandidate>(
  voicings: readonly C[],
  loop: boolean,
  metric: VoiceLeading["metric"],
): Omit<SmoothestPath<C>, "kind" | "voicings"> => {
  const known = new Map<C, Map<C, VoiceLeading>>();
  const leadings: VoiceLeading[] = [];
  const motion: number[] = [];
  let [totalMotion, largestMove, topLeaps] = [0, 0, 0];
  const pairs = loop ? voicings.length : voicings.length - 1;
  for (let i = 0; i < pairs; i++) {
    const [a, b] = [voicings[i], voicings[i + 1 < voicings.length ? i + 1 : 0]];
    if (a === undefined || b === undefined) break;
    const leading = kept(
      kept(known, a, () => new Map<C, VoiceLeading>()),
      b,
      () => leadingBetween(moving(a), moving(b), metric),
    );
    leadings.push(leading);
    motion.push(leading.distance);
    totalMotion += leading.distance;
    largestMove = Math.max(largestMove, leading.largest);
    if (Math.abs(leading.moves.at(-1)?.semitones ?? 0) > LEAP_ABOVE) topLeaps++;
  }
  return { leadings, motion, totalMotion, largestMove, topLeaps };
};
