/**
 * Right-hand lines: graded exercises that fit a progression, rules of phrasing that can be checked, and lines generated from a seed.
 *
 * @module line
 */
export type { ExerciseId, ExerciseRow } from "./catalogue.ts";
export { exerciseCatalogue } from "./catalogue.ts";
export type { CheckLineOptions, FoundPhrase, LineFinding, LineReport, PhraseRuleRow } from "./check.ts";
export { checkLine, phraseRuleCatalogue } from "./check.ts";
export type { Changes, ExerciseOptions } from "./exercise.ts";
export { exerciseLine } from "./exercise.ts";
export { formatForm } from "./form.ts";
export type { GeneratedLine, GeneratedPhrase, GenerateLineOptions } from "./generate.ts";
export { generateLine, usualScale } from "./generate.ts";
export type { LineValues } from "./grid.ts";
export type { MotifRole } from "./improvise/plan.ts";
export type { Line } from "./line.ts";
