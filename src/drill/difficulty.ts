import type { Hand } from "../event/index.ts";
import type { BarDifficulty } from "../fingering/index.ts";
import { difficultyOf } from "../fingering/inner.ts";
import { isRecord } from "../ground/check.ts";
import type { Score } from "../score/index.ts";
import { checkScore } from "../score/inner.ts";
import { barLength, beatsToNumber } from "../time/index.ts";
import type { Drill } from "./make.ts";

/** How hard one bar of a drill lies under the hands. */
export interface DrillBarDifficulty {
  /** From 1; 0 for what leads in. */
  readonly bar: number;
  /** What the fingers of each hand cost in its busiest second, in points; 0 where it rests. */
  readonly right: number;
  readonly left: number;
}

/** How hard a drill lies under the hands. */
export interface DrillDifficulty {
  readonly kind: "drill-difficulty";
  /** The bars in which something is struck, in order. */
  readonly bars: readonly DrillBarDifficulty[];
  /** The mean over these bars of what both hands cost together. */
  readonly difficulty: number;
  /** The hardest bar, where there is one: the one to begin with. */
  readonly hardest?: DrillBarDifficulty;
}

const oneDecimal = (points: number): number => Math.round(points * 10) / 10;
const both = ({ right, left }: DrillBarDifficulty): number => right + left;

/**
 * How hard a drill lies under the hands, bar by bar, at its tempo: what the fingers that it prints cost in the busiest second.
 *
 * It compares drills, and bars of one; what it counts and does not count is said at `fingerDifficulty`. It is no measure of a hand's health: stop
 * at pain, and ask a teacher or a clinician.
 *
 * @throws MusicError `drill/argument` for what is neither a drill nor a score
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 * import { drillDifficulty } from "hands-together/drill";
 *
 * const slow = drillDifficulty(makeDrill({ key: "Eb", tempo: 60 }));
 * const fast = drillDifficulty(makeDrill({ key: "Eb", tempo: 120 }));
 * slow.bars.length; // => 4
 * fast.difficulty > slow.difficulty; // => true
 * ```
 */
export function drillDifficulty(drill: Drill | Score): DrillDifficulty {
  const given: unknown = drill;
  const score = isRecord(given) && given.kind === "drill" ? given.score : given;
  checkScore(score, "drill/argument");
  const bars = new Map<number, DrillBarDifficulty>();
  for (const hand of ["right", "left"] as const)
    for (const { bar, difficulty } of barsOf(score, hand))
      bars.set(bar, { ...(bars.get(bar) ?? { bar, right: 0, left: 0 }), [hand]: difficulty });
  const inOrder = [...bars.values()].sort((a, b) => a.bar - b.bar);
  const [first] = inOrder;
  const sum = inOrder.reduce((all, bar) => all + both(bar), 0);
  return {
    kind: "drill-difficulty",
    bars: inOrder,
    difficulty: inOrder.length === 0 ? 0 : oneDecimal(sum / inOrder.length),
    ...(first !== undefined && {
      hardest: inOrder.reduce((most, bar) => (both(bar) > both(most) ? bar : most), first),
    }),
  };
}

// A voicing wider than a medium hand was asked for, and is for a large one.
const barsOf = (score: Score, hand: Hand): readonly BarDifficulty[] => {
  if (score[hand].length === 0) return [];
  const bar = beatsToNumber(barLength(score.metre));
  return difficultyOf(score[hand], { hand, tempo: score.tempo, size: "large", keepWritten: true }, bar).bars;
};
