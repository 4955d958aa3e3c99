import { check } from "../ground/check.ts";
import { formatPitch } from "../pitch/index.ts";
import { parseDrillRecipe } from "../recipe/index.ts";
import { idOfRow, rightHandOf } from "../recipe/inner.ts";
import type { PracticeDrill, PracticeItem, PracticePlan } from "./plan.ts";
import { planShape } from "./shape.ts";

/** The tonic and, where it is minor, the mode, in printed signs. */
export const keyText = ({ key, recipe }: PracticeDrill): string =>
  `${formatPitch(key)}${recipe.key.endsWith("minor") ? " minor" : ""}`;

const drillText = ({ recipe }: PracticeDrill): string => {
  const {
    right,
    values,
    level,
    left,
    changes,
    scale = recipe.key.endsWith("minor") ? "minor blues" : "major blues",
  } = parseDrillRecipe(recipe);
  const { title } = rightHandOf(right);
  return `${title}, ${scale}, ${values ?? `level ${level}`}; ${[left].flat().map(idOfRow).join(" or ")}, ${idOfRow(changes).replace(/\s+/g, " ").slice(0, 40)}`;
};

/** An item in plain words, without its minutes. */
export const itemText = (item: PracticeItem): string => {
  if (item.kind === "warm-up") return `Warm up: ${item.reason}`;
  if (item.kind === "break") return `Break: ${item.reason}`;
  return `${keyText(item)} at ${item.tempo}: ${drillText(item)} (${item.reason})${item.sheet === undefined ? "" : `, sheet ${item.sheet}`}`;
};

const width = (text: string): number => [...text].length;

const aligned = (rows: readonly (readonly string[])[], right: ReadonlySet<number>): string[] => {
  const widths = (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => width(row[i] ?? ""))));
  return rows.map((row) =>
    row
      .map((cell, i) => {
        const space = " ".repeat((widths[i] as number) - width(cell));
        return right.has(i) ? space + cell : cell + space;
      })
      .join("  ")
      .trimEnd(),
  );
};

/**
 * A practice plan as text: one line an item in aligned columns, then what becomes of each key, the assumptions and the caution.
 *
 * @example
 * ```ts
 * import { formatPracticePlan, makePracticePlan } from "hands-together";
 *
 * const lines = formatPracticePlan(makePracticePlan({ keys: ["C", "F"], weeks: 1, minutesADay: 8 })).split("\n");
 * lines[0]?.split(/\s+/); // => ["week", "day", "min", "key", "tempo", "drill", "why"]
 * lines[2]?.trim().split(/\s{2,}/).slice(0, 3); // => ["5", "C", "60"]
 * ```
 */
export function formatPracticePlan(plan: PracticePlan): string {
  check(planShape, plan, "plan/argument");
  const dated = plan.days.some((day) => day.date !== undefined);
  const lead = (day: PracticePlan["days"][number], first: boolean): string[] =>
    first ? [String(day.week), String(day.day), ...(dated ? [day.date ?? ""] : [])] : dated ? ["", "", ""] : ["", ""];
  const rows = plan.days.flatMap((day) =>
    day.items.map((item, i) => [
      ...lead(day, i === 0),
      String(item.minutes),
      ...(item.kind === "drill"
        ? [keyText(item), String(item.tempo), drillText(item), item.reason]
        : [item.kind, "", "", item.reason]),
    ]),
  );
  const heading = ["week", "day", ...(dated ? ["date"] : []), "min", "key", "tempo", "drill", "why"];
  const at = dated ? 1 : 0;
  const keys = plan.keys.map(({ key, weak, visits, highestTempo }) => [
    formatPitch(key),
    weak ? "weak" : "",
    String(visits),
    String(highestTempo),
  ]);
  return [
    ...aligned([heading, ...rows], new Set([0, 1, 2 + at, 4 + at])),
    "",
    ...aligned([["key", "", "days", "tempo reached"], ...keys], new Set([2, 3])),
    "",
    "Assumptions",
    ...plan.assumptions.map((sentence) => `- ${sentence}`),
    "",
    plan.caution,
  ].join("\n");
}
