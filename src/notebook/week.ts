import * as v from "valibot";
import { attempt } from "../ground/attempt.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { parseKey } from "../pitch/index.ts";
import type { DrillRecipe } from "../recipe/index.ts";
import { idOfRow } from "../recipe/inner.ts";
import type { Book } from "./book.ts";
import {
  bookOf,
  foundIn,
  helpOf,
  isForbidden,
  knownKeys,
  lastTake,
  message,
  mostFound,
  rowsIn,
  sameDrill,
  stateOf,
} from "./book.ts";
import type { SkillRow } from "./catalogue.ts";
import { daysBetween } from "./dates.ts";
import { roomForDrills, spreadOverDays } from "./days.ts";
import { costsOf, titleOf } from "./difficulty.ts";
import type { MessageData, Notebook, NotebookTake, PracticeWeek, WeekDrill } from "./document.ts";
import { checkNotebook, dayShape, drillName } from "./document.ts";
import type { EvidenceOptions, SkillTake } from "./evidence.ts";
import { evidenceFields } from "./evidence.ts";
import { nextTempo } from "./tempo.ts";
import { STUCK, toldOf } from "./told.ts";
import type { Wanted } from "./variant.ts";
import { variantOf } from "./variant.ts";

/** Options of {@link nextWeek}. */
export interface NextWeekOptions extends Pick<EvidenceOptions, "skills"> {
  /** The week's first day, such as `"2026-01-05"`: an input, since this library reads no clock. */
  readonly start: string;
  /** How many drills, 1 to 12, as far as the week's minutes have room for them. @defaultValue 5 */
  readonly drills?: number | undefined;
}

const optionsShape = v.strictObject({
  start: dayShape,
  skills: evidenceFields.skills,
  drills: v.optional(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(12))),
});

const USUAL_DRILLS = 5;
const FEWEST = 3;
const MOST_LEARNING = 3;
const MOST_RESTED = 2;
const SPOT_REST_DAYS = 14;
const SPOT_DAYS = 28;
const RESTING_SHOWN = 12;

/** A drill as it was chosen, before it is made. */
interface Chosen {
  readonly part: WeekDrill["part"];
  readonly row?: SkillRow | undefined;
  readonly recipe: DrillRecipe;
  readonly reasons: readonly MessageData[];
}

/**
 * The next week of practice, as the notebook's evidence has it: which drills, in which keys and how fast, and why each of them.
 *
 * - What the teacher pinned comes first, and what is forbidden never comes.
 * - What is being learnt goes on, at most three skills. After a clean take it comes with other changes, in another key, four beats a minute faster (eight
 *   after a flawless one); after a take that was not clean the same drill comes at the same tempo, after two in a row eight slower.
 * - The trouble spot of a take comes by itself, slowly, and again two weeks after it was clean.
 * - One new skill at most, when what is being learnt went well: of those whose prerequisites are known the one that helps most with what was found
 *   in the last takes, then the one whose path was walked least.
 * - A weak key comes every week until a take in it is clean, then after two and four weeks.
 * - What is known rests and comes back after growing gaps, sooner where it helps with what was found.
 *
 * The figures are our choice; what is known of practice spread out is told at `makePracticePlan`. No tempo and no length of practice is safe for
 * everyone: show the caution with it.
 *
 * @throws MusicError `notebook/week` with reason `cannot-be-done` when everything is forbidden, `notebook/skill` for a skill that is none
 *
 * @example
 * ```ts
 * import { makeNotebook, nextWeek, sayIn } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z", minutesADay: 15 });
 * const week = nextWeek(notebook, { start: "2026-01-05" });
 * week.drills.map(({ skill, key, tempo }) => `${skill} in ${key} at ${tempo}`)[0]; // => "shells-alone in C at 60"
 * sayIn("en", week.goal); // => "New: Shells in the left hand. Slowly, and every note in its place."
 * ```
 */
