import type { Finger, Hand } from "../../src/event/index.ts";
import type { FingeringRule, FingeringRuleSetId, MoveKind } from "../../src/fingering/rules.ts";
import { fingeringRule, fingeringRuleCatalogue, fingeringRuleSet } from "../../src/fingering/rules.ts";
import type { HandSize } from "../../src/fingering/spans.ts";
import { spansOf } from "../../src/fingering/spans.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { keyColour } from "../../src/pitch/index.ts";

/** A fingering found by trying every one. */
export interface Found {
  readonly fingers: readonly number[];
  readonly cost: number;
}

/** The question put to brute force. */
export interface Question {
  readonly pitches: readonly Pitch[];
  readonly hand: Hand;
  readonly cyclic?: boolean;
  readonly size?: HandSize;
  readonly rules?: FingeringRuleSetId;
  /** Weights that differ from those of the set, by rule. */
  readonly weights?: Readonly<Record<string, number>>;
  readonly fixed?: Readonly<Record<number, Finger>>;
  /** How each note follows the one before; plainly unless told. */
  readonly moves?: readonly MoveKind[];
  /** The finger that each note has in its scale. */
  readonly pattern?: readonly (Finger | undefined)[];
  /** Which notes name their scale. */
  readonly tonic?: readonly boolean[];
  /** Semitones added on the way from the last note of a cycle to its first, as a right hand plays: 12 for one that climbs by octaves. */
  readonly climb?: number;
  /** Fingers to choose from. */
  readonly choice?: readonly Finger[];
  /** A cost that is known to be reached: dearer branches are left. The best is found all the same, if it is no dearer. */
  readonly ceiling?: number;
}

const FINGERS: readonly Finger[] = [1, 2, 3, 4, 5];

type WeightedRow = readonly [rule: FingeringRule, weight: number];

const weighted = ({ rules = "standard", weights = {} }: Question): readonly WeightedRow[] => [
  ...fingeringRuleSet(rules)
    .rules.map(({ rule, weight }): WeightedRow => [fingeringRule(rule), weight])
    .filter(([{ id }]) => !(id in weights)),
  ...fingeringRuleCatalogue.flatMap((rule): readonly WeightedRow[] =>
    rule.reads !== "ends" && rule.id in weights ? [[rule, weights[rule.id] as number]] : [],
  ),
];

/** What the rules charge whose last note is `at`: a window is charged as soon as its notes have fingers. */
const chargesAt = (
  question: Question,
  fingers: readonly number[],
  at: number,
): readonly (readonly [rule: string, charge: number])[] => {
  const { pitches, hand, cyclic = false, size = "medium", moves = [], pattern = [], tonic = [], climb = 0 } = question;
  const length = pitches.length;
  const spans = spansOf(size);
  const wrap = (i: number): number => (i + length) % length;
  const has = (i: number): boolean => cyclic || (i >= 0 && i < length);
  const key = (i: number): { finger: Finger; black: boolean } => ({
    finger: fingers[wrap(i)] as Finger,
    black: keyColour(pitches[wrap(i)] as Pitch) === "black",
  });
  const interval = (from: number, to: number): number => {
    const semitones = (pitches[wrap(to)] as Pitch).semitones - (pitches[wrap(from)] as Pitch).semitones;
    const around = wrap(from) >= wrap(to) ? climb : 0;
    return Math.max(-24, Math.min(24, (hand === "right" ? semitones : -semitones) + around));
  };
  return weighted(question).map(([rule, weight]) => {
    let points = 0;
    if (rule.reads === "note") {
      const neighbour = (i: number): boolean | undefined =>
        has(i) ? keyColour(pitches[wrap(i)] as Pitch) === "black" : undefined;
      points = rule.points({
        ...key(at),
        previousBlack: neighbour(at - 1),
        nextBlack: neighbour(at + 1),
        tonic: tonic[at] === true,
        pattern: pattern[at],
        sequence: undefined,
        sequenceTimes: undefined,
        sequenceChords: false,
      });
    } else if (rule.reads === "pair") {
      if (has(at - 1))
        points = rule.points(
          { from: key(at - 1), to: key(at), interval: interval(at - 1, at), move: moves[at] ?? "plain" },
          spans,
        );
    } else if (rule.reads === "triple" && has(at - 2) && has(at - 1)) {
      points = rule.points(
        {
          first: key(at - 2),
          middle: key(at - 1),
          last: key(at),
          before: interval(at - 2, at - 1),
          after: interval(at - 1, at),
        },
        spans,
      );
    }
    return [rule.id, weight * points];
  });
};

const sumOf = (charges: ReturnType<typeof chargesAt>): number => charges.reduce((sum, [, charge]) => sum + charge, 0);

/** The cost of one fingering, window by window. */
export const costOfFingers = (question: Question, fingers: readonly number[]): number =>
  fingers.reduce((sum, _, at) => sum + sumOf(chargesAt(question, fingers, at)), 0);

/** The same by rule; rules that charge nothing are left out. */
export const costByRuleOf = (question: Question, fingers: readonly number[]): Readonly<Record<string, number>> => {
  const sums: Record<string, number> = {};
  for (const at of fingers.keys())
    for (const [rule, charge] of chargesAt(question, fingers, at))
      if (charge !== 0) sums[rule] = (sums[rule] ?? 0) + charge;
  return sums;
};

/**
 * The best fingerings by trying every one, best first, ties in the order of their fingers. A branch is left only once it
 * costs more than the worst that is kept: charges are never negative.
 */
export const bruteForce = (question: Question, count = 1): readonly Found[] => {
  const { pitches, cyclic = false, fixed = {}, ceiling = Infinity, choice = FINGERS } = question;
  const charge = chargeTable(question);
  const length = pitches.length;
  let kept: Found[] = [];
  const worst = (): number => (kept.length < count ? ceiling + 1 : (kept.at(-1) as Found).cost);
  const fingers: number[] = [];
  const grow = (cost: number): void => {
    const at = fingers.length;
    if (at === length) {
      const total = cost + (cyclic ? charge(fingers, 0) + (length > 1 ? charge(fingers, 1) : 0) : 0);
      if (total < worst())
        kept = [...kept, { fingers: [...fingers], cost: total }].sort((a, b) => a.cost - b.cost).slice(0, count);
      return;
    }
    for (const finger of fixed[at] === undefined ? choice : [fixed[at]]) {
      fingers.push(finger);
      // In a cycle the windows of the first two notes reach round the end; they are charged there.
      const sum = cost + (cyclic && at < 2 ? 0 : charge(fingers, at));
      if (sum < worst()) grow(sum);
      fingers.pop();
    }
  };
  grow(0);
  return kept;
};

// What is charged at a note depends on its finger and the two before it: worked out once for each of the 125.
const chargeTable = (question: Question): ((fingers: readonly number[], at: number) => number) => {
  const length = question.pitches.length;
  const tables = question.pitches.map((): (number | undefined)[] => []);
  const wrap = (i: number): number => (i + length) % length;
  return (fingers, at) => {
    const [a, b, c] = [fingers[wrap(at - 2)] ?? 1, fingers[wrap(at - 1)] ?? 1, fingers[at] as number];
    const table = tables[at] as (number | undefined)[];
    return (table[a * 36 + b * 6 + c] ??= sumOf(chargesAt(question, fingers, at)));
  };
};
