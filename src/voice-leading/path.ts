import * as v from "valibot";
import { check, checkOnce } from "../ground/check.ts";
import type { MusicError } from "../ground/errors.ts";
import { kept } from "../ground/memo.ts";
import type { Pitch } from "../pitch/index.ts";
import type { AimId, AimSetId, AimWeights, Points } from "./aims.ts";
import {
  AIM_IDS,
  aimCatalogue,
  besideMotion,
  NO_POINTS,
  placePoints,
  sameNotes,
  stepPoints,
  weightsOf,
} from "./aims.ts";
import type { Laid, LaidCandidate, VoicingCandidate } from "./candidate.ts";
import { laidOf, moving } from "./candidate.ts";
import { once, withLater } from "./later.ts";
import type { VoiceLeading, VoiceLeadingOptions } from "./leading.ts";
import { leadingBetween, requireMetric } from "./leading.ts";
import { refusal } from "./refusal.ts";
import { candidatesSchema, chordsSchema, pathFields } from "./shape.ts";
import type { SearchRules } from "./solver.ts";
import { distanceOf, EUCLIDEAN_UNIT, search } from "./solver.ts";

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
  /**
   * What the path keeps small: `"smooth"` motion alone; `"pianist"` a weighted sum of motion, register, a singing top line, contrary motion and
   * variety; or weights of one's own, whole numbers from 0 to 1,000 by the ids of `aimCatalogue`.
   *
   * @defaultValue `"smooth"`
   */
  readonly aims?: AimSetId | AimWeights | undefined;
  /** What is sung or played over each chord, for the aim `"melody"`; one list a chord. @defaultValue nothing */
  readonly melody?: readonly (readonly Pitch[])[] | undefined;
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
  /** What the path costs by each aim, weighed; under the default, its motion alone. */
  readonly costs: { readonly [id in AimId]?: number };
  /** Which aim decided where the path is not the smoothest one: the one that the smoothest voicing there would cost the most more in. */
  readonly decisions: readonly AimDecision[];
}

/** A chord whose voicing is another than that of the smoothest path. */
export interface AimDecision {
  /** Which chord, from 0. */
  readonly index: number;
  readonly aim: AimId;
  /** What the smoothest path's voicing there, its neighbours as they are, would cost more in that aim. */
  readonly saved: number;
  readonly message: string;
}

const LEAP_ABOVE = 3;

/**
 * The smoothest path through any sets of candidates, one from each: an exact optimum, not a greedy choice.
 *
 * The aims, each deciding only where those before it tie: the least total motion; the fewest leaps of the top note
 * (moves of more than a minor third); the least total distance from the middle of the register (`offMiddle`); the
 * candidate that stands first in the first chord's set, then in the second's, and so on. So the answer is unique.
 * Euclidean distances are compared to a 2^-20th of a semitone. With other `aims` their
 * weighted sum takes the place of the motion. Time grows with the number of chords.
 *
 * Source: Bellman, R. (1957), Dynamic Programming, Princeton University Press, for the method.
 *
 * @param candidates - one set a chord; pass the same array for a chord that returns, and its steps are worked out once
 * At most 200,000 chords of 5,000 candidates, and 20 million steps between different neighbours.
 *
 * @throws MusicError `voice-leading/empty` without chords or for a set without candidates, `voice-leading/size` for more than that,
 * `voice-leading/melody` for a melody that has not one list a chord,
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

/** A path, what it measures, and what tells of it voice by voice once it is asked for. */
export interface Journey<C> {
  readonly voicings: readonly C[];
  readonly walked: Walked;
  readonly leadings: () => readonly VoiceLeading[];
  readonly reasons: () => Pick<SmoothestPath, "costs" | "decisions">;
}

/** As {@link smoothestPath}, of sets that have been checked. */
export const pathThrough = <C extends VoicingCandidate>(
  candidates: readonly (readonly C[])[],
  options: SmoothestPathOptions<C>,
): SmoothestPath<C> => {
  const known = new Map<readonly C[], readonly LaidCandidate<C>[]>();
  const sets = candidates.map((set) => kept(known, set, () => set.map(laidOf)));
  const { voicings, walked, leadings, reasons } = pathOver(sets, options, laidOf, ({ candidate }) => candidate);
  const { motion, totalMotion, largestMove, topLeaps } = walked;
  return withLater(
    { kind: "smoothest-path" as const, voicings, motion, totalMotion, largestMove, topLeaps },
    { leadings, costs: () => reasons().costs, decisions: () => reasons().decisions },
  );
};