export function nextWeek(notebook: Notebook, options: NextWeekOptions): PracticeWeek {
  checkNotebook(notebook);
  check(optionsShape, options, "notebook/argument");
  const { start, skills } = options;
  const book = bookOf(notebook, skills, start);
  const { minutesADay, daysAWeek } = book.student;
  const most = Math.min(options.drills ?? USUAL_DRILLS, roomForDrills(minutesADay, daysAWeek));
  const chosen = choose(book, most);
  if (chosen.length === 0)
    throw new MusicError({
      code: "notebook/week",
      input: book.student.wishes.map(({ of, id }) => `${of} ${id}`),
      expected: "at least one skill, key and progression that is not forbidden",
      reason: "cannot-be-done",
    });
  const drills = chosen.map((one) => made(book, one));
  return {
    kind: "practice-week",
    version: 1,
    number: book.weeks.length + 1,
    start,
    goal: goalOf(drills, chosen),
    drills,
    days: spreadOverDays(drills, start, minutesADay, daysAWeek),
    resting: restingOf(book, chosen),
    told: toldOf(book),
  };
}

const made = (book: Book, { part, row, recipe, reasons }: Chosen): WeekDrill => {
  const key = recipe.key;
  const paced =
    part === "trouble-spot" || row === undefined
      ? { tempo: recipe.tempo ?? 60, reason: undefined }
      : nextTempo(book, row, key);
  const whole = { ...recipe, tempo: paced.tempo };
  return {
    id: drillName(whole) ?? "00000000",
    part,
    ...(row !== undefined && { skill: row.id }),
    title: titleOf(whole),
    key,
    tempo: paced.tempo,
    recipe: whole,
    difficulty: costsOf(whole),
    reasons: [...reasons, ...(paced.reason === undefined ? [] : [paced.reason])],
  };
};

/** The drills of a week, weightiest first; each kind of choice takes what room the ones before it left. */
const choose = (book: Book, most: number): readonly Chosen[] => {
  const chosen: Chosen[] = [];
  const recipes = (): readonly DrillRecipe[] => chosen.map(({ recipe }) => recipe);
  const add = (one: Chosen | undefined): boolean => {
    if (one === undefined || chosen.length >= most) return false;
    if (recipes().some((recipe) => sameDrill(recipe) === sameDrill(one.recipe))) return false;
    chosen.push(one);
    return true;
  };
  const has = (row: SkillRow): boolean => chosen.some((one) => one.row?.id === row.id);
  const fresh = (
    part: Chosen["part"],
    row: SkillRow,
    reasons: readonly MessageData[],
    wanted: Wanted = {},
  ): boolean => {
    const recipe = variantOf(book, row, { ...wanted, not: recipes() });
    return recipe !== undefined && add({ part, row, recipe, reasons });
  };

  for (const pin of book.student.wishes.filter(({ want }) => want === "pin")) addPinned(book, pin, fresh, add);

  const learning = learningRows(book);
  const goesOn = learning.slice(0, MOST_LEARNING);
  const [first, ...others] = goesOn;
  if (first !== undefined && !has(first)) add(goingOn(book, first, recipes()));
  const spots = dueSpots(book);
  for (const spot of spots.slice(0, 1)) add(spot);

  if (learning.length < MOST_LEARNING) addNew(book, goesOn, fresh);

  const weak = dueKeys(book);
  for (const tonic of weak.slice(0, 1)) addInKey(book, tonic, "weak-key", fresh);
  for (const row of others) if (!has(row)) add(goingOn(book, row, recipes()));

  let rested = 0;
  for (const row of dueRows(book)) {
    if (rested === MOST_RESTED) break;
    if (!has(row) && fresh("rested", row, [restedReason(book, row)])) rested++;
  }
  // A week of one new thing is thin: the same once more with other changes.
  for (let turn = 0; turn < FEWEST && chosen.length < FEWEST; turn++)
    for (const row of [
      ...new Set(chosen.flatMap(({ part, row: own }) => (own === undefined || part === "rested" ? [] : [own]))),
    ])
      if (chosen.length < FEWEST) fresh("going-on", row, [message("reason.more", { skill: row.id })]);
  for (const spot of spots.slice(1)) if (chosen.length < FEWEST) add(spot);
  for (const row of book.rows.filter(({ id }) => !isForbidden(book, "skill", id))) {
    if (chosen.length > 0) break;
    fresh("going-on", row, [message("reason.only", { skill: row.id })]);
  }
  return chosen;
};

