/**
 * Roman numerals, chord charts and named progressions, in any key.
 *
 * @module progression
 */
export type { ProgressionRow } from "./catalogue.ts";
export { progressionCatalogue } from "./catalogue.ts";
export { chartBars, formatChart, likelyKeys, parseChart, playChart } from "./chart.ts";
export type { Chart, ChartBar, ChartChord, ChartJump, ChartNote } from "./document.ts";
export type { KeyCandidate } from "./keys.ts";
export { withMelody } from "./melody.ts";
export { parseNumeral } from "./numeral.ts";
export type { PlayedBar } from "./play.ts";
export { parseProgression, transposeProgression } from "./progression.ts";
export type {
  BarSigns,
  ChordSpan,
  MetreChange,
  Progression,
  ProgressionOptions,
  ProgressionSection,
  WrittenForm,
} from "./types.ts";
