import * as v from "valibot";
import { attempt, reads } from "../ground/attempt.ts";
import { check, checkOnce, faultsOf, isRecord, refusal, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { memo } from "../ground/memo.ts";
import { parseKey } from "../pitch/index.ts";
import { parseProgression } from "../progression/index.ts";
import type { DrillRecipe } from "../recipe/index.ts";
import { recipeHash } from "../recipe/index.ts";
import { canonicalJson, shortHash, tonicShape } from "../recipe/inner.ts";
import { isDay, isMoment } from "./dates.ts";

const text = (most: number) => v.pipe(v.string(), v.minLength(1), v.maxLength(most));
const count = (low: number, high: number) => v.pipe(v.number(), v.integer(), v.minValue(low), v.maxValue(high));
const amount = (low: number, high: number) => v.pipe(v.number(), v.minValue(low), v.maxValue(high));
const name = v.pipe(
  v.string(),
  v.regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, "an id of small letters, digits and hyphens"),
  v.maxLength(60),
);
const hash = v.pipe(v.string(), v.regex(/^[0-9a-v]{8}$/, "eight figures and small letters"));
const keyText = v.pipe(v.string(), v.maxLength(12), v.check(reads(parseKey), "a key such as Eb or C minor"));

export const momentShape = v.pipe(v.string(), v.check(isMoment, "a moment in UTC such as 2026-01-05T12:00:00Z"));
export const dayShape = v.pipe(v.string(), v.check(isDay, "a date such as 2026-01-05"));
const moment = v.pipe(
  momentShape,
  v.title("Moment"),
  v.description("When it was written down, in UTC. Of two settings the later one holds."),
);

/** A drill as it stands in a document; whoever makes it reads it. */
const recipe = shapeOf(
  (value: unknown): value is DrillRecipe => isRecord(value) && typeof value.key === "string",
  "a drill recipe",
);

/** Something to be said, in any language: the key of its words, and what stands in their gaps. */
export const messageShape = v.strictObject({
  key: v.pipe(v.string(), v.regex(/^[a-z0-9]+([.-][a-z0-9]+)*$/, "a key of words"), v.maxLength(100)),
  values: v.record(v.string(), v.union([text(300), v.number()])),
});

const studentEntry = v.strictObject({
  kind: v.literal("student"),
  at: moment,
  alias: v.optional(text(60)),
  level: v.optional(v.picklist([1, 2, 3, 4, 5])),
  span: v.optional(v.pipe(count(3, 17), v.description("The widest stretch of the left hand in semitones."))),
  known: v.optional(v.pipe(v.array(tonicShape), v.maxLength(30))),
  weak: v.optional(v.pipe(v.array(tonicShape), v.maxLength(30))),
  language: v.optional(name),
  minutesADay: v.optional(count(5, 240)),
  daysAWeek: v.optional(count(1, 7)),
});

export const chartEntry = v.strictObject({
  kind: v.literal("chart"),
  at: moment,
  title: text(100),
  changes: v.pipe(text(20_000), v.check(reads(parseProgression), "changes that can be read")),
  key: keyText,
});

export const wishEntry = v.strictObject({
  kind: v.literal("wish"),
  at: moment,
  want: v.pipe(
    v.picklist(["pin", "forbid", "leave"]),
    v.description("Into every week, into none, or as the evidence has it."),
  ),
  of: v.picklist(["skill", "key", "changes", "right"]),
  id: text(200),
});

const handShape = v.picklist(["right", "left"]);
const handsShape = v.picklist(["right", "left", "both"]);
const barsShape = v.pipe(v.array(count(0, 10_000)), v.maxLength(2000));

