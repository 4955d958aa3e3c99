/**
 * Fingers for scales, arpeggios, lines and chords: exact, explained, either hand.
 *
 * @module fingering
 */

export type { FingerPrice, FingerPriceOptions } from "./alternatives.ts";
export { fingerAlternatives, fingerPrice } from "./alternatives.ts";
export type { ChordFingering, ChordFingeringOptions } from "./chord.ts";
export { fingerChord } from "./chord.ts";
export type { Crossing, CrossingNote, HandPosition } from "./crossings.ts";
export type { BarDifficulty, FingerDifficulty, FingerDifficultyOptions } from "./difficulty.ts";
export { fingerDifficulty } from "./difficulty.ts";
export { fingerPassage } from "./finger.ts";
export type { Fingering, FingeringRemark, FingeringStep } from "./fingering.ts";
export type { FormatFingeringOptions } from "./format.ts";
export { formatFingering } from "./format.ts";
export type { FingeredSlide, LineFingering } from "./line.ts";
export type { FingeringAlternativesOptions, FingeringOptions, LineFingeringOptions } from "./options.ts";
export type { FingeringRuleOptions } from "./rule-set.ts";
export type {
  ChordRule,
  ChordWindow,
  FingeredKey,
  FingeringRule,
  FingeringRuleId,
  FingeringRuleRow,
  FingeringRuleSetId,
  FingeringRuleSetRow,
  HeldRule,
  HeldWindow,
  MoveKind,
  NoteRule,
  NoteWindow,
  PairRule,
  PairWindow,
  TripleRule,
  TripleWindow,
  WeightedRule,
} from "./rules.ts";
export { fingeringRuleCatalogue, fingeringRuleSetCatalogue } from "./rules.ts";
export type { ScaleFingering, ScaleFingeringOptions } from "./scale.ts";
export { fingerScale } from "./scale.ts";
export type { FingerPair, FingerSpan, FingerSpanOptions, HandSize, HandSpans, MeasuredHand } from "./spans.ts";
export { fingerSpan } from "./spans.ts";
export type { FingeringInKey, FingeringThroughKeys, FingerThroughKeysOptions } from "./through-keys.ts";
export { fingerThroughKeys } from "./through-keys.ts";
