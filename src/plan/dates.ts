import { MusicError } from "../ground/errors.ts";
import { known } from "../ground/list.ts";

const A_DAY = 86_400_000;
const A_MINUTE = 60_000;

const refuse = (input: unknown, code: "date" | "time" | "stamp", expected: string): never => {
  throw new MusicError({ code: `plan/${code}`, input, expected });
};

// RFC 3339's full-date. Years from 1900 on keep clear of the two-digit years that Date reads as 19xx, and leave room for a year's plan.
const dayOf = (text: unknown): number | undefined => {
  const match = typeof text === "string" ? /^(\d{4})-(\d\d)-(\d\d)$/.exec(text) : null;
  if (match === null) return undefined;
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  const moment = new Date(Date.UTC(year, month - 1, day));
  return year >= 1900 && year <= 9000 && moment.getUTCMonth() === month - 1 ? moment.getTime() : undefined;
};

/** The date some days after another, both written as `2026-01-05`. */
export const dateAfter = (start: string, days: number): string => {
  const moment = dayOf(start) ?? refuse(start, "date", "a date from 1900 to 9000 such as 2026-01-05");
  return new Date(moment + days * A_DAY).toISOString().slice(0, 10);
};

const minutesOf = (time: string): number => {
  const match = typeof time === "string" ? /^([01]\d|2[0-3]):([0-5]\d)$/.exec(time) : null;
  return match === null
    ? refuse(time, "time", "a time of day such as 17:30")
    : Number(match[1]) * 60 + Number(match[2]);
};

/** A local date and time of day as the moment at which clocks in UTC would show them. */
export const floatingMoment = (date: string, time: string, minutesLater = 0): Date =>
  new Date(known(dayOf(date)) + (minutesOf(time) + minutesLater) * A_MINUTE);

/** A moment in UTC, written as `2026-01-05T12:00:00Z`. */
export const utcMoment = (text: string): Date => {
  const match = typeof text === "string" ? /^(.{10})T([01]\d|2[0-3]):([0-5]\d):([0-5]\d)Z$/.exec(text) : null;
  const moment = match === null ? undefined : dayOf(match[1]);
  if (match === null || moment === undefined)
    return refuse(text, "stamp", "a moment in UTC such as 2026-01-05T12:00:00Z");
  return new Date(moment + (Number(match[2]) * 60 + Number(match[3])) * A_MINUTE + Number(match[4]) * 1000);
};
