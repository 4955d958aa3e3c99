import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  addEntry,
  challengeResults,
  classOverview,
  classPage,
  makeDrill,
  makeNotebook,
  pitchName,
  weeklyChallenge,
  writeClassCsv,
} from "../all.ts";
import { day, takeOf, term } from "./students.ts";

const AT = "2026-01-05T08:00:00Z";

/** Reads a table by the grammar of RFC 4180: a reader of its own. */
const read = (text: string): readonly (readonly string[])[] => {
  const lines: string[][] = [[]];
  for (const [, quoted, plain = "", end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/g)) {
    lines.at(-1)?.push(quoted === undefined ? plain : quoted.replace(/""/g, '"'));
    if (end === "\r\n") lines.push([]);
    if (end === "") break;
  }
  return lines.slice(0, -1);
};

describe("class", () => {
  it("law: any alias comes through the table and the page as it is", () => {
    fc.assert(
      fc.property(fc.string({ minLength: 1, maxLength: 20 }), (alias) => {
        const overview = classOverview([makeNotebook({ alias, at: AT, id: "bird-1" })], { today: day(7) });
        const [heads, line, ...rest] = read(writeClassCsv(overview));
        expect(rest).toEqual([]);
        expect(line?.length).toBe(heads?.length);
        expect(line?.[0]).toBe(/^[=+\-@\t\r]/.test(alias) ? `'${alias}` : alias);
        expect(classPage(overview)).not.toMatch(
          /<(?!\/?(?:main|h1|h2|p|ul|li|b|section|div|table|thead|tbody|tr|th|td|html|head|body|meta|title|style|!doctype)\b)/,
        );
      }),
    );
  });

  it("tells who moved, who is stuck and on what, and from whom nothing came", () => {
    const unclean = { clean: false, accuracy: 0.8, findings: [{ id: "wrong-notes", weight: 0.9, bars: [] }] };
    const named = (alias: string) => makeNotebook({ alias, at: AT });
    const good = term(named("Wren"), 3).notebook;
    const stuck = term(named("Robin"), 3, (week) => [takeOf(week, 0, unclean)]).notebook;
    const silent = term(named("Sparrow"), 3, () => []).notebook;
    const { students, skills } = classOverview([silent, stuck, good], { today: day(21) });
    expect(students.map(({ name }) => name)).toEqual(["Robin", "Sparrow", "Wren"]);
    const keys = (name: string): readonly string[] =>
      students.find((one) => one.name === name)!.told.map(({ key }) => key);
    expect([keys("Robin"), keys("Sparrow"), keys("Wren")]).toEqual([["told.stuck"], ["told.silent"], []]);
    expect(students.find(({ name }) => name === "Wren")?.moved.length).toBeGreaterThan(0);
    expect(skills.find(({ skill }) => skill === "shells-alone")?.stuck).toEqual(["Robin"]);
  });
});

describe("challenge", () => {
  it("law: every level plays the same phrase, note for note, and what is harder is harder by measure", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 150 }), (week) => {
        const { drills } = weeklyChallenge(day(7 * week));
        const phrases = drills.map(({ recipe }) =>
          makeDrill(recipe)
            .score.right.map(({ at, pitches }) => `${at.num}/${at.den} ${pitches.map(pitchName).join("+")}`)
            .join(" "),
        );
        expect(new Set(phrases).size).toBe(1);
        expect(drills[4]!.recipe.tempo).toBeGreaterThan(drills[0]!.recipe.tempo!);
        expect(weeklyChallenge(day(7 * week)).drills).toEqual(drills);
      }),
      { numRuns: 6 },
    );
  }, 120_000);

  it("tells growth by name and ranks nobody", () => {
    const challenge = weeklyChallenge(day(0));
    const [drill] = challenge.drills;
    const take = (at: string, accuracy: number, tempo: number) => ({
      kind: "take" as const,
      at,
      title: drill!.title,
      key: "C",
      drill: drill!.id,
      hands: "both" as const,
      tempo: { asked: tempo, played: tempo },
      accuracy,
      clean: accuracy >= 0.95,
      measures: [],
      findings: [],
    });
    const wren = [take("2026-01-06T10:00:00Z", 0.8, 50), take("2026-01-10T10:00:00Z", 0.97, 56)].reduce(
      (book, one) => addEntry(book, one),
      makeNotebook({ alias: "Wren", at: AT }),
    );
    const robin = addEntry(makeNotebook({ alias: "Robin", at: AT }), take("2026-01-06T10:00:00Z", 1, 56));
    const apart = makeNotebook({ alias: "Sparrow", at: AT });
    expect(challengeResults(challenge, [wren, apart, robin])).toEqual([
      { key: "challenge.once", values: { student: "Robin", after: 100, to: 56 } },
      { key: "challenge.grew", values: { student: "Wren", before: 80, after: 97, from: 50, to: 56 } },
    ]);
  });
});
