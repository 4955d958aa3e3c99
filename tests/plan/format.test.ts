import { describe, expect, it } from "vitest";
import { formatPracticePlan, makePracticePlan } from "../../src/plan/index.ts";

describe("practice plan as a table", () => {
  const plan = makePracticePlan({
    keys: ["C", "Bb", "F#", "E"],
    weakKeys: ["Bb"],
    weeks: 2,
    minutesADay: 40,
    mode: "minor",
    startDate: "2026-03-02",
  });
  const text = formatPracticePlan(plan);
  const lines = text.split("\n");

  it("has a line for each item, in order, under one heading", () => {
    expect(lines[0]?.split(/\s+/)).toEqual(["week", "day", "date", "min", "key", "tempo", "drill", "why"]);
    const items = plan.days.flatMap((day) => day.items);
    items.forEach((item, i) => {
      const cells = (lines[i + 1] as string).trim().split(/\s{2,}/);
      const first = plan.days.find((day) => day.items[0] === item);
      if (first !== undefined) expect(cells.splice(0, 3)).toEqual([String(first.week), String(first.day), first.date]);
      expect(cells[0]).toBe(String(item.minutes));
      expect(cells.at(-1)).toBe(item.reason);
      if (item.kind === "drill")
        expect(cells.slice(1, 3)).toEqual([
          `${item.key.replace("b", "♭").replace("#", "♯")} minor`,
          String(item.tempo),
        ]);
      else expect(cells[1]).toBe(item.kind);
    });
    expect(lines[items.length + 1]).toBe("");
  });

  it("law: a column starts or ends at the same place in every line", () => {
    const count = plan.days.reduce((sum, day) => sum + day.items.length, 0);
    const at = (lines[0] as string).indexOf("why");
    for (const line of lines.slice(0, count + 1)) expect([...line].slice(at - 2, at).join("")).toBe("  ");
    expect(lines.every((line) => line === line.trimEnd())).toBe(true);
  });

  it("ends with what becomes of each key, the assumptions and the caution", () => {
    const summary = lines.slice(lines.findIndex((line) => line.includes("tempo reached")) + 1);
    plan.keys.forEach((key, i) => expect((summary[i] as string).endsWith(` ${key.highestTempo}`)).toBe(true));
    for (const sentence of plan.assumptions) expect(text).toContain(`- ${sentence}`);
    expect(lines.at(-1)).toBe(plan.caution);
  });

  it("leaves the date out where there is none, and names a chart by its beginning", () => {
    const undated = formatPracticePlan(
      makePracticePlan({
        keys: ["C"],
        weeks: 1,
        drills: [{ changes: "Dm7 | G7 |\nCmaj7 | % | Dm7 | G7 | Cmaj7 | % | Dm7 | G7" }],
      }),
    );
    expect(undated.split("\n")[0]).not.toMatch(/date/);
    expect(undated).toContain("Dm7 | G7 | Cmaj7");
  });
});