type Fresh = (part: Chosen["part"], row: SkillRow, reasons: readonly MessageData[], wanted?: Wanted) => boolean;

/** What is being learnt and not forbidden: first what went wrong, then what was given longest ago. */
const learningRows = (book: Book): readonly SkillRow[] =>
  rowsIn(book, "learning")
    .filter(({ id }) => !isForbidden(book, "skill", id))
    .sort((a, b) => {
      const [one, other] = [stateOf(book, a), stateOf(book, b)];
      const [wrong, right] = [one.run < 0, other.run < 0];
      if (wrong !== right) return wrong ? -1 : 1;
      return (one.last ?? "") < (other.last ?? "") ? -1 : 1;
    });

const goingOn = (book: Book, row: SkillRow, not: readonly DrillRecipe[]): Chosen | undefined => {
  const { run } = stateOf(book, row);
  const take = lastTake(book, row);
  const variant = (wanted: Wanted): DrillRecipe | undefined => variantOf(book, row, { ...wanted, not });
  if (take === undefined || run >= 0) {
    const recipe = variant({});
    return (
      recipe && {
        part: "going-on",
        row,
        recipe,
        reasons: [message(run > 0 ? "reason.clean" : "reason.unheard", { skill: row.id })],
      }
    );
  }
  if (run <= STUCK) {
    const recipe = variant({ easiest: true, keys: row.keys ?? ["C", ...knownKeys(book)] });
    return (
      recipe && { part: "going-on", row, recipe, reasons: [message("reason.easier", { skill: row.id, takes: -run })] }
    );
  }
  const again = sameAgain(book, take) ?? variant({});
  return (
    again && {
      part: "going-on",
      row,
      recipe: again,
      reasons: [message("reason.again", { skill: row.id, found: foundIn(take) })],
    }
  );
};

/** The drill of a take, as a week gave it. */
const sameAgain = (book: Book, take: NotebookTake): DrillRecipe | undefined => {
  const given = book.weeks.flatMap(({ drills }) => drills).findLast(({ id }) => id === take.drill)?.recipe;
  if (given === undefined || isForbidden(book, "key", parseKey(given.key).tonic)) return undefined;
  if (isForbidden(book, "changes", idOfRow(given.changes ?? "turnaround"))) return undefined;
  return isForbidden(book, "right", idOfRow(given.right ?? "up-and-down")) ? undefined : given;
};

/** Trouble spots of the last weeks that are due: at once, and once more two weeks after they were clean. */
const dueSpots = (book: Book): readonly Chosen[] => {
  const found = new Map<string, { readonly take: SkillTake; readonly recipe: DrillRecipe }>();
  for (const take of book.takes) {
    if (!take.whole || take.spot === undefined || daysBetween(take.at, book.start) > SPOT_DAYS) continue;
    const id = drillName(take.spot.recipe);
    // Where nothing less than the whole would help, the drill itself comes again.
    if (id !== undefined && id !== take.drill) found.set(id, { take, recipe: take.spot.recipe });
  }
  return [...found]
    .filter(([id, { take }]) => {
      const since = book.takes.filter(
        (one) => one.at > take.at && one.clean && (one.drill === id || (one.whole && one.skill === take.skill)),
      );
      const last = since.at(-1);
      return (
        since.length === 0 ||
        (since.length === 1 && last !== undefined && daysBetween(last.at, book.start) >= SPOT_REST_DAYS)
      );
    })
    .sort(([, a], [, b]) => (a.take.at < b.take.at ? 1 : -1))
    .flatMap(([, { take, recipe }]): Chosen[] => {
      const row = book.rows.find(({ id }) => id === take.skill);
      const { tonic } = parseKey(recipe.key);
      if (isForbidden(book, "key", tonic) || (row !== undefined && isForbidden(book, "skill", row.id))) return [];
      if (isForbidden(book, "changes", idOfRow(recipe.changes ?? "turnaround"))) return [];
      if (isForbidden(book, "right", idOfRow(recipe.right ?? "up-and-down"))) return [];
      const tempo = Math.min(recipe.tempo ?? 60, Math.round(take.tempo.asked));
      const { kind: _kind, version: _version, ...rest } = recipe;
      const spot = { ...rest, tempo };
      if (attempt(() => costsOf(spot)) === undefined) return [];
      const bars = (take.spot?.bars ?? []).slice(0, 4).join(", ");
      return [
        {
          part: "trouble-spot",
          row,
          recipe: spot,
          reasons: [
            message(bars === "" ? "reason.spot-whole" : "reason.spot", {
              found: take.spot?.finding ?? "trouble-spot",
              ...(bars !== "" && { bars }),
              hands: take.spot?.hands ?? "both",
            }),
          ],
        },
      ];
    });
};