/** As {@link smoothestPath}, of candidates in numbers; `read` makes one of a candidate that was asked for, `made` a candidate of one chosen. */
export const pathOver = <L extends Laid, C extends VoicingCandidate>(
  given: readonly (readonly L[])[],
  options: SmoothestPathOptions<C>,
  read: (candidate: C) => L,
  made: (laid: L) => C,
): Journey<C> => {
  const metric = requireMetric(options.metric ?? "sum");
  const { loop = false, alternate = false, maxTopMove = Infinity } = options;
  if (typeof maxTopMove !== "number" || !(maxTopMove >= 0))
    throw refusal("top-move", maxTopMove, "semitones, 0 or more");
  const weights = weightsOf(options.aims ?? "smooth");
  const sets = allowed(given, options, read);
  const rules: SearchRules = { metric, loop, leap: LEAP_ABOVE, maxTopMove, alternate, motionWeight: 1 };
  const chosen = <T extends Laid>(under: SearchRules, from: readonly (readonly T[])[]): readonly T[] => {
    const result = search(from, under);
    if (typeof result === "number") throw blocked(from, result);
    const path: T[] = [];
    for (let i = 0; i < from.length; i++) {
      const one = from[i]?.[result[i] ?? 0];
      if (one !== undefined) path.push(one);
    }
    return path;
  };
  if (isSmooth(weights)) {
    return journey(chosen(rules, sets).map(made), { loop, metric }, ({ totalMotion }) => ({
      costs: { motion: totalMotion },
      decisions: [],
    }));
  }
  const melody = options.melody ?? [];
  if (melody.length > 0 && melody.length !== sets.length)
    throw refusal("melody", melody.length, `a list of notes for each of ${sets.length} chords`);
  const weighing = sungOver(sets, melody);
  const beside = besideMotion(weights, metric === "euclidean" ? EUCLIDEAN_UNIT : 1);
  const path = chosen({ ...rules, motionWeight: weights.motion ?? 0, beside }, weighing);
  return journey(path.map(made), { loop, metric }, () =>
    reasonsFor(path, chosen(rules, weighing), { weights, metric, loop }),
  );
};

const isSmooth = (weights: AimWeights): boolean =>
  AIM_IDS.every((id) => (weights[id] ?? 0) === (id === "motion" ? 1 : 0));

/** Over a melody a chord that returns is another one each time, so its candidates are copied. */
const sungOver = <L extends Laid>(
  sets: readonly (readonly L[])[],
  melody: readonly (readonly Pitch[])[],
): readonly (readonly L[])[] =>
  melody.length === 0 ? sets : sets.map((set, i) => set.map((laid): L => ({ ...laid, sung: melody[i] ?? [] })));

interface Judged {
  readonly weights: AimWeights;
  readonly metric: VoiceLeading["metric"];
  readonly loop: boolean;
}

const reasonsFor = (
  path: readonly Laid[],
  smooth: readonly Laid[],
  { weights, metric, loop }: Judged,
): Pick<SmoothestPath, "costs" | "decisions"> => {
  const costs: Partial<Record<AimId, number>> = {};
  const count = path.length;
  const stepOf = (from: Laid, to: Laid | undefined): Points | undefined =>
    to === undefined ? undefined : { ...stepPoints(from, to), motion: distanceOf(from, to, metric) };
  /** Points of the place and of the steps to and from it, with another voicing there. */
  const around = (i: number, there: Laid): Readonly<Record<AimId, number>> => {
    const before = path[i === 0 && loop ? count - 1 : i - 1];
    const parts = [
      placePoints(there),
      before === undefined ? undefined : stepOf(before, there),
      stepOf(there, path[i === count - 1 && loop ? 0 : i + 1]),
    ];
    return summed(parts);
  };
  const decisions: AimDecision[] = [];
  for (const [i, laid] of path.entries()) {
    const points = summed([placePoints(laid), stepOf(laid, path[i === count - 1 && loop ? 0 : i + 1])]);
    for (const id of AIM_IDS) {
      const cost = points[id] * (weights[id] ?? 0);
      if (cost > 0) costs[id] = (costs[id] ?? 0) + cost;
    }
    const other = smooth[i];
    if (other === undefined || sameNotes(other, laid)) continue;
    const [here, there] = [around(i, laid), around(i, other)];
    let decision: { aim: AimId; saved: number } = { aim: "motion", saved: 0 };
    for (const id of AIM_IDS) {
      const saved = (there[id] - here[id]) * (weights[id] ?? 0);
      if (saved > decision.saved) decision = { aim: id, saved };
    }
    if (decision.saved === 0) continue;
    const title = aimCatalogue.find(({ id }) => id === decision.aim)?.title ?? decision.aim;
    const symbol = laid.chord?.symbol ?? `chord ${i + 1}`;
    decisions.push({
      index: i,
      ...decision,
      message: `${symbol}: not the smoothest voicing, for ${title}, which saves ${decision.saved}`,
    });
  }
  return { costs, decisions };
};

const summed = (parts: readonly (Points | undefined)[]): Points => {
  const sums: { -readonly [id in AimId]: number } = { ...NO_POINTS };
  for (const part of parts) if (part !== undefined) for (const id of AIM_IDS) sums[id] += part[id];
  return sums;
};

