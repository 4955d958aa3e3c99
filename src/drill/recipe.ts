import * as v from "valibot";
import type { BackingId } from "../backing/index.ts";
import { backingCatalogue } from "../backing/index.ts";
import type { CompingId, PickupId } from "../comping/index.ts";
import { compingCatalogue, pickupCatalogue } from "../comping/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { RightHandId } from "./right-hand.ts";
import { rightHandCatalogue } from "./right-hand.ts";

const text = v.pipe(v.string(), v.minLength(1), v.maxLength(20_000));
const idOf = <Id extends string>(rows: readonly { readonly id: Id }[]) => v.picklist(rows.map((row) => row.id));

// Recipes are type aliases, for an interface would not fit where other fields may stand beside, as in assess's PracticeRecipe.

/**
 * A drill in words and figures, as JSON: what {@link makeDrill} makes a score from. Unknown fields are refused.
 *
 * Everything but the key has a default, so `{ "key": "Eb" }` is a whole recipe. No span or tempo is safe for every hand.
 */
export type DrillRecipe = {
  /** Key of the progression and of the scale, such as `"Eb"`; exactly the spelling asked for. */
  readonly key: string;
  /**
   * A named progression, Roman numerals, or a chart of chord symbols, which stays as written unless `chartKey` is given.
   * @defaultValue `"turnaround"`
   */
  readonly changes?: string | undefined;
  /** The key that a chart of chord symbols is written in; it is transposed from there to `key`. @defaultValue none: not transposed */
  readonly chartKey?: string | undefined;
  /**
   * Left-hand voicings: three-note shells (two notes where they are held, so that one hand reaches them) or rootless forms.
   * @defaultValue `"shell"`
   */
  readonly left?: "shell" | "rootless" | undefined;
  /** Left-hand pattern. @defaultValue root then chord for shells, held chords for rootless voicings */
  readonly comping?: CompingId | undefined;
  /** Pickups in the left hand: `true` is 5th, then root. @defaultValue `false` */
  readonly pickup?: boolean | PickupId | undefined;
  /** Bass roots an octave lower, E1 to E♭2. @defaultValue `false` */
  readonly lowBass?: boolean | undefined;
  /** Right hand: an exercise, or `"improvised"` for a generated line of phrases over the chords. @defaultValue `"up-and-down"` */
  readonly right?: RightHandId | undefined;
  /** How hard an improvised line is, 1 to 5; refused beside an exercise, which has its own level. @defaultValue 3 */
  readonly level?: 1 | 2 | 3 | 4 | 5 | undefined;
  /** Scale of the right hand, without its tonic. @defaultValue major blues in major, minor blues in minor */
  readonly scale?: string | undefined;
  /** Note values of the right hand. @defaultValue `"eighths"`; for an improvised line, the mixture of its level */
  readonly values?: "eighths" | "triplets" | undefined;
  /** Octaves of the scale, or that an improvised line ranges over from C4. @defaultValue 1; for an improvised line, the range of its level */
  readonly octaves?: 1 | 2 | 3 | undefined;
  /** Beats a minute, 20 to 400. @defaultValue 100 */
  readonly tempo?: number | undefined;
  /** A named feel or a ratio such as `"2:1"`. @defaultValue `"2:1"` */
  readonly feel?: string | undefined;
  /** Bass and drums to play along with, or `"none"`. @defaultValue `"swing"` */
  readonly backing?: BackingId | "none" | undefined;
  /** The chance in bass, drums and an improvised line: another seed, another track and line. @defaultValue 1 */
  readonly seed?: number | undefined;
  /** How many times the whole is played, 1 to 100. @defaultValue 1 */
  readonly repeats?: number | undefined;
};

/** A drill recipe with every default filled in; what depends on other fields may stay open. */
export type FullDrillRecipe = DrillRecipe & {
  readonly changes: string;
  readonly left: "shell" | "rootless";
  readonly pickup: boolean | PickupId;
  readonly lowBass: boolean;
  readonly right: RightHandId;
  readonly tempo: number;
  readonly feel: string;
  readonly backing: BackingId | "none";
  readonly seed: number;
  readonly repeats: number;
};

