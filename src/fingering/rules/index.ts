/**
 * The rules that fingerings are judged by: one file each, and the sets with their weights.
 *
 * @module rules
 */

import { betweenBlacks } from "./between-blacks.ts";
import { blackGroup } from "./black-group.ts";
import { compactGroup } from "./compact-group.ts";
import { fastWeakPair } from "./fast-weak-pair.ts";
import { fewTurns } from "./few-turns.ts";
import { fingerOrder } from "./finger-order.ts";
import { fiveOnBlack } from "./five-on-black.ts";
import { fourOnBlack } from "./four-on-black.ts";
import { fourOnWhite } from "./four-on-white.ts";
import { handFrame } from "./hand-frame.ts";
import { largeSpan } from "./large-span.ts";
import { nearTurn } from "./near-turn.ts";
import { neighbourFingers } from "./neighbour-fingers.ts";
import { positionChangeCount } from "./position-change-count.ts";
import { positionChangeSize } from "./position-change-size.ts";
import { practicalSpan } from "./practical-span.ts";
import { reach } from "./reach.ts";
import { repeatedKey } from "./repeated-key.ts";
import type { FingeringRule } from "./rule.ts";
import { scalePattern } from "./scale-pattern.ts";
import { slides } from "./slides.ts";
import { smallSpan } from "./small-span.ts";
import { stretch } from "./stretch.ts";
import { threeFourFive } from "./three-four-five.ts";
import { threeOnBlack } from "./three-on-black.ts";
import { threeToFour } from "./three-to-four.ts";
import { thumbOnBlack } from "./thumb-on-black.ts";
import { thumbOnTonic } from "./thumb-on-tonic.ts";
import { thumbOnWhite } from "./thumb-on-white.ts";
import { thumbPassing } from "./thumb-passing.ts";
import { turnAfterTurn } from "./turn-after-turn.ts";
import { turnOnFive } from "./turn-on-five.ts";
import { weakFinger } from "./weak-finger.ts";

/** The name of a set of rules. */
export type FingeringRuleSet = "standard" | "parncutt-1997" | "scale";

/** A rule with the weight that it has in a set. */
export type WeightedRow = readonly [rule: FingeringRule, weight: number];

const TWELVE: readonly WeightedRow[] = [
  [stretch, 1],
  [smallSpan, 1],
  [largeSpan, 1],
  [positionChangeCount, 1],
  [positionChangeSize, 1],
  [weakFinger, 1],
  [threeFourFive, 1],
  [threeToFour, 1],
  [fourOnBlack, 1],
  [thumbOnBlack, 1],
  [fiveOnBlack, 1],
  [thumbPassing, 1],
];

/** The sets by name. */
export const RULE_SETS: Readonly<Record<FingeringRuleSet, readonly WeightedRow[]>> = {
  "parncutt-1997": [...TWELVE, [practicalSpan, 100]],
  standard: [
    ...TWELVE,
    [reach, 40],
    [thumbOnWhite, 20],
    [turnOnFive, 12],
    [fewTurns, 10],
    [nearTurn, 6],
    [neighbourFingers, 10],
    [handFrame, 4],
    [turnAfterTurn, 3],
    [compactGroup, 2],
    [scalePattern, 60],
    [slides, 1],
    [repeatedKey, 2],
    [fastWeakPair, 2],
  ],
  // The conventions of scales and arpeggios, weighted so that each yields to the ones before it.
  scale: [
    [fingerOrder, 1000],
    [thumbOnWhite, 400],
    [fewTurns, 40],
    [betweenBlacks, 40],
    [handFrame, 30],
    [thumbOnTonic, 25],
    [threeOnBlack, 8],
    [weakFinger, 6],
    [thumbPassing, 6],
    [neighbourFingers, 6],
    [blackGroup, 4],
    [fourOnWhite, 2],
    [compactGroup, 2],
    [nearTurn, 1],
    [slides, 1],
  ],
};

/** Every rule once. */
export const ALL_RULES: readonly FingeringRule[] = [
  ...new Set(Object.values(RULE_SETS).flatMap((rows) => rows.map(([rule]) => rule))),
];
