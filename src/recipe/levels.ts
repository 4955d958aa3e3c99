import * as v from "valibot";
import type { CompingId } from "../comping/index.ts";
import { compingCatalogue, pickupCatalogue } from "../comping/index.ts";
import { check, checkOnce } from "../ground/check.ts";
import { rowFields } from "../ground/door.ts";
import { MusicError } from "../ground/errors.ts";
import type { ExerciseRow } from "../line/index.ts";
import { exerciseCatalogue } from "../line/index.ts";
import { exerciseRowSchema } from "../line/inner.ts";
import type { KeyMode } from "../pitch/index.ts";
import { parseProgression } from "../progression/index.ts";
import { STYLES } from "../voicing/inner.ts";
import type { DrillRecipe } from "./drill.ts";
import { field, idOf, idOrRow, listOf, readBy, whole } from "./field.ts";
import type { RightHandId } from "./right-hand.ts";
import { rightHandCatalogue } from "./right-hand.ts";

const exerciseRow: v.GenericSchema<ExerciseRow> = exerciseRowSchema;

/** What the drills of a level have in common; the exercises themselves carry theirs. */
export interface LevelRow {
  /** Its name in recipes and file names; those that ship are the figures 1, for first lessons, to 5 for the advanced. */
  readonly id: number | string;
  /** What to call it. */
  readonly title: string;
  /** How hard: which exercises it takes first, and how hard an improvised line is. */
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** The progression, in major keys and in minor ones. */
  readonly changes: Readonly<Record<KeyMode, string>>;
  /** Left hand of every drill. */
  readonly left: NonNullable<DrillRecipe["left"]>;
  /** Pickups in the left hand. */
  readonly pickup: NonNullable<DrillRecipe["pickup"]>;
  /** Its pattern under exercises that have none of their own. @defaultValue that of its voicings: root, then chord for shells, held chords for the rest */
  readonly comping?: CompingId | undefined;
  /** Note values, by turns from drill to drill. */
  readonly values: readonly NonNullable<DrillRecipe["values"]>[];
  /** Octaves of the scale, where the exercise doesn't need more. */
  readonly octaves: NonNullable<DrillRecipe["octaves"]>;
  /** What the right hand plays, drill by drill, instead of the exercises of its level. */
  readonly right?: readonly (RightHandId | ExerciseRow)[] | undefined;
  /** Where it comes from. */
  readonly source: string;
}

const SOURCE = "our choice after common practice, no source";

/**
 * The levels of packets and practice plans, easiest first: under the hands too, as a test holds it, all drills of a level at one tempo. A new one is
 * one more row.
 */
export const levelCatalogue = [
  {
    id: 1,
    level: 1,
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
    level: 2,
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
    level: 3,
    title: "Rootless voicings",
    changes: { major: "two-five-one", minor: "minor-two-five-one" },
    left: "rootless",
    pickup: false,
    comping: "charleston",
    values: ["eighths", "triplets"],
    octaves: 1,
    source: SOURCE,
  },
  {
    id: 4,
    level: 4,
    title: "Two octaves",
    changes: { major: "turnaround-dominants", minor: "minor-turnaround-flat-six" },
    left: "rootless",
    pickup: false,
    comping: "reverse-charleston",
    values: ["eighths", "triplets"],
    octaves: 2,
    source: SOURCE,
  },
  {
    id: 5,
    level: 5,
    title: "Substitutes, triplets first",
    changes: { major: "turnaround-tritone", minor: "minor-cycle" },
    left: "rootless",
    pickup: false,
    comping: "syncopated",
    values: ["triplets", "eighths"],
    octaves: 2,
    source: SOURCE,
  },
] as const satisfies readonly LevelRow[];

/** A level of {@link levelCatalogue}: 1 for first lessons to 5 for the advanced. */
export type LevelId = (typeof levelCatalogue)[number]["id"];

/** What the right hand plays, by id or as a row of one's own. */
export const rightHandShape = idOrRow(rightHandCatalogue, exerciseRow);

/** A level of one's own, as recipes hold it. */
const levelRowSchema: v.GenericSchema<LevelRow> = v.strictObject({
  ...rowFields,
  level: field(v.picklist([1, 2, 3, 4, 5]), "Level", "Which exercises it takes first, and how hard a line is."),
  changes: field(
    v.strictObject({ major: readBy((text) => parseProgression(text)), minor: readBy(parseProgressionInMinor) }),
    "Changes",
    "The progression in major keys and in minor ones.",
  ),
  left: field(
    v.union([v.picklist(STYLES), listOf(v.picklist(STYLES), 10)]),
    "Left hand",
    "Styles of voicing, in order of preference.",
  ),
  pickup: field(v.union([v.boolean(), idOf(pickupCatalogue)]), "Pickup", "Pickups in the left hand."),
  comping: v.optional(field(idOf(compingCatalogue), "Comping", "Pattern of the left hand.")),
  values: field(
    listOf(v.picklist(["eighths", "triplets"]), 12),
    "Values",
    "Note values, by turns from drill to drill.",
  ),
  octaves: field(v.picklist([1, 2, 3]), "Octaves", "Octaves of the scale."),
  right: v.optional(field(listOf(rightHandShape, 12), "Right hand", "What the right hand plays, drill by drill.")),
});