export const takeEntry = v.strictObject({
  kind: v.literal("take"),
  at: moment,
  title: v.pipe(v.string(), v.maxLength(300)),
  key: keyText,
  drill: v.optional(v.pipe(hash, v.description("Short name of the drill's recipe without its tempo."))),
  recipe: v.optional(recipe),
  recording: v.optional(v.pipe(hash, v.description("Short name of the recording, by which it is heard once."))),
  hands: handsShape,
  tempo: v.strictObject({ asked: amount(1, 2000), played: amount(1, 5000) }),
  accuracy: amount(0, 1),
  clean: v.boolean(),
  measures: v.pipe(
    v.array(
      v.strictObject({
        hand: handShape,
        accuracy: amount(0, 1),
        spreadMs: v.optional(amount(0, 10_000)),
        swing: v.optional(v.strictObject({ asked: amount(0, 100), played: amount(0, 1000) })),
      }),
    ),
    v.maxLength(2),
  ),
  findings: v.pipe(
    v.array(v.strictObject({ id: name, weight: amount(0, 1000), hand: v.optional(handShape), bars: barsShape })),
    v.maxLength(100),
  ),
  spot: v.optional(v.strictObject({ finding: name, hands: handsShape, bars: barsShape, recipe })),
});

const weekDrillShape = v.strictObject({
  id: v.pipe(hash, v.description("Short name of its recipe without its tempo, as in takes.")),
  part: v.picklist(["new", "going-on", "trouble-spot", "weak-key", "rested", "pinned"]),
  skill: v.optional(name),
  title: text(300),
  key: keyText,
  tempo: amount(20, 400),
  recipe,
  difficulty: v.strictObject({
    fingers: amount(0, 1e6),
    voicing: amount(0, 1e6),
    rhythm: amount(0, 1e6),
    total: amount(0, 1e6),
  }),
  reasons: v.pipe(v.array(messageShape), v.minLength(1), v.maxLength(10)),
});

export const weekShape = v.strictObject({
  kind: v.literal("practice-week"),
  version: v.literal(1),
  number: count(1, 5000),
  start: dayShape,
  goal: messageShape,
  drills: v.pipe(v.array(weekDrillShape), v.minLength(1), v.maxLength(20)),
  days: v.pipe(
    v.array(
      v.strictObject({
        day: count(1, 7),
        date: dayShape,
        minutes: count(0, 1440),
        items: v.pipe(
          v.array(
            v.strictObject({
              kind: v.picklist(["warm-up", "break", "drill"]),
              minutes: count(0, 480),
              drill: v.optional(hash),
            }),
          ),
          v.maxLength(200),
        ),
      }),
    ),
    v.minLength(1),
    v.maxLength(7),
  ),
  resting: v.pipe(v.array(messageShape), v.maxLength(200)),
  told: v.pipe(v.array(messageShape), v.maxLength(50)),
});

const weekEntry = v.strictObject({ kind: v.literal("week"), at: moment, week: weekShape });

const entryShape = v.variant("kind", [studentEntry, chartEntry, wishEntry, takeEntry, weekEntry]);

/** A notebook, as valibot checks it. */
export const notebookSchema = v.pipe(
  v.strictObject({
    $schema: v.optional(v.pipe(v.string(), v.maxLength(2000))),
    kind: v.literal("notebook"),
    version: v.literal(1),
    id: v.pipe(
      v.string(),
      v.regex(/^[a-z0-9-]{4,40}$/, "4 to 40 small letters, digits and hyphens"),
      v.title("Id"),
      v.description("What tells students of one alias apart."),
    ),
    entries: v.pipe(v.array(entryShape), v.maxLength(20_000)),
  }),
  v.title("Notebook"),
  v.description(
    "A student's weeks: dated entries that are only ever added, so that copies merge without loss. Nothing about a person but an alias.",
  ),
);

/** Something to be said, in any language: the key of its words, and what stands in their gaps. */
export interface MessageData {
  /** Of `wordsCatalogue`'s words, such as `"reason.new"`. */
  readonly key: string;
  readonly values: Readonly<Record<string, string | number>>;
}

/** What is known of the student from a day on; what is left out stays as it was. */
export interface NotebookStudent {
  readonly kind: "student";
  /** In UTC, such as `"2026-01-05T12:00:00Z"`; of two settings the later one holds. */
  readonly at: string;
  /** A name to tell students apart: no surname is needed. */
  readonly alias?: string | undefined;
  /** 1 to 5: the skills of lower levels are taken to be known. */
  readonly level?: 1 | 2 | 3 | 4 | 5 | undefined;
  /** The widest stretch of the left hand in semitones. */
  readonly span?: number | undefined;
  /** Tonics that the student plays in already. */
  readonly known?: readonly string[] | undefined;
  /** Tonics that shall come more often. */
  readonly weak?: readonly string[] | undefined;
  /** Id of the words' language, such as `"en"`. */
  readonly language?: string | undefined;
  readonly minutesADay?: number | undefined;
  readonly daysAWeek?: number | undefined;
}

