import type { ExerciseId, ExerciseRow } from "../line/index.ts";
import { exerciseCatalogue } from "../line/index.ts";

/** What the right hand of a drill can play. */
export interface RightHandRow {
  /** An exercise's id, `"improvised"` for a generated line of phrases, or `"comping"` for chords with both hands. */
  readonly id: RightHandId;
  readonly title: string;
  /** What it is for, in a teacher's words. */
  readonly aim: string;
  readonly source: string;
}

/** A row of {@link rightHandCatalogue}. */
export type RightHandId = ExerciseId | "improvised" | "comping";

/**
 * What the right hand of a drill can play: the exercises, easiest first, then chords with both hands, and a generated line of phrases, which
 * comes in every level.
 *
 * @example
 * ```ts
 * import { rightHandCatalogue } from "hands-together/recipe";
 *
 * rightHandCatalogue[0].id; // => "up-and-down"
 * rightHandCatalogue.at(-1)?.title; // => "Improvised line"
 * ```
 */
export const rightHandCatalogue: readonly RightHandRow[] = [
  ...exerciseCatalogue.map(({ id, title, aim, source }) => ({ id, title, aim, source })),
  {
    id: "comping",
    title: "Comping with both hands",
    aim: "Strike the chords with both hands at once, as behind a singer or a horn; listen to the top notes as to a second melody.",
    source: "common practice, no source",
  },
  {
    id: "improvised",
    title: "Improvised line",
    aim: "Play phrases that begin, end and breathe over the chords; then answer each of them with one of your own.",
    source: "common practice, no source",
  },
];

/** What the right hand of a drill plays, in words. */
export const rightHandOf = (right: RightHandId | ExerciseRow): Pick<RightHandRow, "title" | "aim"> => {
  if (typeof right === "object") return right;
  const { title, aim } = rightHandCatalogue.find(({ id }) => id === right) ?? { title: right, aim: "" };
  return { title, aim };
};
