import type { Pattern } from "./patterns/context.ts";
import { slides, upAndDown } from "./patterns/up-and-down.ts";

/** A right-hand exercise. */
export interface ExerciseRow {
  readonly id: string;
  readonly title: string;
  /** 1 for a beginner's first week to 5 for the advanced. */
  readonly grade: 1 | 2 | 3 | 4 | 5;
  /** What it is for, in a teacher's words. */
  readonly aim: string;
  readonly source: string;
}

interface PatternRow extends ExerciseRow {
  readonly pattern: Pattern;
}

const COMMON = "common practice, no source";

/** The exercises, easiest first. */
export const exerciseCatalogue = [
  {
    id: "up-and-down",
    title: "Up and down",
    grade: 1,
    aim: "Know the scale under the fingers: up to the top tonic and hold it, back down and hold it.",
    source: COMMON,
    pattern: upAndDown,
  },
  {
    id: "slides",
    title: "Up and down with slides",
    grade: 2,
    aim: "Put the blue note before its target as a grace note, one finger where the keys allow it.",
    source: COMMON,
    pattern: slides,
  },
] as const satisfies readonly PatternRow[];

/** The ids of {@link exerciseCatalogue}. */
export type ExerciseId = (typeof exerciseCatalogue)[number]["id"];
