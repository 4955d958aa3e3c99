import { MusicError } from "../ground/errors.ts";
import type { ExerciseRow } from "../line/index.ts";
import { exerciseCatalogue } from "../line/index.ts";
import type { KeyMode } from "../pitch/index.ts";
import type { DrillRecipe } from "./recipe.ts";
import type { RightHandId } from "./right-hand.ts";

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
    id: 1,
    title: "First lessons",
    changes: { major: "turnaround", minor: "minor-turnaround" },
    left: "shell",
    pickup: false,
    values: ["eighths"],
    octaves: 1,
    source: SOURCE,
  },
  {
    id: 2,
    title: "Shells in motion",
    changes: { major: "turnaround", minor: "minor-turnaround" },
    left: "shell",
    pickup: true,
    values: ["eighths", "triplets"],
    octaves: 1,
    source: SOURCE,
  },
  {
    id: 3,
    title: "Rootless voicings",
    changes: { major: "two-five-one", minor: "minor-two-five-one" },
    left: "rootless",
    pickup: false,
    values: ["eighths", "triplets"],
    octaves: 1,
    source: SOURCE,
  },
  {
    id: 4,
    title: "Two octaves",
    changes: { major: "turnaround-dominants", minor: "minor-turnaround-flat-six" },
    left: "rootless",
    pickup: false,
    values: ["eighths", "triplets"],
    octaves: 2,
    source: SOURCE,
  },
  {
    id: 5,
    title: "Substitutes, triplets first",
    changes: { major: "turnaround-tritone", minor: "minor-cycle" },
    left: "rootless",
    pickup: false,
    values: ["triplets", "eighths"],
    octaves: 2,
    source: SOURCE,
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
 * The drills of a level: two of its exercises (or the one it has) and an improvised line, then its other exercises and those of the level below
 * (for the first level, the one above), with the level's left hand.
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
export function drillsOfLevel(
  level: LevelId,
  { mode = "major" }: DrillsOfLevelOptions = {},
): readonly RecipeForAnyKey[] {
  // Below the first level there is none: its lessons go on with the easiest exercises of the next.
  const levels = [level, level === 1 ? 2 : level - 1];
  const exercises = levels.flatMap((near) => exerciseCatalogue.filter((exercise) => exercise.level === near));
  // A lesson goes from exercises to music: the line comes once the level's first figures lie in the hand.
  const before = exercises.slice(0, EXERCISES_BEFORE_LINE).filter((exercise) => exercise.level === level).length;
  const ids = exercises.map((exercise) => exercise.id);
  return drillsFrom(level, mode, [...ids.slice(0, before), "improvised", ...ids.slice(before)]);
}

const EXERCISES_BEFORE_LINE = 2;

/** The given right hands as drills of a level. */
export const drillsFrom = (
  level: LevelId,
  mode: KeyMode,
  rightHands: readonly RightHandId[],
): readonly RecipeForAnyKey[] => {
  const row = levelCatalogue.find((candidate) => candidate.id === level);
  if (row === undefined) throw new MusicError({ code: "drill/level", input: level, expected: "a level from 1 to 5" });
  const exercises = rightHands.flatMap((id) => exerciseCatalogue.filter((exercise) => exercise.id === id));
  return rightHands.map((right) => ({
    changes: row.changes[mode],
    right,
    ...figuresOf(row, exercises, right),
    left: row.left,
    pickup: row.pickup,
  }));
};

const figuresOf = (
  row: LevelRow,
  exercises: readonly ExerciseRow[],
  right: RightHandId,
): Pick<DrillRecipe, "level" | "values" | "octaves"> => {
  const turn = exercises.findIndex((exercise) => exercise.id === right);
  const exercise = exercises[turn];
  if (exercise === undefined) return { level: row.id };
  return {
    values: row.values[turn % row.values.length] as NonNullable<DrillRecipe["values"]>,
    octaves: Math.max(row.octaves, exercise.leastOctaves) as NonNullable<DrillRecipe["octaves"]>,
  };
};
