/**
 * Right-hand lines: graded exercises that fit a progression, rules of phrasing that can be checked, and lines generated from a seed.
 *
 * @module line
 */
export type { ExerciseId, ExerciseRow } from "./catalogue.ts";
export { exerciseCatalogue } from "./catalogue.ts";
export type { CheckLineOptions, FoundPhrase, LineFinding, LineReport } from "./check.ts";
export { checkLine } from "./check.ts";
export type { DraftNote, DraftPhrase } from "./draft.ts";
export type { ExerciseOptions } from "./exercise.ts";
export { exerciseLine } from "./exercise.ts";
export { formatForm } from "./form.ts";
export type { GeneratedFigure, GeneratedLine, GeneratedPhrase, GenerateLineOptions } from "./generate.ts";
export { generateLine } from "./generate.ts";
export type { Grid, LineValues } from "./grid.ts";
export type { ChordSlot } from "./harmony.ts";
export type { ComingChord, HeardChord, HeardLine, HeardNote, HeardPhrase } from "./heard.ts";
export type { MotifRole } from "./improvise/plan.ts";
export type { LickNotes, LickOptions } from "./lick.ts";
export { lickRow } from "./lick.ts";
export type { Line } from "./line.ts";
export type { Pattern, PatternContext } from "./patterns/context.ts";
export type { Figure } from "./patterns/figure.ts";
export { phraseRuleCatalogue } from "./rules/index.ts";
export type { Breach, OpenNote, PhraseRuleRow } from "./rules/rule.ts";
export type { Changes, ChangesLike } from "./shape.ts";
export { usualScale } from "./usual-scale.ts";
export type { Idiom, ServedChord, VocabularyRow } from "./vocabulary.ts";
export { vocabularyCatalogue } from "./vocabulary.ts";
