import * as v from "valibot";
import { check, checkOnce } from "../ground/check.ts";
import type { MusicError } from "../ground/errors.ts";
import { kept } from "../ground/memo.ts";
import type { Pitch } from "../pitch/index.ts";
import type { AimId, AimSetId, AimWeights } from "./aims.ts";
import { AIM_IDS, aimCatalogue, placePoints, stepPoints, weighed, weightsOf } from "./aims.ts";
import type { VoicingCandidate } from "./candidate.ts";
import { moving } from "./candidate.ts";
import type { VoiceLeading, VoiceLeadingOptions } from "./leading.ts";
import { leadingBetween, requireMetric } from "./leading.ts";
import { refusal } from "./refusal.ts";
import { candidatesSchema, chordsSchema, pathFields } from "./shape.ts";
import type { SearchRules } from "./solver.ts";
import { EUCLIDEAN_UNIT, search } from "./solver.ts";

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

/** As {@link smoothestPath}, of sets that have been checked. */
export const pathThrough = <C extends VoicingCandidate>(
  candidates: readonly (readonly C[])[],
  options: SmoothestPathOptions<C>,
): SmoothestPath<C> => {
  const metric = requireMetric(options.metric ?? "sum");
  const { loop = false, alternate = false, maxTopMove = Infinity } = options;
  if (typeof maxTopMove !== "number" || !(maxTopMove >= 0))
    throw refusal("top-move", maxTopMove, "semitones, 0 or more");
  const weights = weightsOf(options.aims ?? "smooth");
  const sets = allowed(candidates, options);
  const rules: SearchRules = { metric, loop, leap: LEAP_ABOVE, maxTopMove, alternate, motionWeight: 1 };
  const chosen = (under: SearchRules, from: readonly (readonly C[])[]): readonly C[] => {
    const result = search(from, under);
    if (typeof result === "number") throw blocked(from, result);
    return from.flatMap((set, i) => set.slice(result[i], (result[i] ?? 0) + 1));
  };
  if (isSmooth(weights)) {
    const voicings = chosen(rules, sets);
    return journey(voicings, { loop, metric }, ({ totalMotion }) => ({
      costs: { motion: totalMotion },
      decisions: [],
    }));
  }
  const melody = options.melody ?? [];
  if (melody.length > 0 && melody.length !== sets.length)
    throw refusal("melody", melody.length, `a list of notes for each of ${sets.length} chords`);
  const weighing = weighingOf(sets, weights, { melody, unit: metric === "euclidean" ? EUCLIDEAN_UNIT : 1 });
  const under: SearchRules = { ...rules, motionWeight: weights.motion ?? 0, own: weighing.own, step: weighing.step };
  const voicings = chosen(under, weighing.sets);
  return journey(voicings, { loop, metric }, () =>
    reasonsFor(voicings, chosen(rules, sets), { weights, melody, metric, loop }),
  );
};

const isSmooth = (weights: AimWeights): boolean =>
  AIM_IDS.every((id) => (weights[id] ?? 0) === (id === "motion" ? 1 : 0));

interface Weighing<C extends VoicingCandidate> {
  readonly sets: readonly (readonly C[])[];
  readonly own: (candidate: VoicingCandidate) => number;
  readonly step: (from: VoicingCandidate, to: VoicingCandidate) => number;
}

/** What the search adds up. Over a melody a chord that returns is another one each time, so its candidates are copied. */
const weighingOf = <C extends VoicingCandidate>(
  sets: readonly (readonly C[])[],
  weights: AimWeights,
  { melody, unit }: { readonly melody: readonly (readonly Pitch[])[]; readonly unit: number },
): Weighing<C> => {
  const step: SearchRules["step"] = (from, to) => unit * weighed(stepPoints(from, to), weights);
  const own = (candidate: VoicingCandidate, notes?: readonly Pitch[]): number =>
    unit * weighed(placePoints(candidate, notes), weights);
  if (melody.length === 0) return { sets, own: (candidate) => own(candidate), step };
  const over = new Map<VoicingCandidate, readonly Pitch[]>();
  const copies = sets.map((set, i) =>
    set.map((candidate) => {
      const copy = { ...candidate };
      over.set(copy, melody[i] ?? []);
      return copy;
    }),
  );
  return { sets: copies, own: (candidate) => own(candidate, over.get(candidate)), step };
};

