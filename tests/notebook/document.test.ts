import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Notebook, NotebookEntry } from "../all.ts";
import { addEntry, makeNotebook, mergeNotebooks, notebookStudent, readNotebook, writeNotebook } from "../all.ts";
import { takeOf, term } from "./students.ts";

const AT = "2026-01-05T12:00:00Z";
const empty = makeNotebook({ alias: "Sparrow", at: AT });
const { weeks } = term(empty, 2);

const moments = fc
  .integer({ min: 0, max: 40 })
  .map((minutes) => new Date(Date.UTC(2026, 0, 6, 9, minutes)).toISOString().replace(".000", ""));
const tonics = fc.array(fc.constantFrom("C", "F", "Bb", "Eb", "F#"), { maxLength: 3 });
const entries: fc.Arbitrary<NotebookEntry> = fc.oneof(
  fc.record({
    kind: fc.constant("student" as const),
    at: moments,
    level: fc.constantFrom(1 as const, 2 as const),
    weak: tonics,
  }),
  fc.record({
    kind: fc.constant("wish" as const),
    at: moments,
    want: fc.constantFrom("pin" as const, "forbid" as const, "leave" as const),
    of: fc.constant("skill" as const),
    id: fc.constantFrom("slides-down", "triplets-first"),
  }),
  fc.record({
    kind: fc.constant("chart" as const),
    at: moments,
    title: fc.constantFrom("One", "Two"),
    changes: fc.constant("Dm7 | G7"),
    key: fc.constant("C"),
  }),
  fc
    .record({ at: moments, place: fc.integer({ min: 0, max: 1 }), accuracy: fc.constantFrom(0.9, 1) })
    .map(({ at, place, accuracy }) => takeOf(weeks[0]!, place, { at, accuracy })),
  moments.map((at) => ({ kind: "week" as const, at, week: weeks[1]! })),
);
const copies: fc.Arbitrary<Notebook> = fc
  .array(entries, { maxLength: 8 })
  .map((list) => list.reduce<Notebook>((notebook, entry) => addEntry(notebook, entry), empty));

describe("notebook", () => {
  it("law: merging is commutative, associative and idempotent", () => {
    fc.assert(
      fc.property(copies, copies, copies, (a, b, c) => {
        expect(writeNotebook(mergeNotebooks(a, b))).toBe(writeNotebook(mergeNotebooks(b, a)));
        expect(writeNotebook(mergeNotebooks(mergeNotebooks(a, b), c))).toBe(
          writeNotebook(mergeNotebooks(a, mergeNotebooks(b, c))),
        );
        expect(writeNotebook(mergeNotebooks(a, a))).toBe(writeNotebook(a));
      }),
      { numRuns: 60 },
    );
  });

  it("law: nothing of either copy is lost, and nothing comes twice", () => {
    const texts = ({ entries: list }: Notebook): readonly string[] =>
      writeNotebook({ ...empty, entries: list })
        .split("\n")
        .slice(1, -3)
        .map((line) => line.replace(/,$/, ""));
    fc.assert(
      fc.property(copies, copies, (a, b) => {
        expect([...texts(mergeNotebooks(a, b))].sort()).toEqual([...new Set([...texts(a), ...texts(b)])].sort());
      }),
      { numRuns: 60 },
    );
  });

  it("law: what is written is read back, whatever the order in which it was added", () => {
    fc.assert(
      fc.property(fc.array(entries, { maxLength: 8 }), (list) => {
        const put = (all: readonly NotebookEntry[]): Notebook =>
          all.reduce<Notebook>((book, one) => addEntry(book, one), empty);
        const text = writeNotebook(put(list));
        expect(readNotebook(text)).toEqual(put(list));
        expect(writeNotebook(put([...list].reverse()))).toBe(text);
      }),
      { numRuns: 60 },
    );
  });

  it("the later setting holds, whichever copy it stands in", () => {
    const early = addEntry(empty, { kind: "student", at: "2026-01-06T12:00:00Z", level: 2, weak: ["Ab"] });
    const late = addEntry(empty, { kind: "student", at: "2026-01-07T12:00:00Z", level: 3 });
    for (const merged of [mergeNotebooks(early, late), mergeNotebooks(late, early)])
      expect(notebookStudent(merged)).toMatchObject({ level: 3, weak: ["Ab"], alias: "Sparrow" });
  });

  it.each([
    ['{"kind":"notebook","version":2,"id":"abcd","entries":[]}', "notebook/version"],
    ['{"kind":"notebook","version":1,"id":"ab', "notebook/json"],
    ["[]", "notebook/json"],
    ['{"kind":"notebook","version":1,"id":"abcd","entries":[],"email":"x"}', "notebook/document"],
    [
      '{"kind":"notebook","version":1,"id":"abcd","entries":[{"kind":"student","at":"2026-02-30T12:00:00Z"}]}',
      "notebook/document",
    ],
    [
      '{"kind":"notebook","version":1,"id":"abcd","entries":[{"kind":"student","at":"2026-02-03T12:00:00Z","surname":"x"}]}',
      "notebook/document",
    ],
    ['{"kind":"drill","key":"C"}', "notebook/document"],
  ])("%s is refused in one line", (text, code) => {
    expect(() => readNotebook(text)).toThrow(
      expect.objectContaining({ code, message: expect.not.stringContaining("\n") }),
    );
  });

  it("notebooks of two students are not merged, even under one alias", () => {
    const other = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:01Z" });
    expect(other.id).not.toBe(empty.id);
    expect(() => mergeNotebooks(empty, other)).toThrow(expect.objectContaining({ code: "notebook/other-student" }));
  });
});
