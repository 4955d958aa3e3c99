import { describe, expect, it } from "vitest";
import {
  barLength,
  barPosition,
  barStart,
  formatMetre,
  isCompound,
  metre,
  notate,
  pulseLength,
  pulseTime,
} from "../../src/time/index.ts";

describe("metres at the boundary", () => {
  it.each(["2/4", "3/4", "4/4", "5/4", "2/2", "6/8", "9/8", "12/8"] as const)(
    "law: the name %s does where the metre is wanted",
    (name) => {
      const m = metre(name);
      expect(barLength(name)).toEqual(barLength(m));
      expect(isCompound(name)).toBe(isCompound(m));
      expect(pulseLength(name)).toEqual(pulseLength(m));
      expect(pulseTime("3/2", name)).toEqual(pulseTime({ num: 3, den: 2 }, m));
      expect(barPosition(7, name)).toEqual(barPosition({ num: 7, den: 1 }, m));
      expect(barStart(3, name)).toEqual(barStart(3, m));
      expect(notate("1/2", 1, name)).toEqual(notate({ num: 1, den: 2 }, { num: 1, den: 1 }, m));
      expect(formatMetre(name)).toBe(name);
    },
  );

  it.each([
    null,
    undefined,
    4,
    {},
    { kind: "metre", count: 0, unit: 4 },
    { kind: "metre", count: 33, unit: 4 },
    { kind: "metre", count: 4, unit: 3 },
    { kind: "metre", count: Number.NaN, unit: 4 },
  ])("refuses %j where a metre is wanted", (input) => {
    for (const call of [barLength, isCompound, pulseLength, formatMetre])
      expect(() => call(input as never)).toThrowError(expect.objectContaining({ code: "time/argument", input }));
    expect(() => barLength("4/5" as "4/4")).toThrowError(expect.objectContaining({ code: "time/metre" }));
  });

  it("refuses bars that are not whole, notes that are longer than any, and options it does not know", () => {
    for (const bar of [1.5, Number.NaN, 2 ** 53, "2"])
      expect(() => barStart(bar as 1, "4/4")).toThrowError(
        expect.objectContaining({ code: "time/argument", input: bar }),
      );
    expect(notate(0, 10_000, "4/4")).toHaveLength(2500);
    expect(() => notate(0, 10_001, "4/4")).toThrowError(expect.objectContaining({ code: "time/value" }));
    expect(() => notate(0, 1, "4/4", { rests: true } as never)).toThrowError(
      expect.objectContaining({ code: "time/argument", input: "rests", hint: "did you mean rest?" }),
    );
    expect(() => notate(0, 1, "4/4", { rest: 1 as never })).toThrowError(/true or false as rest/);
    expect(notate(0, 1, "4/4", { rest: undefined })).toEqual(notate(0, 1, "4/4"));
  });
});
