import * as v from "valibot";
import { chartEntry, dayShape, takeEntry, weekShape, wishEntry } from "../notebook/inner.ts";
import { drillRecipeSchema } from "../recipe/inner.ts";
import { document, figure, files, guesses, named, note, sentences, tally, text, words } from "./answer-fields.ts";

const tempo = figure("Beats a minute; none is safe for every hand.");
const minutes = tally("Minutes.");
const restShape = (kind: "warm-up" | "break") =>
  v.strictObject({ kind: v.literal(kind), minutes, reason: words("What it is for.") });

/** A plan of practice. */
export const planAnswerSchema = document("Answer of plan", "Which drill, key and tempo on which day.", {
  kind: named(v.literal("practice-plan"), "Kind", "What it is."),
  days: named(
    v.array(
      v.strictObject({
        day: tally("Practice day, from 1.", 1),
        week: tally("Week, from 1.", 1),
        offset: tally("Days from the plan's first day, days off included."),
        date: v.exactOptional(dayShape),
        minutes,
        items: v.array(
          v.variant("kind", [
            restShape("warm-up"),
            restShape("break"),
            v.strictObject({
              kind: v.literal("drill"),
              minutes,
              key: note,
              tempo,
              recipe: drillRecipeSchema,
              visit: tally("The how-manieth practice day with this key.", 1),
              gap: v.exactOptional(tally("Practice days since the one before with this key.")),
              weak: v.boolean(),
              reason: words("Why this key and this tempo now."),
              sheet: v.exactOptional(words("The file name of its sheet.")),
            }),
          ]),
        ),
      }),
    ),
    "Days",
    "Practice days in order.",
  ),
  keys: named(
    v.array(
      v.strictObject({
        key: note,
        weak: v.boolean(),
        visits: tally("Practice days with this key."),
        highestTempo: tempo,
      }),
    ),
    "Keys",
    "In the order in which they are practised.",
  ),
  assumptions: sentences("Assumptions", "Every rule and figure that the plan rests on."),
  caution: text("Caution", "What to print beside any plan."),
  files,
  guesses,
});

/** A take that went into a notebook. */
export const takeAnswerSchema = document("Answer of notebook take", "What a take showed.", takeEntry.entries);

/** A student's next week. */
export const weekAnswerSchema = document(
  "Answer of notebook next",
  "A week of practice. No tempo is safe for every hand.",
  {
    ...weekShape.entries,
    files,
  },
);

const evidenceFields = {
  takes: tally("Takes as a whole."),
  cleanTakes: tally("Of these, clean ones."),
  run: figure("Clean takes in a row up to now; negative: takes that were not."),
  tempo: v.exactOptional(tempo),
  last: v.exactOptional(dayShape),
};

/** What a notebook tells. */
export const showAnswerSchema = document("Answer of notebook show", "What a notebook tells of its student today.", {
  student: named(
    v.strictObject({
      alias: v.string(),
      level: v.picklist([1, 2, 3, 4, 5]),
      span: v.exactOptional(tally("The widest stretch of the left hand in semitones.")),
      known: v.array(note),
      weak: v.array(note),
      language: v.string(),
      minutesADay: minutes,
      daysAWeek: tally("Days.", 1),
      charts: v.array(chartEntry),
      wishes: v.array(wishEntry),
    }),
    "Student",
    "Of two entries the later one holds.",
  ),
  skills: named(
    v.array(
      v.strictObject({
        skill: v.string(),
        state: v.picklist(["ahead", "open", "learning", "aside", "known"]),
        ...evidenceFields,
        due: v.exactOptional(dayShape),
      }),
    ),
    "Skills",
    "What the takes tell of each.",
  ),
  keys: named(
    v.array(
      v.strictObject({ tonic: note, mode: v.picklist(["major", "minor"]), ...evidenceFields, weak: v.boolean() }),
    ),
    "Keys",
    "What the takes tell of each.",
  ),
});
