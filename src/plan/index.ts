/**
 * Weeks of practice: which drill, key and tempo each day, as a plan, a table or a calendar.
 *
 * @module plan
 */
export type { PracticeCalendarOptions } from "./calendar.ts";
export { writePracticeCalendar } from "./calendar.ts";
export { formatPracticePlan } from "./format.ts";
export type {
  PlannedKey,
  PracticeBreak,
  PracticeDay,
  PracticeDrill,
  PracticeItem,
  PracticePlan,
  PracticeWarmUp,
} from "./plan.ts";
export { makePracticePlan } from "./plan.ts";
