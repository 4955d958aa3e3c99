/**
 * Roman numerals, chord charts and named progressions, in any key.
 *
 * @module progression
 */
export type { ProgressionRow } from "./catalogue.ts";
export { progressionCatalogue } from "./catalogue.ts";
export type { ChordSpan, Progression, ProgressionOptions, ProgressionSection } from "./chart.ts";
export { parseChart } from "./chart.ts";
export { parseNumeral } from "./numeral.ts";
export { parseProgression, transposeProgression } from "./progression.ts";