/** What {@link DrillRecipe} says, as valibot checks it. */
export const drillRecipeSchema = v.strictObject({
  key: text,
  changes: v.optional(text, "turnaround"),
  chartKey: v.optional(text),
  left: v.optional(v.picklist(["shell", "rootless"]), "shell"),
  comping: v.optional(idOf(compingCatalogue)),
  pickup: v.optional(v.union([v.boolean(), idOf(pickupCatalogue)]), false),
  lowBass: v.optional(v.boolean(), false),
  right: v.optional(idOf(rightHandCatalogue), "up-and-down"),
  level: v.optional(v.picklist([1, 2, 3, 4, 5])),
  scale: v.optional(text),
  values: v.optional(v.picklist(["eighths", "triplets"])),
  octaves: v.optional(v.picklist([1, 2, 3])),
  tempo: v.optional(v.pipe(v.number(), v.minValue(20), v.maxValue(400)), 100),
  feel: v.optional(text, "2:1"),
  backing: v.optional(v.picklist(["none", ...backingCatalogue.map((row) => row.id)]), "swing"),
  seed: v.optional(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(2 ** 31 - 1)), 1),
  repeats: v.optional(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(100)), 1),
});

/**
 * Checks a recipe from any source and fills in its defaults.
 *
 * @param recipe - a value such as `JSON.parse` gives
 * @throws MusicError `drill/recipe` for the first unknown field or bad value, with its path
 *
 * @example
 * ```ts
 * import { parseDrillRecipe } from "hands-together";
 *
 * parseDrillRecipe({ key: "Eb" }).changes; // => "turnaround"
 * parseDrillRecipe({ key: "Eb", tempo: "fast" }); // throws "drill/recipe"
 * ```
 */
export function parseDrillRecipe(recipe: unknown): FullDrillRecipe {
  const read = readRecipe(drillRecipeSchema, recipe, "drill/recipe");
  if (read.right === "improvised") return { ...read, level: read.level ?? 3 };
  if (read.level !== undefined) {
    throw new MusicError({
      code: "drill/recipe",
      input: read.level,
      expected: `no level beside the exercise ${read.right}, which has its own`,
      hint: 'levels are for the right hand "improvised"',
    });
  }
  return { ...read, values: read.values ?? "eighths", octaves: read.octaves ?? 1 };
}

/** Checks a value against the schema of a recipe: its output with every default, or one error with the path of what is wrong. */
export const readRecipe = <Entries extends v.ObjectEntries>(
  schema: v.StrictObjectSchema<Entries, undefined>,
  recipe: unknown,
  code: MusicError["code"],
): v.InferOutput<v.StrictObjectSchema<Entries, undefined>> => {
  // valibot takes a list for an object and its methods for fields.
  const result = v.safeParse(schema, Array.isArray(recipe) ? undefined : recipe, { abortEarly: true });
  if (result.success) return result.output;
  const [outer] = result.issues;
  const issue = innermost(outer);
  const path =
    [outer, ...(issue === outer ? [] : [issue])]
      .map((part) => v.getDotPath(part))
      .filter((part) => part !== null)
      .join(".") || "recipe";
  const unknown = issue.type === "strict_object" && issue.expected === "never";
  const fields = Object.keys(schema.entries);
  const near = unknown ? nearestName(path, fields) : hintFor(issue);
  throw new MusicError({
    code,
    input: unknown ? path : issue === outer && issue.path === undefined ? recipe : issue.input,
    expected: unknown ? `one of the fields ${fields.join(", ")}` : `${expectedBy(issue)} at ${path}`,
    ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
  });
};

// Of a choice such as "all or a list", the alternative that fits as a whole and fails within tells more than the choice.
const innermost = (issue: v.BaseIssue<unknown>): v.BaseIssue<unknown> =>
  issue.issues?.find((inner) => inner.kind === "validation" || inner.path !== undefined) ?? issue;

const expectedBy = ({ type, message, expected, requirement, input }: v.BaseIssue<unknown>): string => {
  const some = `${String(requirement)} ${Array.isArray(input) ? "item" : "character"}${requirement === 1 ? "" : "s"}`;
  switch (type) {
    case "regex":
      return message;
    case "strict_object":
      return expected?.startsWith('"') === true ? "a value" : "an object";
    case "integer":
      return "a whole number";
    case "min_value":
      return `at least ${String(requirement)}`;
    case "max_value":
      return `at most ${String(requirement)}`;
    case "min_length":
      return `at least ${some}`;
    case "max_length":
      return `at most ${some}`;
    default:
      return (expected ?? "something else")
        .replace(/[()"]/g, "")
        .replace(/ \| /g, ", ")
        .replace("Array", "a list")
        .replace("Object", "an object");
  }
};

const hintFor = (issue: v.BaseIssue<unknown>): string | undefined =>
  issue.type === "picklist" && typeof issue.input === "string" && issue.expected !== null
    ? nearestName(issue.input, issue.expected.replace(/[()"]/g, "").split(" | "))
    : undefined;
