import { ICalCalendar, ICalEventTransparency } from "ical-generator";
import * as v from "valibot";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { canonicalJson, shortHash } from "../recipe/inner.ts";
import { dateAfter, floatingMoment, utcMoment } from "./dates.ts";
import { itemText, keyText } from "./format.ts";
import type { PracticeDay, PracticePlan } from "./plan.ts";
import { planShape } from "./shape.ts";

/** Options of {@link writePracticeCalendar}. */
export interface PracticeCalendarOptions {
  /** When the calendar was made, in UTC, such as `"2026-01-05T12:00:00Z"`: an input, since this library reads no clock. */
  readonly stamp: string;
  /** A domain name of the publisher's; ends every event's identifier. */
  readonly uidDomain: string;
  /**
   * Starts every event's identifier; the same name again replaces those events in a calendar.
   * @defaultValue `"practice-"` and a short hash of the plan: the same plan replaces itself, another one stands beside it
   */
  readonly planName?: string | undefined;
  /** The first day. @defaultValue the plan's; needed where it has none */
  readonly startDate?: string | undefined;
  /** Local time of day, such as `"17:30"`, wherever the calendar is read. @defaultValue none: events of the whole day that block no time */
  readonly startTime?: string | undefined;
}

const text = /* @__PURE__ */ v.string();

const optionsShape = /* @__PURE__ */ v.strictObject({
  stamp: /* @__PURE__ */ v.unknown(),
  uidDomain: text,
  planName: /* @__PURE__ */ v.optional(text),
  startDate: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  startTime: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

/**
 * A practice plan as an iCalendar file: one event a practice day, with its items, minutes and the caution as description.
 *
 * Lines end in CRLF and are folded at 75 octets (RFC 5545, 3.1), text is escaped (3.3.11), every event has UID and DTSTAMP (3.6.1, 3.8.4.7,
 * 3.8.7.2); a time of day is local, form 1 of 3.3.5. Source: Desruisseaux, B. (2009), RFC 5545, Internet Calendaring and
 * Scheduling Core Object Specification (iCalendar).
 *
 * @throws MusicError `plan/date`, `plan/time`, `plan/stamp` for text that can't be read, `plan/date` too when neither plan nor options have a start
 * date, `plan/uid` for a domain or name that can't stand in an identifier
 *
 * @example
 * ```ts
 * import { makePracticePlan, writePracticeCalendar } from "hands-together";
 *
 * const plan = makePracticePlan({ keys: ["C"], weeks: 1, minutesADay: 10, startDate: "2026-01-05" });
 * const calendar = writePracticeCalendar(plan, { stamp: "2026-01-01T12:00:00Z", uidDomain: "example.org", startTime: "17:30" });
 * calendar.split("\r\n").slice(6, 9); // => ["DTSTAMP:20260101T120000Z", "DTSTART:20260105T173000", "DTEND:20260105T173800"]
 * writePracticeCalendar(plan, { stamp: "yesterday", uidDomain: "example.org" }); // throws "plan/stamp"
 * ```
 */
export function writePracticeCalendar(plan: PracticePlan, options: PracticeCalendarOptions): string {
  check(planShape, plan, "plan/argument");
  check(optionsShape, options, "plan/argument");
  const { startTime, planName = `practice-${shortHash(canonicalJson(plan))}` } = options;
  const stamp = utcMoment(options.stamp);
  const identifier = `${planName}@${options.uidDomain}`;
  if (!/^[A-Za-z0-9._-]{1,64}@[A-Za-z0-9]([A-Za-z0-9.-]{0,250}[A-Za-z0-9])?$/.test(identifier)) {
    throw new MusicError({
      code: "plan/uid",
      input: identifier,
      expected: "a name and a domain of letters, digits, dots and hyphens: practice@example.org",
    });
  }
  const start = options.startDate ?? plan.days.find((day) => day.date !== undefined && day.offset === 0)?.date;
  if (start === undefined)
    throw new MusicError({ code: "plan/date", input: start, expected: "a start date, in the plan or in the options" });

  const calendar = new ICalCalendar({ prodId: { company: "hands-together", product: "practice plan" } });
  for (const day of plan.days) {
    const date = dateAfter(start, day.offset);
    calendar.createEvent({
      id: `${planName}-${date}@${options.uidDomain}`,
      stamp,
      summary: summaryOf(day),
      description: [...day.items.map((item) => `${item.minutes} min  ${itemText(item)}`), "", plan.caution]
        .map(printable)
        .join("\n"),
      ...(startTime === undefined
        ? { start: floatingMoment(date, "00:00"), allDay: true, transparency: ICalEventTransparency.TRANSPARENT }
        : {
            start: floatingMoment(date, startTime),
            end: floatingMoment(date, startTime, day.minutes),
            floating: true,
          }),
    });
  }
  return `${calendar.toString()}\r\n`;
}

const summaryOf = (day: PracticeDay): string => {
  const keys = new Set(day.items.flatMap((item) => (item.kind === "drill" ? [keyText(item)] : [])));
  return `Piano practice, ${day.minutes} min: ${[...keys].join(", ")}`;
};

// RFC 5545, 3.3.11: TEXT holds no control characters; its line breaks come from us alone.
const printable = (line: string): string => line.replace(/[\u0000-\u001f\u007f]+/g, " ");
