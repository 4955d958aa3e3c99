import { XMLValidator } from "fast-xml-parser";
import { describe, expect, it } from "vitest";
import {
  evennessPicture,
  keysPicture,
  makeNotebook,
  nextWeek,
  studentPage,
  swingPicture,
  teacherPage,
  tempoPicture,
} from "../all.ts";
import { day, takeOf, term } from "./students.ts";

const AT = "2026-01-05T08:00:00Z";
const measures = [
  { hand: "right", accuracy: 1, spreadMs: 21, swing: { asked: 2, played: 1.62 } },
  { hand: "left", accuracy: 1, spreadMs: 34 },
] as const;
const { notebook } = term(makeNotebook({ alias: "Sparrow <&>", at: AT, level: 2, weak: ["Ab"] }), 3, (week) =>
  week.drills.map((_, place) =>
    takeOf(
      week,
      place,
      place === 0
        ? { measures, clean: false, findings: [{ id: "wrong-notes", weight: 0.9, bars: [3] }] }
        : { measures },
    ),
  ),
);
const week = nextWeek(notebook, { start: day(21) });

describe("pictures of a notebook", () => {
  it.each([
    ["tempo", tempoPicture],
    ["evenness", evennessPicture],
    ["swing", swingPicture],
    ["keys", keysPicture],
  ] as const)("law: %s is sound XML, says in words what it shows, and has no colour", (_, draw) => {
    for (const language of ["en", "de"]) {
      const svg = draw(notebook, { language });
      expect(XMLValidator.validate(svg)).toBe(true);
      expect(/<desc [^>]*>[^<]{20,}<\/desc>/.test(svg)).toBe(true);
      const colours = [...svg.matchAll(/(?:fill|stroke)="([^"]+)"/g)].map(([, colour]) => colour ?? "");
      expect(colours.length).toBeGreaterThan(5);
      expect(colours.filter((colour) => !/^(none|#(.)\2\2)$/.test(colour))).toEqual([]);
    }
  });

  it("figures are those of the takes", () => {
    expect(evennessPicture(notebook)).toContain("right hand: week 1 21, week 2 21, week 3 21.");
    expect(swingPicture(notebook)).toContain("asked for: week 1 2");
    expect(swingPicture(notebook)).toContain("week 1 1.62");
    expect(keysPicture(notebook)).toMatch(/A♭ major: (weak|clean), \d/);
  });

  it("law: pages say at most three things, name every drill, and stand alone", () => {
    for (const make of [studentPage, teacherPage])
      for (const language of ["en", "de"]) {
        const html = make(notebook, week, { language });
        expect(html).toContain(`<html lang="${language}">`);
        expect(html).toContain("Sparrow &lt;&amp;&gt;");
        expect(html).not.toMatch(/(?:src|href)="(?:https?:)?\/\//);
        for (const { title } of week.drills) expect(html).toContain(title);
        expect(html).not.toMatch(/\{[a-z]+\}/);
      }
    const html = studentPage(notebook, week);
    for (const title of ["What got better", "To look after"]) {
      const list = html.split(`<h2>${title}</h2>`)[1]?.split("</ul>")[0] ?? "";
      const items = list.split("<li>").length - 1;
      expect(items).toBeGreaterThan(0);
      expect(items).toBeLessThanOrEqual(3);
    }
    expect(html).toContain("Name the notes of bar 3 of");
  });
});
