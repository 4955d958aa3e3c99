import * as v from "valibot";
import { describe, expect, it } from "vitest";
import { door, rowFields } from "../../src/ground/door.ts";

interface Row {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly strokes: readonly number[];
}
const rowSchema = v.looseObject({
  ...rowFields,
  strokes: v.pipe(
    v.array(v.number()),
    v.minLength(1),
    v.check((list) => list[0] === 0, "a stroke on the first beat"),
  ),
});
const shipped: readonly Row[] = [
  { id: "one", title: "One", source: "a test", strokes: [0] },
  { id: "two-beat", title: "Two", source: "a test", strokes: [0, 2] },
];
const enter = door<Row>(shipped, rowSchema, "comping/pattern", "a left-hand pattern");
const own: Row = { id: "own", title: "Own", source: "a test", strokes: [0, 1] };

describe("the door for rows", () => {
  it("lets in the rows that ship by their id, and a user's own as it is", () => {
    for (const row of shipped) {
      expect(enter(row.id)).toBe(row);
      expect(enter(row)).toBe(row);
    }
    expect(enter(own)).toBe(own);
    expect(enter({ ...own, id: "one" })).not.toBe(shipped[0]);
  });

  it("says which there are, and which is near", () => {
    expect(() => enter("two-beats")).toThrowError(
      expect.objectContaining({
        code: "comping/pattern",
        input: "two-beats",
        expected: "a left-hand pattern: one, two-beat, or a row",
        hint: "did you mean two-beat?",
      }),
    );
  });

  it.each<readonly [string, unknown, string]>([
    ["an id with a blank", { ...own, id: "my own" }, "id"],
    ["an id that could leave a folder", { ...own, id: "../own" }, "id"],
    ["no title", { ...own, title: "" }, "title"],
    ["no source", { id: "own", title: "Own", strokes: [0] }, "source"],
    ["a law of the row broken", { ...own, strokes: [1] }, "a stroke on the first beat"],
    ["no row at all", null, "an object"],
    ["a number", 7, "an object"],
  ])("refuses a row with %s", (_, row, told) => {
    expect(() => enter(row as Row)).toThrowError(
      expect.objectContaining({ code: "comping/pattern", expected: expect.stringContaining(told) as string }),
    );
  });

  it("its shape takes what it takes, for documents", () => {
    for (const good of ["one", own]) expect(v.is(enter.shape, good)).toBe(true);
    for (const wrong of ["three", { ...own, strokes: [] }, null]) expect(v.is(enter.shape, wrong)).toBe(false);
  });
});
