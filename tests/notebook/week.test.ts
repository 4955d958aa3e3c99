import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { DrillRecipe, Notebook, NotebookTake, PracticeWeek } from "../all.ts";
import {
  addEntry,
  exerciseCatalogue,
  findingCatalogue,
  hearTake,
  makeDrill,
  makeNotebook,
  nextWeek,
  notebookSkills,
  parseDrillRecipe,
  progressionCatalogue,
  recipeDifficulty,
  sayIn,
  simulateTake,
  skillCatalogue,
  weekPlan,
  writePracticeCalendar,
} from "../all.ts";
import { day, takeOf, term } from "./students.ts";

const AT = "2026-01-05T08:00:00Z";
const student = (level: 1 | 2 | 3 | 4 | 5 = 1, more: object = {}): Notebook =>
  makeNotebook({ alias: "Sparrow", at: AT, level, ...more });

const drillsOf = ({ drills }: PracticeWeek): readonly DrillRecipe[] => drills.map(({ recipe }) => recipe);

describe("curriculum", () => {
  it("every row comes after rows that are there, and the first have none before them", () => {
    const ids = new Set<string>();
    const left = new Set(skillCatalogue);
    // Rows can be put in an order in which each comes after its prerequisites: no circle.
    for (let before = -1; before !== left.size; ) {
      before = left.size;
      for (const row of left)
        if (row.after.every((id) => ids.has(id))) {
          ids.add(row.id);
          left.delete(row);
        }
    }
    expect([...left].map(({ id }) => id)).toEqual([]);
    expect(ids.size).toBe(skillCatalogue.length);
  });

  it("law: it goes over every progression and every exercise, and what it helps with can be found", () => {
    const changes = new Set(skillCatalogue.flatMap((row) => row.changes));
    const right = new Set<unknown>(skillCatalogue.flatMap((row) => row.right));
    expect(progressionCatalogue.filter(({ id }) => !changes.has(id)).map(({ id }) => id)).toEqual([]);
    expect(exerciseCatalogue.filter(({ id }) => !right.has(id)).map(({ id }) => id)).toEqual([]);
    const findings = new Set(findingCatalogue.map(({ id }) => id));
    const helped = new Set(skillCatalogue.flatMap(({ helps }) => helps));
    expect([...findings].filter((id) => !helped.has(id))).toEqual([]);
    expect(skillCatalogue.flatMap(({ helps }) => helps).filter((id) => !findings.has(id))).toEqual([]);
  });

  it("higher levels are harder by measure: each level's mean over the one two below", () => {
    const mean = (level: number): number => {
      const totals = skillCatalogue
        .filter((row) => row.level === level && row.changes.length > 0 && row.drill.hands === undefined)
        .map(({ drill, changes: [changes], right: [right], comping: [comping] = [], tempo: [, tempo] }) => {
          const minor = progressionCatalogue.some(({ id, mode }) => id === changes && mode === "minor");
          return recipeDifficulty({ ...drill, changes, right, comping, tempo, key: minor ? "C minor" : "C" }).total;
        });
      return totals.reduce((sum, total) => sum + total, 0) / totals.length;
    };
    expect(mean(3)).toBeGreaterThan(mean(1));
  });

  it("law: sixty weeks in a row differ, and no drill of a skill that goes on comes twice", () => {
    const { weeks } = term(student(2), 60);
    const names = weeks.map(({ drills }) =>
      drills
        .map(({ id }) => id)
        .sort()
        .join(" "),
    );
    expect(new Set(names).size).toBe(60);
    const drills = weeks.flatMap(({ drills: list }) => list.map(({ id }) => id));
    expect(new Set(drills).size).toBeGreaterThan(0.97 * drills.length);
  }, 240_000);
});