const allowed = <L extends Laid, C extends VoicingCandidate>(
  given: readonly (readonly L[])[],
  options: SmoothestPathOptions<C>,
  read: (candidate: C) => L,
): readonly (readonly L[])[] => {
  if (given.length === 0 || given.some((set) => set.length === 0 || set.some(({ stack }) => stack.length === 0))) {
    throw refusal("empty", given.length, "chords, each with candidates of one note or more");
  }
  if (options.without === undefined && options.first === undefined && options.last === undefined) return given;
  const forbid = new Set(options.without ?? []);
  // A set that returns stays one set.
  const left = new Map<readonly L[], readonly L[]>();
  const sets = given.map((set) => (forbid.size === 0 ? set : kept(left, set, () => without(set, forbid))));
  const [start, end] = [sets[0], sets.at(-1)];
  const asked = (set: readonly L[], choice: C | string): readonly L[] =>
    typeof choice === "string" ? fixed(set, choice) : [read(choice)];
  if (options.first !== undefined && start !== undefined) sets[0] = asked(start, options.first);
  if (options.last !== undefined && end !== undefined)
    sets[sets.length - 1] = asked(sets.length === 1 ? (sets[0] ?? end) : end, options.last);
  return sets;
};

const without = <L extends Laid>(set: readonly L[], forbid: ReadonlySet<string>): readonly L[] => {
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

const fixed = <L extends Laid>(set: readonly L[], choice: string): readonly L[] => {
  const left = set.filter(({ form }) => form === choice);
  if (left.length > 0) return left;
  const forms = [...new Set(set.map(({ form }) => form))].join(", ");
  throw refusal(
    "fixed",
    choice,
    `a form that ${set[0]?.chord?.symbol ?? "the chord"} has among its candidates`,
    forms,
    "cannot-be-done",
  );
};

const blocked = (sets: readonly (readonly Laid[])[], after: number): MusicError => {
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

export interface Walked {
  readonly motion: readonly number[];
  readonly totalMotion: number;
  readonly largestMove: number;
  readonly topLeaps: number;
}

/** The path and what it does; what tells of it voice by voice is worked out when it is asked for. */
const journey = <C extends VoicingCandidate>(
  voicings: readonly C[],
  { loop, metric }: { readonly loop: boolean; readonly metric: VoiceLeading["metric"] },
  reasonsOf: (walked: Walked) => Pick<SmoothestPath, "costs" | "decisions">,
): Journey<C> => {
  const walked = walk(voicings, loop, metric);
  return {
    voicings,
    walked,
    leadings: once(() => leadingsOf(voicings, loop, metric)),
    reasons: once(() => reasonsOf(walked)),
  };
};

const walk = (voicings: readonly VoicingCandidate[], loop: boolean, metric: VoiceLeading["metric"]): Walked => {
  const motion: number[] = [];
  let [totalMotion, largestMove, topLeaps] = [0, 0, 0];
  const pairs = loop ? voicings.length : voicings.length - 1;
  for (let i = 0; i < pairs; i++) {
    const [a, b] = [voicings[i], voicings[i + 1 < voicings.length ? i + 1 : 0]];
    if (a === undefined || b === undefined) break;
    const { distance, largest, top } = sizeBetween(moving(a), moving(b), metric);
    motion.push(distance);
    totalMotion += distance;
    largestMove = Math.max(largestMove, largest);
    if (Math.abs(top) > LEAP_ABOVE) topLeaps++;
  }
  return { motion, totalMotion, largestMove, topLeaps };
};

/** What a leading measures, without its voices. */
const sizeBetween = (
  from: readonly Pitch[],
  to: readonly Pitch[],
  metric: VoiceLeading["metric"],
): { readonly distance: number; readonly largest: number; readonly top: number } => {
  if (from.length !== to.length || metric !== "sum" || !rises(from) || !rises(to)) {
    const { distance, largest, moves } = leadingBetween(from, to, metric);
    return { distance, largest, top: moves.at(-1)?.semitones ?? 0 };
  }
  let [distance, largest, top] = [0, 0, 0];
  for (let i = 0; i < from.length; i++) {
    top = (to[i]?.semitones ?? 0) - (from[i]?.semitones ?? 0);
    distance += Math.abs(top);
    largest = Math.max(largest, Math.abs(top));
  }
  return { distance, largest, top };
};

const rises = (notes: readonly Pitch[]): boolean => {
  for (let i = 1; i < notes.length; i++) if ((notes[i]?.semitones ?? 0) < (notes[i - 1]?.semitones ?? 0)) return false;
  return true;
};

const leadingsOf = <C extends VoicingCandidate>(
  voicings: readonly C[],
  loop: boolean,
  metric: VoiceLeading["metric"],
): readonly VoiceLeading[] => {
  const known = new Map<C, Map<C, VoiceLeading>>();
  return voicings.slice(0, loop ? voicings.length : -1).flatMap((a, i) => {
    const b = voicings[i + 1 < voicings.length ? i + 1 : 0];
    if (b === undefined) return [];
    const after = kept(known, a, () => new Map<C, VoiceLeading>());
    return [kept(after, b, () => leadingBetween(moving(a), moving(b), metric))];
  });
};
