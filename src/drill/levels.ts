import { MusicError } from "../errors.ts";
import type { DrillRecipe } from "./recipe.ts";

/** A student's level: what the left hand is given, and the right hand's exercises in the order of a lesson. */
export interface Level {
  /** 1 for the first lessons. */
  readonly id: number;
  readonly title: string;
  readonly left: Omit<DrillRecipe, "key">;
  readonly exercises: readonly Omit<DrillRecipe, "key">[];
}

/** The levels of a packet; a new one is one more row. Common practice, no source. */
export const levelCatalogue = [
  {
    id: 1,
    title: "shells, root then chord",
    left: { left: "shell", comping: "root-then-chord" },
    exercises: [
      { right: "up-and-down", values: "eighths" },
      { right: "up-and-down", values: "triplets" },
      { right: "slides", values: "eighths" },
    ],
  },
  {
    id: 2,
    title: "rootless voicings held",
    left: { left: "rootless", comping: "held" },
    exercises: [
      { right: "fours", values: "eighths" },
      { right: "threes", values: "triplets" },
      { right: "broken-thirds", values: "eighths" },
    ],
  },
] as const satisfies readonly Level[];

/**
 * A level's row.
 *
 * @throws MusicError `drill/level` when there is no such level
 *
 * @example
 * ```ts
 * import { levelOf } from "hands-together";
 *
 * levelOf(1).title; // => "shells, root then chord"
 * ```
 */
export function levelOf(id: number): Level {
  const level = levelCatalogue.find((row) => row.id === id);
  if (level === undefined) {
    throw new MusicError({ code: "drill/level", input: id, expected: `a level: ${levelCatalogue.map((row) => row.id).join(", ")}` });
  }
  return level;
}