/** A chart of the student's own choice. */
export interface NotebookChart {
  readonly kind: "chart";
  readonly at: string;
  readonly title: string;
  /** In the chart grammar. */
  readonly changes: string;
  /** The key that it is written in. */
  readonly key: string;
}

/** What the teacher wants in every week, or in none. */
export interface NotebookWish {
  readonly kind: "wish";
  readonly at: string;
  /** Into every week, into none, or again as the evidence has it. */
  readonly want: "pin" | "forbid" | "leave";
  readonly of: "skill" | "key" | "changes" | "right";
  /** Of the skill, the tonic, the progression or what the right hand plays. */
  readonly id: string;
}

/** A take as it was heard: what later weeks rest on. */
export interface NotebookTake {
  readonly kind: "take";
  readonly at: string;
  readonly title: string;
  /** With its mode where minor. */
  readonly key: string;
  /** Short name of the drill's recipe without its tempo; absent for music without a recipe. */
  readonly drill?: string | undefined;
  readonly recipe?: DrillRecipe | undefined;
  /** Short name of the recording: one that was heard is not heard again. */
  readonly recording?: string | undefined;
  /** Which hands played. */
  readonly hands: "right" | "left" | "both";
  /** Beats a minute. */
  readonly tempo: { readonly asked: number; readonly played: number };
  /** Right notes as a share, 0 to 1. */
  readonly accuracy: number;
  /** Whether the tempo may rise: at least 95 % right, and nothing found that weighs 0.45 or more. Our choice. */
  readonly clean: boolean;
  readonly measures: readonly {
    readonly hand: "right" | "left";
    readonly accuracy: number;
    readonly spreadMs?: number | undefined;
    readonly swing?: { readonly asked: number; readonly played: number } | undefined;
  }[];
  /** Ids of `findingCatalogue`, weightiest first. */
  readonly findings: readonly {
    readonly id: string;
    readonly weight: number;
    readonly hand?: "right" | "left" | undefined;
    readonly bars: readonly number[];
  }[];
  /** Where to begin mending it, after a take that was not clean. */
  readonly spot?:
    | {
        readonly finding: string;
        readonly hands: "right" | "left" | "both";
        readonly bars: readonly number[];
        readonly recipe: DrillRecipe;
      }
    | undefined;
}

/** How hard a drill is, each figure as a multiple of the first lesson's: shells and one octave in C at 60. */
export interface DrillCosts {
  /** What the right hand's fingers cost. */
  readonly fingers: number;
  /** What the left hand's chords cost, and how far they move. */
  readonly voicing: number;
  /** Strokes off the beat, in a beat. */
  readonly rhythm: number;
  /** The mean of the three. */
  readonly total: number;
}

/** A drill of a week, and why it is there. */
export interface WeekDrill {
  /** Short name of its recipe without its tempo, as takes have it. */
  readonly id: string;
  readonly part: "new" | "going-on" | "trouble-spot" | "weak-key" | "rested" | "pinned";
  /** The skill that it belongs to. */
  readonly skill?: string | undefined;
  readonly title: string;
  readonly key: string;
  /** Beats a minute. */
  readonly tempo: number;
  /** As `makeDrill` takes it. */
  readonly recipe: DrillRecipe;
  readonly difficulty: DrillCosts;
  readonly reasons: readonly MessageData[];
}

/** One day of a week. */
export interface WeekDay {
  /** Practice days from 1. */
  readonly day: number;
  readonly date: string;
  readonly minutes: number;
  readonly items: readonly {
    readonly kind: "warm-up" | "break" | "drill";
    readonly minutes: number;
    /** The drill's id. */
    readonly drill?: string | undefined;
  }[];
}

