import fc from "fast-check";
import ICAL from "ical.js";
import { afterEach, describe, expect, it } from "vitest";
import type { PracticeItem, PracticePlan } from "../../src/plan/index.ts";
import { makePracticePlan, writePracticeCalendar } from "../../src/plan/index.ts";

const STAMP = "2026-01-02T03:04:05Z";
const OPTIONS = { stamp: STAMP, uidDomain: "example.org" } as const;
const plan = makePracticePlan({ keys: ["C", "Bb", "F#"], weakKeys: ["Bb"], weeks: 2, startDate: "2026-02-23" });

const eventsOf = (text: string): ICAL.Event[] =>
  new ICAL.Component(ICAL.parse(text)).getAllSubcomponents("vevent").map((component) => new ICAL.Event(component));

const withReason = (reason: string): PracticePlan => ({
  ...plan,
  days: plan.days
    .slice(0, 1)
    .map((day) => ({ ...day, items: [{ kind: "break", minutes: 5, reason } satisfies PracticeItem] })),
});

// RFC 5545, sections 3.1, 3.3.5, 3.3.11 and 3.6.1: read in copies of the text; 3.7.4, 3.8.4.7 and 3.8.7.2: from memory.
// Section 3.1: contentline = name *(";" param ) ":" value CRLF, without control characters but HTAB.
const CONTENT_LINE =
  /^[A-Za-z0-9-]+(?:;[A-Za-z0-9-]+=(?:"[^"\u0000-\u0008\u000a-\u001f\u007f]*"|[^";:,\u0000-\u0008\u000a-\u001f\u007f]*))*:[^\u0000-\u0008\u000a-\u001f\u007f]*$/;

const physicalLines = (text: string): string[] => {
  expect(text.endsWith("\r\n")).toBe(true);
  return text.slice(0, -2).split("\r\n");
};
const contentLines = (text: string): string[] => physicalLines(text.replace(/\r\n[ \t]/g, ""));

const expectGrammar = (text: string): void => {
  for (const line of physicalLines(text)) {
    expect(new TextEncoder().encode(line).length).toBeLessThanOrEqual(75);
    expect(line).not.toMatch(/[\r\n]/);
    expect(line).not.toMatch(/\p{Surrogate}/u);
  }
  for (const line of contentLines(text)) expect(line).toMatch(CONTENT_LINE);
};

