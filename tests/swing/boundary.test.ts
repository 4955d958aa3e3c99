import { describe, expect, it } from "vitest";
import type { Feel } from "../../src/swing/index.ts";
import {
  feelCatalogue,
  parseFeel,
  parseSwingRatio,
  partFeel,
  soundingSpan,
  soundingTime,
  swungFeel,
  writtenTime,
} from "../../src/swing/index.ts";

describe("feels at the boundary", () => {
  it("law: a row of a user's own is a feel as the shipped ones are", () => {
    for (const shipped of feelCatalogue) {
      const row = { ...shipped, id: "own", source: "a test" };
      expect(parseFeel(row)).toBe(shipped.feel);
      expect(parseFeel(shipped)).toBe(parseFeel(shipped.id));
    }
    const own = { id: "own", title: "Own", source: "a test", feel: swungFeel("7:4", { unit: "16th" }) };
    expect(soundingTime(parseFeel(own), "1/4")).toEqual({ num: 7, den: 22 });
  });

  it.each<readonly [string, object]>([
    ["a ratio below 1:1", { ratio: { first: 1, second: 2 } }],
    ["a ratio that is no number", { ratio: { first: Number.NaN, second: 1 } }],
    ["another unit", { unit: "32nd" }],
    ["a delay beyond the eighth of a pair", { downbeatDelay: { num: 1, den: 2 } }],
    ["a part that no score has", { parts: { brass: {} } }],
    ["a part with a field that means nothing", { parts: { right: { late: 1 } } }],
  ])("refuses a feel with %s", (_, change) => {
    const feel = { ...swungFeel("2:1"), ...change } as Feel;
    const calls = [
      () => soundingTime(feel, 1),
      () => writtenTime(feel, 1, "binary"),
      () => soundingSpan(feel, { at: { num: 0, den: 1 }, duration: { num: 1, den: 1 } }),
      () => partFeel(feel, "right"),
    ];
    for (const call of calls)
      expect(call).toThrowError(expect.objectContaining({ code: "swing/argument", input: feel }));
    const row = { id: "own", title: "Own", source: "a test", feel };
    expect(() => parseFeel(row)).toThrowError(expect.objectContaining({ code: "swing/feel", input: row }));
  });

  it("refuses options that it does not know, and takes those that are undefined for left out", () => {
    expect(() => swungFeel("2:1", { units: "16th" } as never)).toThrowError(
      expect.objectContaining({ code: "swing/argument", input: "units", hint: "did you mean unit?" }),
    );
    expect(swungFeel("2:1", { unit: undefined, downbeatDelay: undefined, parts: undefined, id: undefined })).toEqual(
      swungFeel("2:1"),
    );
    expect(() => parseSwingRatio({ first: "2", second: "1" } as never)).toThrowError(
      expect.objectContaining({ code: "swing/ratio" }),
    );
  });
});
