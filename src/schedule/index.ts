/**
 * Scores in seconds: what a player hands to its sound, window by window, swung, looped, at a tempo that may change on the way.
 *
 * @module schedule
 */

export type { EngravedSpan, MusicPlace, Schedule, ScheduleChange, ScheduledNote, ScheduleOptions } from "./schedule.ts";
export { schedule } from "./schedule.ts";
