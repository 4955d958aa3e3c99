/**
 * Right-hand lines: graded exercises that fit a progression.
 *
 * @module line
 */
export type { ExerciseId, ExerciseRow } from "./catalogue.ts";
export { exerciseCatalogue } from "./catalogue.ts";
export type { ExerciseOptions, Line } from "./exercise.ts";
export { exercise } from "./exercise.ts";
export type { LineValues } from "./grid.ts";
