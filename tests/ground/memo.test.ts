import { expect, it } from "vitest";
import { memo } from "../../src/ground/memo.ts";

it("what is kept is bounded: a thing is worked out once while it is among the newest few, and again after", () => {
  const kept = memo<string>(3);
  const made: string[] = [];
  const ask = (key: string): string =>
    kept(key, () => {
      made.push(key);
      return key.toUpperCase();
    });
  expect(["a", "a", "b", "c", "a", "b", "c"].map(ask)).toEqual(["A", "A", "B", "C", "A", "B", "C"]);
  expect(made).toEqual(["a", "b", "c"]);
  // The fourth drives out the oldest, and it alone.
  expect(["d", "b", "c", "d", "a"].map(ask)).toEqual(["D", "B", "C", "D", "A"]);
  expect(made).toEqual(["a", "b", "c", "d", "a"]);
});
