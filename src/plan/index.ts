/**
 * Weeks of practice: which drill, key and tempo each day, as a plan, a table or a calendar.
 *
 * @module plan
 */
export type { LevelRow, PracticeLevel } from "./catalogue.ts";
export { levelCatalogue } from "./catalogue.ts";
export type { PracticeCalendarOptions } from "./calendar.ts";
export { practicePlanToCalendar } from "./calendar.ts";
export { formatPracticePlan } from "./format.ts";
export type {
  PlannedKey, PracticeBreak, PracticeDay, PracticeDrill, PracticeItem, PracticePlan, PracticePlanOptions, PracticeWarmUp, RecipeForAnyKey,
} from "./plan.ts";
export { makePracticePlan } from "./plan.ts";
