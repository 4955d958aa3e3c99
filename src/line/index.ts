/**
 * Right-hand lines: graded exercises that fit a progression.
 *
 * @module line
 */
export type { ExerciseId, ExerciseRow } from "./catalogue.ts";
export { exerciseCatalogue } from "./catalogue.ts";
export type { Changes, ExerciseOptions } from "./exercise.ts";
export { exercise } from "./exercise.ts";
export type { LineValues } from "./grid.ts";
export type { Line } from "./line.ts";