/**
 * The skill that is to begin, when what is being learnt went well: what helps most, then the lower level, then the path that was walked least. Where
 * it went wrong twice, one that helps with that may begin, even before all that comes before it is known.
 */
const addNew = (book: Book, learning: readonly SkillRow[], fresh: Fresh): void => {
  const wentWell = learning.every((row) => stateOf(book, row).run >= 1);
  if (!wentWell && learning.every((row) => stateOf(book, row).run > -2)) return;
  const begun = (id: string): boolean =>
    (book.states.get(id)?.takes ?? 1) > 0 || book.states.get(id)?.state === "known";
  const early = rowsIn(book, "ahead").filter(({ after }) => after.every(begun));
  const walked = (row: SkillRow): number =>
    book.rows.filter(({ id, path }) => path === row.path && book.takes.some(({ skill }) => skill === id)).length;
  const open = [...rowsIn(book, "open"), ...early]
    .filter((row) => !isForbidden(book, "skill", row.id) && (row.changes.length > 0 || book.student.charts.length > 0))
    .map((row) => ({ row, help: Math.round(helpOf(book, row) * 10), walked: walked(row) }))
    .filter(({ row, help }) => help > 0 || (wentWell && !early.includes(row)))
    .sort((a, b) => b.help - a.help || a.row.level - b.row.level || a.walked - b.walked);
  for (const { row, help } of open) {
    const found = help > 0 ? mostFound(book, row) : undefined;
    const why = found === undefined ? [] : [message("reason.helps", { found })];
    if (fresh("new", row, [message("reason.new", { skill: row.id }), ...why])) return;
  }
};

/** Weak keys that are due: every week until a take is clean, then after two weeks and four; longest ago first. */
const dueKeys = (book: Book): readonly string[] =>
  book.keys
    .filter(({ weak, tonic, run, last, mode }) => {
      if (!weak || mode !== "major" || isForbidden(book, "key", tonic)) return false;
      return run <= 0 || last === undefined || daysBetween(last, book.start) >= 7 * 2 ** run;
    })
    .sort((a, b) => (book.given.key.get(a.tonic) ?? 0) - (book.given.key.get(b.tonic) ?? 0))
    .map(({ tonic }) => tonic);

const addInKey = (book: Book, tonic: string, part: "weak-key" | "pinned", fresh: Fresh): void => {
  const why =
    part === "pinned" ? message("reason.pinned-key", { key: tonic }) : message("reason.weak-key", { key: tonic });
  const known = rowsIn(book, "known").filter((row) => row.tempo !== undefined && lastTake(book, row) !== undefined);
  const able = [
    ...known,
    ...rowsIn(book, "learning").filter((row) => stateOf(book, row).run > 0),
    ...rowsIn(book, "known"),
    ...rowsIn(book, "open"),
  ];
  const first = [...new Set(able)].filter(
    ({ id, keys, changes }) => keys === undefined && changes.length > 0 && !isForbidden(book, "skill", id),
  );
  const byLast = (row: SkillRow): string => stateOf(book, row).last ?? "";
  const played = first.filter((row) => known.includes(row)).sort((a, b) => (byLast(a) < byLast(b) ? -1 : 1));
  for (const row of [...played, ...first.filter((one) => !played.includes(one))])
    if (fresh(part, row, [why], { keys: [tonic] })) return;
};