/** A week of practice that follows from a notebook. */
export interface PracticeWeek {
  readonly kind: "practice-week";
  readonly version: 1;
  /** Weeks of this notebook from 1. */
  readonly number: number;
  /** Its first day. */
  readonly start: string;
  readonly goal: MessageData;
  readonly drills: readonly WeekDrill[];
  readonly days: readonly WeekDay[];
  /** What is known and rests, and until when. */
  readonly resting: readonly MessageData[];
  /** What the teacher must be told: who is stuck on what, who hands in nothing. */
  readonly told: readonly MessageData[];
}

/** A week that was given. */
export interface NotebookWeek {
  readonly kind: "week";
  readonly at: string;
  readonly week: PracticeWeek;
}

/** Something written into a notebook. */
export type NotebookEntry = NotebookStudent | NotebookChart | NotebookWish | NotebookTake | NotebookWeek;

/** A student's notebook: dated entries that are only ever added. Plain data, JSON as it stands. */
export interface Notebook {
  readonly kind: "notebook";
  readonly version: 1;
  /** What tells students of one alias apart. */
  readonly id: string;
  /** In order of time; entries of one moment by their text. */
  readonly entries: readonly NotebookEntry[];
}

const notebookShape: v.GenericSchema<Notebook> = notebookSchema;
const oneEntry: v.GenericSchema<NotebookEntry> = entryShape;

/** A notebook among arguments. */
export const checkNotebook: (value: unknown) => asserts value is Notebook = (value) =>
  checkOnce(notebookShape, value, "notebook/argument");

/** What {@link makeNotebook} is told of the student: a {@link NotebookStudent}, whose alias is needed, and the id. */
export interface NewStudent extends Omit<NotebookStudent, "kind"> {
  readonly alias: string;
  /** 4 to 40 small letters, digits and hyphens. @defaultValue a short hash of alias and moment */
  readonly id?: string | undefined;
}

const newStudentShape = v.strictObject({
  ...studentEntry.entries,
  kind: v.optional(v.literal("student")),
  alias: text(60),
  id: v.optional(notebookSchema.pipe[0].entries.id),
});

/**
 * A new notebook.
 *
 * @throws MusicError `notebook/argument` for a student that can't be read
 *
 * @example
 * ```ts
 * import { makeNotebook } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z", level: 2, weak: ["Ab"] });
 * notebook.entries.length; // => 1
 * makeNotebook({ alias: "", at: "2026-01-05T12:00:00Z" }); // throws "notebook/argument"
 * ```
 */
export function makeNotebook(student: NewStudent): Notebook {
  check(newStudentShape, student, "notebook/argument");
  const { id = shortHash(canonicalJson([student.alias, student.at])), ...rest } = student;
  return { kind: "notebook", version: 1, id, entries: [plain({ ...rest, kind: "student" })] };
}

/** Without fields that are undefined, which JSON would drop. */
const plain = <T extends object>(entry: T): T => JSON.parse(JSON.stringify(entry));

const texts = /* @__PURE__ */ new WeakMap<NotebookEntry, string>();

/** An entry as text, by which equal ones are told. */
const textOf = (entry: NotebookEntry): string => {
  const known = texts.get(entry);
  if (known !== undefined) return known;
  const made = canonicalJson(entry);
  texts.set(entry, made);
  return made;
};

const ordered = (entries: Iterable<NotebookEntry>): readonly NotebookEntry[] => {
  const byText = new Map<string, NotebookEntry>();
  for (const entry of entries) byText.set(textOf(entry), entry);
  return [...byText]
    .sort(([a, { at: from }], [b, { at: to }]) => (from < to ? -1 : from > to ? 1 : a < b ? -1 : a > b ? 1 : 0))
    .map(([, entry]) => entry);
};

/**
 * A notebook with one entry more; one that is there already is not written twice.
 *
 * @throws MusicError `notebook/entry` for an entry that can't be read
 *
 * @example
 * ```ts
 * import { addEntry, makeNotebook } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" });
 * const pinned = addEntry(notebook, { kind: "wish", at: "2026-01-06T12:00:00Z", want: "pin", of: "skill", id: "slides-down" });
 * pinned.entries.length; // => 2
 * addEntry(pinned, pinned.entries[1]!).entries.length; // => 2
 * ```
 */
