/**
 * What other folders of this library may use besides: the ways in for rules and sets of rules, unchecked variants.
 *
 * @module fingering-inner
 */

export { chordFingers } from "./chord.ts";
export { difficultyOf } from "./difficulty.ts";
export { fingeringRule, fingeringRuleSet } from "./rules.ts";
export { spansOf } from "./spans.ts";
