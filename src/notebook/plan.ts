import * as v from "valibot";
import { CAUTION } from "../drill/index.ts";
import { check, checkOnce } from "../ground/check.ts";
import { parseKey } from "../pitch/index.ts";
import type { PracticeDay, PracticeItem, PracticePlan } from "../plan/index.ts";
import { daysBetween } from "./dates.ts";
import type { PracticeWeek, WeekDrill } from "./document.ts";
import { weekShape } from "./document.ts";
import type { WordsRow } from "./words/index.ts";
import { sayWith, wordsRow } from "./words/index.ts";

/** Options of {@link weekPlan}. */
export interface WeekPlanOptions {
  /** @defaultValue `"en"` */
  readonly language?: string | WordsRow | undefined;
  /** The name of each drill's sheet by the drill's id, for the calendar. @defaultValue none */
  readonly sheets?: Readonly<Record<string, string>> | undefined;
}

/** Of everything that is made from a week or a challenge for reading. */
export const sheetOptions = v.strictObject({
  language: v.optional(v.unknown()),
  sheets: v.optional(v.record(v.string(), v.pipe(v.string(), v.maxLength(255)))),
});

const weekSchema: v.GenericSchema<PracticeWeek> = weekShape;

/** A week among arguments. */
export const checkWeek: (value: unknown) => asserts value is PracticeWeek = (value) =>
  checkOnce(weekSchema, value, "notebook/argument");

/**
 * A week as a practice plan: what `formatPracticePlan` and `writePracticeCalendar` take.
 *
 * @throws MusicError `notebook/language` for a language that is none
 *
 * @example
 * ```ts
 * import { writePracticeCalendar } from "hands-together";
 * import { makeNotebook, nextWeek, weekPlan } from "hands-together/notebook";
 *
 * const week = nextWeek(makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" }), { start: "2026-01-05" });
 * const sheets = Object.fromEntries(week.drills.map(({ id }) => [id, `${id}.html`]));
 * const plan = weekPlan(week, { sheets });
 * plan.days.length; // => 5
 * const calendar = writePracticeCalendar(plan, { stamp: "2026-01-05T12:00:00Z", uidDomain: "example.org" });
 * calendar.replace(/\r\n /g, "").includes(`sheet ${week.drills[0]?.id}.html`); // => true
 * ```
 */
export function weekPlan(week: PracticeWeek, options: WeekPlanOptions = {}): PracticePlan {
  checkWeek(week);
  check(sheetOptions, options, "notebook/argument");
  const row = wordsRow(options.language ?? "en");
  const drills = new Map(week.drills.map((drill) => [drill.id, drill]));
  const visits = new Map<string, number[]>();
  const itemOf = (drill: WeekDrill, day: number, minutes: number): PracticeItem => {
    const { tonic } = parseKey(drill.key);
    const before = visits.get(tonic) ?? [];
    if (before.at(-1) !== day) before.push(day);
    visits.set(tonic, before);
    const last = before.at(-2);
    const sheet = options.sheets?.[drill.id];
    return {
      kind: "drill",
      minutes,
      key: tonic,
      tempo: drill.tempo,
      recipe: drill.recipe,
      visit: before.length,
      ...(last !== undefined && { gap: day - last }),
      weak: drill.part === "weak-key",
      reason: drill.reasons.map((one) => sayWith(row, one)).join(" "),
      ...(sheet !== undefined && { sheet }),
    };
  };
  const days = week.days.map(
    ({ day, date, minutes, items }): PracticeDay => ({
      day,
      week: 1,
      offset: daysBetween(week.start, date),
      date,
      minutes,
      items: items.flatMap(({ kind, minutes: length, drill: id }): PracticeItem[] => {
        const drill = id === undefined ? undefined : drills.get(id);
        if (kind !== "drill") return [{ kind, minutes: length, reason: row.words[`page.${kind}`] ?? kind }];
        return drill === undefined ? [] : [itemOf(drill, day, length)];
      }),
    }),
  );
  const highest = (tonic: string): number =>
    Math.max(...week.drills.filter(({ key }) => parseKey(key).tonic === tonic).map(({ tempo }) => tempo));
  return {
    kind: "practice-plan",
    days,
    keys: [...new Set(week.drills.map(({ key }) => parseKey(key).tonic))].map((key) => ({
      key,
      weak: week.drills.some((drill) => drill.part === "weak-key" && parseKey(drill.key).tonic === key),
      visits: visits.get(key)?.length ?? 0,
      highestTempo: highest(key),
    })),
    assumptions: [week.goal, ...week.told].map((one) => sayWith(row, one)),
    caution: row.words["page.caution"] ?? CAUTION,
  };
}
