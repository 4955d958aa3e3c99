/**
 * Fingers for scales, arpeggios, lines and chords: exact, explained, either hand.
 *
 * @module fingering
 */
export type { Crossing, CrossingNote, HandPosition } from "./crossings.ts";
export type { FingerSpan, HandSize } from "./spans.ts";
export { fingerSpan } from "./spans.ts";
export type { RuleOptions } from "./rule-set.ts";
export type { Fingering, PassageOptions } from "./passage.ts";
export { fingerPassage } from "./passage.ts";
