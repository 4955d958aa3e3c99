import { MusicError } from "../errors.ts";
import { exerciseCatalogue } from "../line/index.ts";
import type { KeyMode } from "../pitch/index.ts";
import type { DrillRecipe } from "./recipe.ts";

/** What the drills of a level have in common; the exercises themselves carry theirs. */
export interface LevelRow {
  /** 1 for first lessons to 5 for the advanced. */
  readonly id: 1 | 2 | 3 | 4 | 5;
  /** What to call it. */
  readonly title: string;
  /** The progression, in major keys and in minor ones. */
  readonly changes: Readonly<Record<KeyMode, string>>;
  /** Left hand of every drill. */
  readonly left: NonNullable<DrillRecipe["left"]>;
  /** Pickups in the left hand. */
  readonly pickup: boolean;
  /** Note values, by turns from drill to drill. */
  readonly values: readonly NonNullable<DrillRecipe["values"]>[];
  /** Octaves of the scale, where the exercise doesn't need more. */
  readonly octaves: NonNullable<DrillRecipe["octaves"]>;
  /** Where it comes from. */
  readonly source: string;
}

const SOURCE = "our choice after common practice, no source";

/** The levels of packets and practice plans, easiest first; a new one is one more row. */
export const levelCatalogue = [
  {
    id: 1, title: "First lessons", changes: { major: "turnaround", minor: "minor-turnaround" },
    left: "shell", pickup: false, values: ["eighths"], octaves: 1, source: SOURCE,
  },
  {
    id: 2, title: "Shells in motion", changes: { major: "turnaround", minor: "minor-turnaround" },
    left: "shell", pickup: true, values: ["eighths", "triplets"], octaves: 1, source: SOURCE,
  },
  {
    id: 3, title: "Rootless voicings", changes: { major: "two-five-one", minor: "minor-two-five-one" },
    left: "rootless", pickup: false, values: ["eighths", "triplets"], octaves: 1, source: SOURCE,
  },
  {
    id: 4, title: "Two octaves", changes: { major: "turnaround-dominants", minor: "minor-turnaround-flat-six" },
    left: "rootless", pickup: false, values: ["eighths", "triplets"], octaves: 2, source: SOURCE,
  },
  {
    id: 5, title: "Substitutes, triplets first", changes: { major: "turnaround-tritone", minor: "minor-cycle" },
    left: "rootless", pickup: false, values: ["triplets", "eighths"], octaves: 2, source: SOURCE,
  },
] as const satisfies readonly LevelRow[];

/** A level of {@link levelCatalogue}: 1 for first lessons to 5 for the advanced. */
export type LevelId = (typeof levelCatalogue)[number]["id"];

/** Options of {@link drillsOfLevel}. */
export interface DrillsOfLevelOptions {
  /** Whether the keys are major or minor. @defaultValue `"major"` */
  readonly mode?: KeyMode;
}

/** A drill recipe that leaves key and tempo open. */
export type RecipeForAnyKey = Omit<DrillRecipe, "key" | "tempo">;

/**
 * The drills of a level: the exercises of that level, then of the one below (for the first level, the one above), with the level's left hand.
 *
 * @throws MusicError `drill/level` when there is no such level
 *
 * @example
 * ```ts
 * import { drillsOfLevel } from "hands-together";
 *
 * drillsOfLevel(1)[0]; // => { changes: "turnaround", right: "up-and-down", values: "eighths", octaves: 1, left: "shell", pickup: false }
 * ```
 */
export function drillsOfLevel(level: LevelId, { mode = "major" }: DrillsOfLevelOptions = {}): readonly RecipeForAnyKey[] {
  // Below the first level there is none: its lessons go on with the easiest exercises of the next.
  const levels = [level, level === 1 ? 2 : level - 1];
  return drillsFrom(level, mode, levels.flatMap((near) => exerciseCatalogue.filter((exercise) => exercise.level === near)));
}

/** The given exercises as drills of a level. */
export const drillsFrom = (level: LevelId, mode: KeyMode, exercises: readonly (typeof exerciseCatalogue)[number][]): readonly RecipeForAnyKey[] => {
  const row = levelCatalogue.find((candidate) => candidate.id === level);
  if (row === undefined) throw new MusicError({ code: "drill/level", input: level, expected: "a level from 1 to 5" });
  return exercises.map((exercise, i) => ({
    changes: row.changes[mode],
    right: exercise.id,
    values: row.values[i % row.values.length] as NonNullable<DrillRecipe["values"]>,
    octaves: Math.max(row.octaves, exercise.leastOctaves) as NonNullable<DrillRecipe["octaves"]>,
    left: row.left,
    pickup: row.pickup,
  }));
};