interface Judged {
  readonly weights: AimWeights;
  readonly melody: readonly (readonly Pitch[])[];
  readonly metric: VoiceLeading["metric"];
  readonly loop: boolean;
}

const reasonsFor = <C extends VoicingCandidate>(
  voicings: readonly C[],
  smooth: readonly C[],
  { weights, melody, metric, loop }: Judged,
): Pick<SmoothestPath, "costs" | "decisions"> => {
  const costs: Partial<Record<AimId, number>> = {};
  const count = voicings.length;
  /** Points of the place and of the steps to and from it, with another voicing there. */
  const around = (i: number, there: C): Partial<Record<AimId, number>> => {
    const points: Partial<Record<AimId, number>> = { ...placePoints(there, melody[i]) };
    const add = (from: C | undefined, to: C | undefined): void => {
      if (from === undefined || to === undefined) return;
      const leading = leadingBetween(moving(from), moving(to), metric);
      const step = { motion: leading.distance, ...stepPoints(from, to) };
      for (const id of AIM_IDS) points[id] = (points[id] ?? 0) + (step[id] ?? 0);
    };
    add(voicings[i === 0 && loop ? count - 1 : i - 1], there);
    add(there, voicings[i === count - 1 && loop ? 0 : i + 1]);
    return points;
  };
  const decisions: AimDecision[] = [];
  for (const [i, voicing] of voicings.entries()) {
    const next = voicings[i === count - 1 && loop ? 0 : i + 1];
    const step =
      next === undefined
        ? {}
        : { motion: leadingBetween(moving(voicing), moving(next), metric).distance, ...stepPoints(voicing, next) };
    const place = placePoints(voicing, melody[i]);
    for (const id of AIM_IDS) {
      const points = ((place[id] ?? 0) + ((step as Partial<Record<AimId, number>>)[id] ?? 0)) * (weights[id] ?? 0);
      if (points > 0) costs[id] = (costs[id] ?? 0) + points;
    }
    const other = smooth[i];
    if (other === undefined || samePitches(other, voicing)) continue;
    const [here, there] = [around(i, voicing), around(i, other)];
    let decision: { aim: AimId; saved: number } = { aim: "motion", saved: 0 };
    for (const id of AIM_IDS) {
      const saved = ((there[id] ?? 0) - (here[id] ?? 0)) * (weights[id] ?? 0);
      if (saved > decision.saved) decision = { aim: id, saved };
    }
    if (decision.saved === 0) continue;
    const title = aimCatalogue.find(({ id }) => id === decision.aim)?.title ?? decision.aim;
    const symbol = voicing.chord?.symbol ?? `chord ${i + 1}`;
    decisions.push({
      index: i,
      ...decision,
      message: `${symbol}: not the smoothest voicing, for ${title}, which saves ${decision.saved}`,
    });
  }
  return { costs, decisions };
};

const samePitches = (a: VoicingCandidate, b: VoicingCandidate): boolean =>
  a.pitches.length === b.pitches.length && a.pitches.every(({ semitones }, i) => semitones === b.pitches[i]?.semitones);

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

interface Walked {
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
): SmoothestPath<C> => {
  const walked = walk(voicings, loop, metric);
  const leadings = once(() => leadingsOf(voicings, loop, metric));
  const reasons = once(() => reasonsOf(walked));
  return {
    kind: "smoothest-path",
    voicings,
    get leadings() {
      return leadings();
    },
    ...walked,
    get costs() {
      return reasons().costs;
    },
    get decisions() {
      return reasons().decisions;
    },
  };
};

export const once = <T>(make: () => T): (() => T) => {
  let made: { readonly value: T } | undefined;
  return () => (made ??= { value: make() }).value;
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
