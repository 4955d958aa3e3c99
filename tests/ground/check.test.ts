import fc from "fast-check";
import * as v from "valibot";
import { describe, expect, it } from "vitest";
import { check, checkOnce, faultsOf, need, needOptions, refusal, shapeOf } from "../../src/ground/check.ts";

const recipe = v.strictObject({
  key: v.picklist(["C", "F", "Bb"]),
  tempo: v.optional(v.pipe(v.number(), v.integer(), v.minValue(30), v.maxValue(300))),
  left: v.optional(v.strictObject({ styles: v.pipe(v.array(v.string()), v.minLength(1), v.maxLength(3)) })),
});
const refused = (value: unknown): object => {
  try {
    check(recipe, value, "drill/argument");
  } catch (error) {
    return error as object;
  }
  return {};
};

describe("the boundary", () => {
  it.each<readonly [unknown, object]>([
    [null, { input: null, expected: "an object" }],
    ["C", { input: "C", expected: "an object" }],
    [{}, { expected: "a value at key" }],
    [{ key: "G" }, { input: "G", expected: "C, F, Bb at key" }],
    [{ key: "f" }, { input: "f", hint: "did you mean F?" }],
    [
      { key: "C", tempo: "fast" },
      { input: "fast", expected: "number at tempo" },
    ],
    [
      { key: "C", tempo: 120.5 },
      { input: 120.5, expected: "a whole number at tempo" },
    ],
    [
      { key: "C", tempo: 10 },
      { input: 10, expected: "at least 30 at tempo" },
    ],
    [
      { key: "C", tempo: 1000 },
      { input: 1000, expected: "at most 300 at tempo" },
    ],
    [
      { key: "C", tempi: 120 },
      { input: "tempi", expected: "no such field at tempi" },
    ],
    [
      { key: "C", left: { styles: [] } },
      { input: [], expected: "at least 1 item at left.styles" },
    ],
    [
      { key: "C", left: { styles: ["a", 2] } },
      { input: 2, expected: "string at left.styles.1" },
    ],
  ])("%j is refused with its place and what it should be", (value, told) => {
    expect(refused(value)).toMatchObject({ name: "MusicError", code: "drill/argument", reason: "bad-input", ...told });
  });

  it("tells all that is wrong, where that is asked for", () => {
    const { issues = [] } = v.safeParse(recipe, { key: "G", tempo: 1, left: 3 });
    const error = refusal("drill/recipe", "the whole", faultsOf(issues));
    expect(error.expected).toBe("C, F, Bb at key; at least 30 at tempo; an object at left");
    expect(error.input).toBe("the whole");
  });

  it("law: what passes is left as it is, and undefined is no value for an option", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("C", "F", "Bb"),
        fc.option(fc.integer({ min: 30, max: 300 }), { nil: undefined }),
        (key, tempo) => {
          const value = Object.freeze({ key, tempo });
          expect(() => check(recipe, value, "drill/argument")).not.toThrow();
          expect(value).toEqual({ key, tempo });
        },
      ),
    );
  });

  it("an object is looked through once for each shape, what is wrong every time", () => {
    let looks = 0;
    const small = shapeOf((value): value is object => typeof value === "object" && looks++ >= 0, "an object");
    const other = shapeOf((value): value is object => typeof value === "object" && looks++ < 0, "nothing");
    const value = {};
    for (let i = 0; i < 5; i++) checkOnce(small, value, "score/argument");
    expect(looks).toBe(1);
    for (let i = 0; i < 2; i++)
      expect(() => checkOnce(other, value, "score/argument")).toThrowError(/expected nothing/);
    expect(looks).toBe(3);
    expect(() => checkOnce(small, 5, "score/argument")).toThrowError(expect.objectContaining({ input: 5 }));
  });

  it("a test of one's own says what passes", () => {
    const isNought = (value: unknown): value is 0 => value === 0;
    expect(() => need(isNought, 0, "time/argument", "nought")).not.toThrow();
    expect(() => need(isNought, "0", "time/argument", "nought")).toThrowError(
      expect.objectContaining({ code: "time/argument", input: "0", expected: "nought" }),
    );
  });

  it("options by a test a field: others are refused, undefined is left out", () => {
    const tests = { rest: [(value: unknown) => typeof value === "boolean", "true or false"] } as const;
    const ask = (options: unknown) => () => needOptions(options, tests, "time/argument");
    for (const options of [{}, { rest: true }, { rest: undefined }]) expect(ask(options)).not.toThrow();
    expect(ask({ rest: "yes" })).toThrowError(
      expect.objectContaining({ input: "yes", expected: "true or false as rest" }),
    );
    expect(ask({ rests: true })).toThrowError(
      expect.objectContaining({ input: "rests", expected: "one of the options rest", hint: "did you mean rest?" }),
    );
    // Names that every object inherits are no options either.
    for (const name of ["constructor", "toString", "__proto__"])
      expect(ask(JSON.parse(`{"${name}": 1}`))).toThrowError(expect.objectContaining({ input: name }));
    for (const options of [null, [], "rest", 3]) expect(ask(options)).toThrowError(/options as an object/);
  });
});