function parseProgressionInMinor(text: string): unknown {
  return parseProgression(text, { key: "C minor" });
}

/** How many exercises, or which right hands, by id or as rows of one's own. */
export const exercisesShape = v.union([whole(1, 12), listOf(rightHandShape, 12)]);

/** A level by its figure, or a row of one's own. */
export const levelShape = v.union([v.picklist(levelCatalogue.map(({ id }) => id)), levelRowSchema]);

/** The row that is meant. */
const levelRow = (given: LevelId | LevelRow): LevelRow => {
  if (typeof given === "object" && given !== null) {
    checkOnce(levelRowSchema, given, "recipe/level");
    return given;
  }
  const row = levelCatalogue.find(({ id }) => id === given);
  if (row !== undefined) return row;
  throw new MusicError({ code: "recipe/level", input: given, expected: "a level from 1 to 5, or a row" });
};

/** Options of {@link drillsOfLevel}. */
export interface DrillsOfLevelOptions {
  /** Whether the keys are major or minor. @defaultValue `"major"` */
  readonly mode?: KeyMode | undefined;
  /** How many of them, or which right hands. @defaultValue all of the level */
  readonly exercises?: number | readonly (RightHandId | ExerciseRow)[] | undefined;
}

/** A drill recipe that leaves key and tempo open. */
export type RecipeForAnyKey = Omit<DrillRecipe, "key" | "tempo" | "$schema" | "kind" | "version">;

/**
 * The drills of a level: two of its exercises (or the one it has) and an improvised line, then its other exercises and those of the level below
 * (for the first level, the one above), with the level's left hand. A level of one's own may name its right hands itself.
 *
 * @throws MusicError `recipe/level` when there is no such level, or a row that is none
 *
 * @example
 * ```ts
 * import { drillsOfLevel } from "hands-together";
 *
 * drillsOfLevel(1)[0]; // => { changes: "turnaround", right: "up-and-down", values: "eighths", octaves: 1, left: "shell", pickup: false }
 * ```
 */
export function drillsOfLevel(
  level: LevelId | LevelRow,
  options: DrillsOfLevelOptions = {},
): readonly RecipeForAnyKey[] {
  check(optionsShape, options, "recipe/options");
  const { mode = "major", exercises } = options;
  const row = levelRow(level);
  const rightHands =
    typeof exercises === "object"
      ? [...new Set(exercises)]
      : (row.right ?? usualRightHands(row.level)).slice(0, exercises);
  let turn = 0;
  return rightHands.map((right): RecipeForAnyKey => {
    const exercise = typeof right === "object" ? right : exerciseCatalogue.find(({ id }) => id === right);
    return {
      changes: row.changes[mode],
      right,
      ...(right === "improvised" && { level: row.level }),
      ...(exercise !== undefined && figuresOf(row, exercise, turn++)),
      left: row.left,
      pickup: row.pickup,
      ...(row.comping !== undefined &&
        exercise !== undefined &&
        exercise.comping === undefined && { comping: row.comping }),
    };
  });
}

const optionsShape = /* @__PURE__ */ v.strictObject({
  mode: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["major", "minor"])),
  exercises: /* @__PURE__ */ v.optional(exercisesShape),
});

const EXERCISES_BEFORE_LINE = 2;

const usualRightHands = (level: LevelRow["level"]): readonly RightHandId[] => {
  // Below the first level there is none: its lessons go on with the easiest exercises of the next.
  const ids = [level, level === 1 ? 2 : level - 1].flatMap((near) =>
    exerciseCatalogue.filter((row) => row.level === near),
  );
  // A lesson goes from exercises to music: the line comes once the level's first figures lie in the hand.
  const before = ids.slice(0, EXERCISES_BEFORE_LINE).filter((row) => row.level === level).length;
  return [...ids.slice(0, before).map(({ id }) => id), "improvised", ...ids.slice(before).map(({ id }) => id)];
};

const figuresOf = (
  { values, octaves }: LevelRow,
  { leastOctaves }: ExerciseRow,
  turn: number,
): Pick<DrillRecipe, "values" | "octaves"> => ({
  values: values[turn % values.length],
  octaves: octaves < leastOctaves ? leastOctaves : octaves,
});