describe("practice plan as iCalendar", () => {
  it.each([["17:30"], ["23:50"], ["00:00"], [undefined]])(
    "RFC 5545, 3.1 and 3.6: lines, folding and what must be there, at %s",
    (startTime) => {
      const text = writePracticeCalendar(plan, startTime === undefined ? OPTIONS : { ...OPTIONS, startTime });
      expectGrammar(text);
      const lines = contentLines(text);
      const count = (name: string, among = lines): number =>
        among.filter((line) => line.split(/[:;]/)[0] === name).length;
      expect([lines[0], lines.at(-1)]).toEqual(["BEGIN:VCALENDAR", "END:VCALENDAR"]);
      // 3.6: "PRODID" and "VERSION" are required and must not occur more than once; 3.7.4: the version is 2.0.
      expect([count("PRODID"), count("VERSION"), count("METHOD")]).toEqual([1, 1, 0]);
      expect(lines).toContain("VERSION:2.0");
      const starts = lines.flatMap((line, i) => (line === "BEGIN:VEVENT" ? [i] : []));
      expect(starts.length).toBe(plan.days.length);
      for (const start of starts) {
        const event = lines.slice(start, lines.indexOf("END:VEVENT", start));
        // 3.6.1: DTSTAMP and UID required, once; DTSTART required without METHOD, once; the rest at most once.
        expect([count("DTSTAMP", event), count("UID", event), count("DTSTART", event)]).toEqual([1, 1, 1]);
        for (const name of ["SUMMARY", "DESCRIPTION", "TRANSP", "SEQUENCE"])
          expect(count(name, event)).toBeLessThanOrEqual(1);
        expect(count("DURATION", event)).toBe(0);
        // 3.8.7.2: DTSTAMP in UTC. 3.3.5, form 1, and 3.3.4: a local time or a date.
        expect(event).toContain("DTSTAMP:20260102T030405Z");
        expect(event.find((line) => line.startsWith("DTSTART"))).toMatch(
          startTime === undefined ? /^DTSTART;VALUE=DATE:\d{8}$/ : /^DTSTART:\d{8}T\d{6}$/,
        );
        expect(count("DTEND", event)).toBe(startTime === undefined ? 0 : 1);
      }
      expect(new Set(lines.filter((line) => line.startsWith("UID:"))).size).toBe(plan.days.length);
    },
  );

  it.each([["17:30"], ["23:50"], [undefined]])("law: ical.js reads the plan back, at %s", (startTime) => {
    const events = eventsOf(writePracticeCalendar(plan, startTime === undefined ? OPTIONS : { ...OPTIONS, startTime }));
    expect(events.length).toBe(plan.days.length);
    plan.days.forEach((day, i) => {
      const event = events[i] as ICAL.Event;
      expect(event.startDate.toString()).toBe(startTime === undefined ? day.date : `${day.date}T${startTime}:00`);
      expect(event.startDate.zone.tzid).toBe("floating");
      if (startTime === undefined) expect(event.startDate.isDate).toBe(true);
      else expect(event.endDate.subtractDate(event.startDate).toSeconds()).toBe(day.minutes * 60);
      expect(event.uid).toMatch(new RegExp(`^practice-[0-9a-v]{8}-${day.date}@example\\.org$`));
      const lines = event.description.split("\n");
      expect(lines.at(-1)).toBe(plan.caution);
      expect(lines.length).toBe(day.items.length + 2);
      day.items.forEach((item, j) => {
        expect(lines[j]).toContain(`${item.minutes} min`);
        expect(lines[j]).toContain(item.reason);
        if (item.kind === "drill")
          expect(lines[j]).toContain(`${item.key.replace("b", "♭").replace("#", "♯")} at ${item.tempo}:`);
      });
      expect(event.summary).toContain(`${day.minutes} min`);
    });
  });

  it("law: any text comes back as it went in, control characters as spaces", () => {
    const anyText = fc
      .array(
        fc.oneof(
          fc.constantFrom(
            ",",
            ";",
            "\\",
            "\\n",
            "\n",
            "\r\n",
            "\t",
            "\u0007",
            ":",
            '"',
            "♭",
            "🎹",
            "é",
            "a",
            " ",
            "\u2028",
          ),
          fc.string({ unit: "grapheme", maxLength: 20 }),
        ),
        { maxLength: 60 },
      )
      .map((parts) => parts.join(""));
    fc.assert(
      fc.property(anyText, (reason) => {
        const text = writePracticeCalendar(withReason(reason), OPTIONS);
        expectGrammar(text);
        const [event] = eventsOf(text);
        expect(event?.description).toBe(
          `5 min  Break: ${reason.replace(/[\u0000-\u001f\u007f]+/g, " ")}\n\n${plan.caution}`,
        );
      }),
      { numRuns: 500 },
    );
  });

  const { TZ } = process.env;
  afterEach(() => {
    if (TZ === undefined) delete process.env.TZ;
    else process.env.TZ = TZ;
  });

  it("law: the same input gives the same file in every time zone", () => {
    const files = ["UTC", "Asia/Tokyo", "America/St_Johns", "Pacific/Apia"].flatMap((zone) => {
      process.env.TZ = zone;
      return [writePracticeCalendar(plan, { ...OPTIONS, startTime: "02:30" }) + writePracticeCalendar(plan, OPTIONS)];
    });
    expect(new Set(files).size).toBe(1);
  });

  it("starts where the options say, days off kept", () => {
    const undated = makePracticePlan({ keys: ["C"], weeks: 1, daysAWeek: 3 });
    const events = eventsOf(
      writePracticeCalendar(undated, { ...OPTIONS, startDate: "2027-12-30", planName: "winter" }),
    );
    expect(events.map((event) => event.startDate.toString())).toEqual(["2027-12-30", "2028-01-01", "2028-01-03"]);
    expect(events[0]?.uid).toBe("winter-2027-12-30@example.org");
    const moved = eventsOf(writePracticeCalendar(plan, { ...OPTIONS, startDate: "2027-12-30" }));
    expect(moved[0]?.startDate.toString()).toBe("2027-12-30");
  });

  it.each([
    [{ stamp: "yesterday" }, "plan/stamp"],
    [{ stamp: "2026-01-02T03:04:05+01:00" }, "plan/stamp"],
    [{ stamp: "2026-02-30T03:04:05Z" }, "plan/stamp"],
    [{ startTime: "24:00" }, "plan/time"],
    [{ startTime: "5 pm" }, "plan/time"],
    [{ startDate: "2026-13-01" }, "plan/date"],
    [{ uidDomain: "example.org\r\nX-EVIL:1" }, "plan/uid"],
    [{ uidDomain: "" }, "plan/uid"],
    [{ planName: "a@b" }, "plan/uid"],
  ])("%j: %s", (wrong, code) => {
    expect(() => writePracticeCalendar(plan, { ...OPTIONS, ...wrong })).toThrowError(
      expect.objectContaining({ name: "MusicError", code }),
    );
  });

  it("needs a start date from somewhere", () => {
    expect(() => writePracticeCalendar(makePracticePlan({}), OPTIONS)).toThrowError(
      expect.objectContaining({ code: "plan/date" }),
    );
  });

  it("law: another plan has other identifiers, the same plan the same ones whenever it is written", () => {
    const uids = (plan: PracticePlan, stamp = STAMP): readonly string[] =>
      writePracticeCalendar(plan, { ...OPTIONS, stamp })
        .split("\r\n")
        .filter((line) => line.startsWith("UID:"));
    const plans = [{}, { weeks: 2 }, { minutesADay: 45 }, { startTempo: 72 }].map((options) =>
      makePracticePlan({ ...options, startDate: "2026-01-05" }),
    );
    const all = plans.flatMap((plan) => uids(plan));
    expect(new Set(all).size).toBe(all.length);
    for (const plan of plans) expect(uids(plan, "2027-03-04T05:06:07Z")).toEqual(uids(plan));
  });
});