export function addEntry(notebook: Notebook, entry: NotebookEntry): Notebook {
  checkNotebook(notebook);
  check(oneEntry, entry, "notebook/entry");
  return { ...notebook, entries: ordered([...notebook.entries, plain(entry)]) };
}

/**
 * Two copies of a notebook made one: every entry of either, once. It does not matter in which order copies are merged, nor how often.
 *
 * @throws MusicError `notebook/other-student` for notebooks of two students
 *
 * @example
 * ```ts
 * import { addEntry, makeNotebook, mergeNotebooks } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" });
 * const here = addEntry(notebook, { kind: "student", at: "2026-01-06T12:00:00Z", level: 2 });
 * const there = addEntry(notebook, { kind: "student", at: "2026-01-07T12:00:00Z", weak: ["Ab"] });
 * mergeNotebooks(here, there).entries.length; // => 3
 * ```
 */
export function mergeNotebooks(one: Notebook, other: Notebook): Notebook {
  checkNotebook(one);
  checkNotebook(other);
  if (one.id !== other.id)
    throw new MusicError({
      code: "notebook/other-student",
      input: other.id,
      expected: `another copy of the notebook ${one.id}`,
    });
  return { kind: "notebook", version: 1, id: one.id, entries: ordered([...one.entries, ...other.entries]) };
}

/**
 * Reads a notebook's text.
 *
 * @param text - JSON, as {@link writeNotebook} writes it
 * @throws MusicError `notebook/json` for text that is no JSON object, `notebook/version` for a notebook of a newer version, `notebook/document` for
 * anything else that can't be read
 *
 * @example
 * ```ts
 * import { makeNotebook, readNotebook, writeNotebook } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" });
 * readNotebook(writeNotebook(notebook)).id === notebook.id; // => true
 * readNotebook('{"kind":"notebook","version":2}'); // throws "notebook/version"
 * readNotebook('{"kind":"noteb'); // throws "notebook/json"
 * ```
 */
export function readNotebook(text: string): Notebook {
  check(v.string(), text, "notebook/argument");
  const value = attemptJson(text);
  if (!isRecord(value))
    throw new MusicError({ code: "notebook/json", input: text, expected: "a notebook as one whole JSON object" });
  if (value.kind === "notebook" && typeof value.version === "number" && value.version > 1)
    throw new MusicError({
      code: "notebook/version",
      input: value.version,
      expected: "a notebook of version 1",
      hint: "it was written by a newer hands-together: bring this one up to date",
    });
  const read = v.safeParse(notebookShape, value, { abortEarly: true });
  if (!read.success) throw refusal("notebook/document", value, faultsOf(read.issues));
  return { kind: "notebook", version: 1, id: read.output.id, entries: ordered(read.output.entries) };
}

const attemptJson = (text: string): unknown => {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch {
    return undefined;
  }
};

/**
 * A notebook's text: one entry a line, so that a difference between copies can be read.
 *
 * @example
 * ```ts
 * import { makeNotebook, writeNotebook } from "hands-together/notebook";
 *
 * writeNotebook(makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" })).split("\n").length; // => 5
 * ```
 */
export function writeNotebook(notebook: Notebook): string {
  checkNotebook(notebook);
  const { kind, version, id } = notebook;
  const head = JSON.stringify({ kind, version, id }).slice(0, -1);
  return `${head},"entries":[\n${notebook.entries.map(textOf).join(",\n")}\n]\n}\n`;
}

/** Short name of a drill: of its recipe without what changes from week to week. `undefined` for one that can't be read. */
export const drillName = (given: unknown): string | undefined => {
  if (!isRecord(given)) return undefined;
  const { tempo: _tempo, repeats: _repeats, countIn: _countIn, $schema: _s, kind: _k, version: _v, ...rest } = given;
  const name = names(canonicalJson(rest), () => attempt(() => recipeHash("drill", rest)) ?? "");
  return name === "" ? undefined : name;
};

// A recipe's name is found by reading it many times.
const names = /* @__PURE__ */ memo<string>(2000);