const addPinned = (
  book: Book,
  { of, id }: { readonly of: "skill" | "key" | "changes" | "right"; readonly id: string },
  fresh: Fresh,
  add: (one: Chosen) => boolean,
): void => {
  if (of === "key") return addInKey(book, id, "pinned", fresh);
  const why = [message("reason.pinned", { what: id })];
  const wanted: Wanted = of === "changes" ? { changes: id } : of === "right" ? { right: id } : {};
  const order = ["learning", "known", "aside", "open", "ahead"] as const;
  const fits = (row: SkillRow): boolean =>
    of === "skill"
      ? row.id === id
      : of === "changes"
        ? row.changes.includes(id)
        : row.right.some((one) => idOfRow(one) === id);
  for (const row of order.flatMap((state) => rowsIn(book, state)).filter(fits))
    if (!isForbidden(book, "skill", row.id) && fresh("pinned", row, why, wanted)) return;
  if (of !== "changes") return;
  // No skill goes over these changes: shells will do.
  const recipe: DrillRecipe = { key: knownKeys(book)[0] ?? "C", left: "shell", changes: id, tempo: 60 };
  if (attempt(() => costsOf(recipe)) !== undefined) add({ part: "pinned", recipe, reasons: why });
};

/** What is known and due: first what helps with what was found, then what has rested longest, then what was only taken to be known. */
const dueRows = (book: Book): readonly SkillRow[] =>
  rowsIn(book, "known")
    .filter((row) => !isForbidden(book, "skill", row.id) && (stateOf(book, row).due ?? "") <= book.start)
    .map((row) => ({ row, help: Math.round(helpOf(book, row) * 10), due: stateOf(book, row).due ?? "9999" }))
    .sort((a, b) => b.help - a.help || (a.due < b.due ? -1 : a.due > b.due ? 1 : 0))
    .map(({ row }) => row);

const restedReason = (book: Book, row: SkillRow): MessageData => {
  const { last } = stateOf(book, row);
  const found = Math.round(helpOf(book, row) * 10) > 0 ? mostFound(book, row) : undefined;
  if (found !== undefined) return message("reason.helps", { found });
  return last === undefined
    ? message("reason.taken-as-known", { skill: row.id })
    : message("reason.rested", { skill: row.id, weeks: Math.max(1, Math.round(daysBetween(last, book.start) / 7)) });
};

const goalOf = (drills: readonly WeekDrill[], chosen: readonly Chosen[]): MessageData => {
  const find = (part: WeekDrill["part"]): number => drills.findIndex((drill) => drill.part === part);
  const place = [find("new"), find("going-on"), find("pinned"), find("weak-key"), 0].find((one) => one >= 0) ?? 0;
  const drill = drills[place];
  const row = chosen[place]?.row;
  if (drill === undefined || row === undefined) return message("goal.whole", { title: drill?.title ?? "" });
  const values = { skill: row.id, tempo: drill.tempo, key: drill.key };
  if (drill.part === "new") return message("goal.new", values);
  if (drill.part === "weak-key") return message("goal.key", values);
  return message(drill.reasons.some(({ key }) => key === "tempo.up") ? "goal.tempo" : "goal.clean", values);
};

const restingOf = (book: Book, chosen: readonly Chosen[]): readonly MessageData[] =>
  rowsIn(book, "known")
    .filter((row) => !chosen.some((one) => one.row?.id === row.id))
    .flatMap((row) => {
      const { due } = stateOf(book, row);
      return due === undefined || due <= book.start ? [] : [{ skill: row.id, due }];
    })
    .sort((a, b) => (a.due < b.due ? -1 : 1))
    .slice(0, RESTING_SHOWN)
    .map((values) => message("resting", values));