describe("next week", () => {
  it("law: every drill of a week is a recipe that can be read and made, and the calendar has its sheet", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const, 5 as const),
        fc.integer({ min: 5, max: 60 }),
        fc.integer({ min: 1, max: 7 }),
        fc.array(fc.constantFrom("Ab", "Db", "F#", "B"), { maxLength: 2 }),
        fc.integer({ min: 0, max: 2 }),
        (level, minutesADay, daysAWeek, weak, before) => {
          const { notebook } = term(student(level, { minutesADay, daysAWeek, weak }), before);
          const week = nextWeek(notebook, { start: day(7 * before) });
          for (const recipe of drillsOf(week)) {
            expect(parseDrillRecipe(JSON.parse(JSON.stringify(recipe))).key).toBe(recipe.key);
            expect(makeDrill(recipe).score.bars).toBeGreaterThan(0);
          }
          expect(new Set(week.drills.map(({ id }) => id)).size).toBe(week.drills.length);
          const practised = new Set(week.days.flatMap(({ items }) => items.flatMap(({ drill = [] }) => drill)));
          expect(practised.size).toBe(week.drills.length);
          for (const { minutes } of week.days) expect(minutes).toBeLessThanOrEqual(minutesADay);
          const sheets = Object.fromEntries(week.drills.map(({ id }) => [id, `${id}.html`]));
          const text = writePracticeCalendar(weekPlan(week, { sheets }), { stamp: AT, uidDomain: "example.org" });
          for (const sheet of Object.values(sheets)) expect(text.replace(/\r\n /g, "")).toContain(`sheet ${sheet}`);
        },
      ),
      { numRuns: 12 },
    );
  }, 120_000);

  it("law: one new skill a week at most, and only what comes after what is known", () => {
    const { weeks } = term(student(1), 20);
    const seen = new Set<string>();
    for (const { drills } of weeks) {
      const fresh = [
        ...new Set(drills.flatMap(({ skill }) => (skill === undefined || seen.has(skill) ? [] : [skill]))),
      ];
      expect(fresh.length).toBeLessThanOrEqual(1);
      for (const id of fresh) {
        const row = skillCatalogue.find((one) => one.id === id);
        expect(row?.after.filter((before) => !seen.has(before))).toEqual([]);
        seen.add(id);
      }
    }
    expect(seen.size).toBeGreaterThan(8);
  }, 60_000);

  it("law: the tempo of a skill never rises after a take that was not clean", () => {
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: 8, maxLength: 24 }), (clean) => {
        let turn = 0;
        const last = new Map<string, NotebookTake>();
        term(student(2), 6, (week) => {
          for (const drill of week.drills) {
            const before = last.get(drill.skill ?? "");
            if (before !== undefined && !before.clean) expect(drill.tempo).toBeLessThanOrEqual(before.tempo.asked);
          }
          return week.drills.map((drill, place) => {
            const good = clean[turn++ % clean.length] ?? true;
            const take = takeOf(
              week,
              place,
              good ? {} : { clean: false, accuracy: 0.8, findings: [{ id: "wrong-notes", weight: 0.9, bars: [1] }] },
            );
            if (drill.part !== "trouble-spot") last.set(drill.skill ?? "", take);
            return take;
          });
        });
      }),
      { numRuns: 8 },
    );
  }, 120_000);

  it("after a clean take it is four or eight faster, after one that was not it is the same drill at the same tempo", () => {
    const [first, second] = term(student(1), 2).weeks;
    expect(first?.drills[0]?.tempo).toBe(60);
    expect(second?.drills.find(({ skill }) => skill === "shells-alone")?.tempo).toBe(68);
    const unclean = { clean: false, accuracy: 0.8, findings: [{ id: "wrong-notes", weight: 0.9, bars: [2] }] };
    const after = term(student(1), 2, (week) => [takeOf(week, 0, unclean)]).weeks[1];
    expect(after?.drills[0]?.id).toBe(first?.drills[0]?.id);
    expect(after?.drills[0]?.tempo).toBe(60);
    expect(after?.drills[0]?.reasons.map((one) => sayIn("en", one)).join(" ")).toContain("wrong notes");
  });

  it("a trouble spot comes by itself, and no more once it was clean twice", () => {
    const faults = { seed: 4, wrongAt: [3, 4, 5] };
    const week = nextWeek(student(2), { start: day(0) });
    const { score } = makeDrill({ ...week.drills[0]!.recipe });
    const { take } = hearTake(score, simulateTake(score, faults).played, { at: `${day(2)}T17:00:00Z` });
    expect(take.clean).toBe(false);
    const given = addEntry(addEntry(student(2), { kind: "week", at: AT, week }), take);
    const next = nextWeek(given, { start: day(7) });
    const spot = next.drills.find(({ part }) => part === "trouble-spot");
    expect(spot?.recipe.bars).toBeDefined();
    expect(spot!.tempo).toBeLessThanOrEqual(take.tempo.asked);
    const cleaned = ["2026-01-14T17:00:00Z", "2026-01-15T17:00:00Z"].reduce<Notebook>(
      (book, at) => addEntry(book, takeOf(next, next.drills.indexOf(spot!), { at })),
      addEntry(given, { kind: "week", at: "2026-01-12T09:00:00Z", week: next }),
    );
    expect(nextWeek(cleaned, { start: day(14) }).drills.some(({ part }) => part === "trouble-spot")).toBe(false);
  });

  it("what was found leads to what helps with it, even while something goes wrong", () => {
    const off = { clean: false, findings: [{ id: "swing-ratio", weight: 0.9, hand: "right" as const, bars: [] }] };
    const { weeks } = term(student(1), 5, (week) =>
      week.drills.map((drill, place) => takeOf(week, place, drill.recipe.hands === "left" ? {} : off)),
    );
    const fresh = weeks.flatMap(({ drills }) => drills.filter(({ part }) => part === "new"));
    const swing = fresh.find(({ skill }) => skill === "feels-swing");
    expect(swing?.reasons.map(({ key }) => key)).toContain("reason.helps");
    expect(
      term(student(1), 5)
        .weeks.flatMap(drillsOf)
        .some(({ feel }) => feel === "swing"),
    ).toBe(false);
  }, 60_000);

  it("weak keys come back every week until they are clean", () => {
    const { weeks } = term(student(2, { weak: ["Ab"] }), 4);
    const inKey = weeks.map(({ drills }) => drills.some(({ key, part }) => key === "Ab" && part === "weak-key"));
    expect(inKey[0]).toBe(true);
    expect(inKey[1]).toBe(false);
  });

  it("what is known rests, and comes back after growing gaps", () => {
    const { notebook, weeks } = term(student(1), 16);
    const at = weeks.flatMap(({ number, drills }) =>
      drills.some(({ skill }) => skill === "shells-alone") ? [number] : [],
    );
    const known = at.slice(at.findIndex((week, i) => (at[i + 1] ?? 99) - week > 1));
    const gaps = known.slice(1).map((week, i) => week - (known[i] ?? 0));
    expect(gaps.length).toBeGreaterThan(1);
    expect([...gaps].sort((a, b) => a - b)).toEqual(gaps);
    expect(notebookSkills(notebook).find(({ skill }) => skill === "shells-alone")?.state).toBe("known");
  }, 60_000);

  it.each(["skill", "changes", "right", "key"] as const)(
    "law: a forbidden %s never comes, and a pinned one comes first",
    (of) => {
      const id = { skill: "triplets-first", changes: "blues", right: "up-and-down", key: "Eb" }[of];
      const wish = (want: "pin" | "forbid"): Notebook =>
        addEntry(student(2, { known: ["C", "F", "Eb"] }), { kind: "wish", at: AT, want, of, id });
      const has = ({ drills }: PracticeWeek): boolean =>
        drills.some(({ skill, key, recipe }) => [skill, recipe.changes, recipe.right, key].includes(id));
      const forbidden = term(wish("forbid"), 4).weeks;
      expect(forbidden.some(has)).toBe(false);
      const [pinned] = term(wish("pin"), 1).weeks;
      expect(pinned?.drills[0]?.part).toBe("pinned");
      expect(has({ ...pinned!, drills: pinned!.drills.slice(0, 1) })).toBe(true);
    },
    60_000,
  );

  it("nobody stalls without a word: three takes that were not clean, four, and none at all", () => {
    const unclean = { clean: false, accuracy: 0.8, findings: [{ id: "wrong-notes", weight: 0.9, bars: [] }] };
    const told = term(student(1), 6, (week) => [takeOf(week, 0, unclean)]).weeks.map(({ told: list }) =>
      list.map(({ key }) => key),
    );
    expect(told[3]).toContain("told.stuck");
    expect(told[4]).toContain("told.aside");
    const silent = term(student(1), 4, () => []).weeks.map(({ told: list }) => list.map(({ key }) => key));
    expect(silent.map((keys) => keys.includes("told.silent"))).toEqual([false, false, true, true]);
  }, 60_000);

  it("a skill of one's own goes through everything", () => {
    const mine = {
      id: "my-own",
      title: "My own",
      path: "lines",
      level: 1,
      aim: "Try it.",
      after: [],
      helps: [],
      drill: { left: "shell" },
      changes: ["Dm7 | G7 | Cmaj7 | %"],
      right: ["up-and-down"],
      tempo: [50, 60],
      source: "mine",
    } as const;
    const week = nextWeek(student(1), { start: day(0), skills: [mine] });
    expect(week.drills[0]?.skill).toBe("my-own");
    expect(() => nextWeek(student(1), { start: day(0), skills: ["my-on"] })).toThrow(
      expect.objectContaining({ code: "notebook/skill" }),
    );
    expect(() => nextWeek(student(1), { start: day(0), skills: [{ ...mine, tempo: [60, 50] }] })).toThrow(
      expect.objectContaining({ code: "notebook/skill" }),
    );
  });

  it("own charts come with what the hands know", () => {
    const charted = addEntry(student(3), {
      kind: "chart",
      at: AT,
      title: "Song in B♭",
      changes: "Cm7 | F7 | Bbmaj7 | %",
      key: "Bb",
    });
    const pinned = addEntry(charted, { kind: "wish", at: AT, want: "pin", of: "skill", id: "charts-own" });
    const [drill] = nextWeek(pinned, { start: day(0) }).drills;
    expect([drill?.skill, drill?.key, drill?.title]).toEqual(["charts-own", "Bb", "Song in B♭"]);
  });
});
