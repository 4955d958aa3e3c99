import * as v from "valibot";
import { parseNote, pitchClassOf } from "../pitch/index.ts";
import { drillFields, drillRecipeSchema } from "./drill.ts";
import type { Given } from "./field.ts";
import { documentFields, field, listOf, plainDocument, refusedBy, rule, together, whole } from "./field.ts";
import { levelCatalogue, levelShape } from "./levels.ts";
import { keyFields, modeShape, tonic } from "./packet.ts";
import { readDocument } from "./read.ts";

const { key: _key, tempo: _tempo, ...fieldsOfAnyKey } = drillFields;

const isDay = (text: string): boolean => {
  const [year = 0, month = 0, day = 0] = text.split("-").map(Number);
  const moment = new Date(Date.UTC(year, month - 1, day));
  return year >= 1900 && year <= 9000 && moment.getUTCMonth() === month - 1 && moment.getUTCDate() === day;
};

/** A drill's fields without key and tempo. */
export const recipeForAnyKeyShape = v.strictObject(fieldsOfAnyKey);

/** The fields of a plan. */
export const planFields = {
  level: v.optional(
    field(
      levelShape,
      "Level",
      "Level, 1 to 5, or a row of one's own: it picks the drills, the exercises of this level, then of the one below, with the level's left hand.",
    ),
    1,
  ),
  drills: v.optional(
    field(
      listOf(recipeForAnyKeyShape, 200),
      "Drills",
      "The drills to go through instead of a level's, without key and tempo; in minor keys, one without changes gets the minor turnaround.",
      { never: true },
    ),
  ),
  ...keyFields,
  mode: v.optional(field(modeShape, "Mode", "Major or minor keys."), "major"),
  weakKeys: v.optional(
    field(
      v.pipe(v.array(tonic), v.maxLength(30)),
      "Weak keys",
      "Keys that shall come more often, at most half of the day's drills.",
      { flag: "weak", argument: "keys" },
    ),
    [],
  ),
  minutesADay: v.optional(
    field(whole(1, 480), "Minutes a day", "Minutes a day with warm-up and breaks, 1 to 480.", {
      flag: "minutes",
      argument: "n",
    }),
    30,
  ),
  minutesADrill: v.optional(
    field(whole(1, 60), "Minutes a drill", "Minutes on one drill, 1 to 60.", { argument: "n" }),
    5,
  ),
  warmUpMinutes: v.optional(field(whole(0, 60), "Warm-up", "Minutes of warming up, 0 to 60.", { argument: "n" }), 3),
  breakAfter: v.optional(
    field(whole(1, 120), "Break after", "The longest stretch of playing without a break, in minutes, 1 to 120.", {
      argument: "n",
    }),
    20,
  ),
  breakMinutes: v.optional(field(whole(1, 60), "Break", "Minutes of a break, 1 to 60.", { argument: "n" }), 5),
  weeks: v.optional(field(whole(1, 52), "Weeks", "Weeks, 1 to 52.", { argument: "n" }), 4),
  daysAWeek: v.optional(
    field(whole(1, 7), "Days a week", "Practice days a week, 1 to 7, spread over it.", { flag: "days", argument: "n" }),
    5,
  ),
  startTempo: v.optional(
    field(whole(20, 400), "Start tempo", "Beats a minute on a drill's first day in a key, 20 to 400.", {
      flag: "tempo",
      argument: "bpm",
    }),
    60,
  ),
  tempoStep: v.optional(
    field(
      whole(0, 100),
      "Tempo step",
      "Beats a minute more each time the drill returns in that key on another day, 0 to 100.",
      { argument: "n" },
    ),
    4,
  ),
  targetTempo: v.optional(
    field(
      whole(20, 400),
      "Target tempo",
      "Where the tempo stops rising, up to 400 (120, or the start tempo where that is higher, unless given). No tempo is safe for every hand.",
      { flag: "target", argument: "bpm" },
    ),
  ),
  startDate: v.optional(
    field(
      v.pipe(
        v.string(),
        v.regex(/^\d{4}-\d\d-\d\d$/, "a date such as 2027-01-04"),
        v.check(isDay, "a date from 1900 to 9000 such as 2027-01-04"),
      ),
      "Start date",
      "The first day, such as 2027-01-04 (days are numbered only, unless given).",
      { flag: "start", argument: "date" },
    ),
  ),
} as const;

const planObject = v.strictObject({ ...documentFields("plan"), ...planFields });

type PlanDocument = v.InferOutput<typeof planObject>;

const targetIsAhead = rule<PlanDocument>(({ startTempo, targetTempo }) =>
  targetTempo === undefined || targetTempo >= startTempo
    ? []
    : [{ field: "targetTempo", expected: `at least ${startTempo}, the start tempo` }],
);

const keysDiffer = rule<PlanDocument>(({ keys }) =>
  keys === "all" || new Set(keys.map((name) => pitchClassOf(parseNote(name)))).size === keys.length
    ? []
    : [{ field: "keys", expected: "a list of different keys" }],
);

const drillsCanBeRead = rule<PlanDocument>(({ drills = [], mode }) =>
  drills.flatMap((drill) => {
    const whole = { ...(mode === "minor" && { changes: MINOR }), ...drill, key: mode === "minor" ? "C minor" : "C" };
    const refused = refusedBy(() => readDocument(drillRecipeSchema, whole, "recipe/drill"));
    return refused === undefined ? [] : [{ field: "drills", expected: refused }];
  }),
);

const MINOR = levelCatalogue[0].changes.minor;

/** What {@link PlanRecipe} says, as valibot checks it. */
export const planRecipeSchema = v.pipe(
  planObject,
  v.title("Plan"),
  v.description(
    "Weeks of practice in words and figures: which drills and keys, how long a day, how fast. Every field has a default. No length of practice and no tempo is safe for everyone.",
  ),
  together(targetIsAhead, keysDiffer, drillsCanBeRead),
);

/**
 * Weeks of practice in words and figures, as JSON: what `makePracticePlan` makes a plan from. Unknown fields are refused. Every field has a
 * default, so `{}` is a whole recipe. Each field is told in the JSON Schema of a plan, `hands-together/schemas/plan.json`.
 */
export type PlanRecipe = Given<v.InferInput<typeof planObject>>;

/** A plan recipe with its defaults filled in. */
export type FullPlanRecipe = Given<Omit<v.InferOutput<typeof planObject>, "$schema" | "kind" | "version">> & {
  readonly targetTempo: number;
};

/**
 * Checks a plan recipe from any source and fills in its defaults.
 *
 * @param recipe - a value such as `JSON.parse` gives
 * @throws MusicError `recipe/plan` for unknown fields, bad values and fields that don't go together: all that is wrong, each with its path
 *
 * @example
 * ```ts
 * import { parsePlanRecipe } from "hands-together";
 *
 * parsePlanRecipe({ startTempo: 132 }).targetTempo; // => 132
 * parsePlanRecipe({ weeks: 0 }); // throws "recipe/plan"
 * ```
 */
export function parsePlanRecipe(recipe: unknown): FullPlanRecipe {
  const read = plainDocument(readDocument(planRecipeSchema, recipe, "recipe/plan"));
  return { ...read, targetTempo: read.targetTempo ?? Math.max(120, read.startTempo) };
}
