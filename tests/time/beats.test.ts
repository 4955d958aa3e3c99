import fc from "fast-check";
import Fraction from "fraction.js";
import { describe, expect, it } from "vitest";
import type { Beats } from "../../src/time/index.ts";
import {
  addBeats,
  beats,
  beatsOf,
  beatsToNumber,
  compareBeats,
  divideBeats,
  equalBeats,
  floorBeats,
  formatBeats,
  minBeats,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../../src/time/index.ts";

const rational = fc
  .tuple(fc.integer({ min: -5000, max: 5000 }), fc.integer({ min: 1, max: 960 }))
  .map(([num, den]) => beatsOf(num, den));
const gcd = (a: number, b: number): number => (b === 0 ? Math.abs(a) : gcd(b, a % b));

describe("beats", () => {
  it("law: sums and products are those of integer cross multiplication, in lowest terms", () => {
    fc.assert(
      fc.property(rational, rational, (a, b) => {
        const sum = addBeats(a, b);
        expect(BigInt(sum.num) * BigInt(a.den) * BigInt(b.den)).toBe(
          BigInt(sum.den) * (BigInt(a.num) * BigInt(b.den) + BigInt(b.num) * BigInt(a.den)),
        );
        const product = multiplyBeats(a, b);
        expect(BigInt(product.num) * BigInt(a.den * b.den)).toBe(BigInt(product.den) * BigInt(a.num * b.num));
        for (const r of [sum, product]) expect(gcd(r.num, r.den)).toBe(1);
      }),
    );
  });

  it("law: subtracting undoes adding, dividing undoes multiplying", () => {
    fc.assert(
      fc.property(rational, rational, (a, b) => {
        expect(subtractBeats(addBeats(a, b), b)).toEqual(a);
        fc.pre(b.num !== 0);
        expect(divideBeats(multiplyBeats(a, b), b)).toEqual(a);
      }),
    );
  });

  it("law: order and floor agree with the numbers where those are exact", () => {
    fc.assert(
      fc.property(rational, rational, (a, b) => {
        expect(Math.sign(compareBeats(a, b))).toBe(Math.sign(a.num * b.den - b.num * a.den) + 0);
        expect(equalBeats(a, b)).toBe(compareBeats(a, b) === 0);
        expect(floorBeats(a) * a.den <= a.num && a.num < (floorBeats(a) + 1) * a.den).toBe(true);
      }),
    );
  });

  it("law: the earlier of two moments is one of them and not after either", () => {
    fc.assert(
      fc.property(rational, rational, (a, b) => {
        const earlier = minBeats(a, b);
        expect([a, b]).toContain(earlier);
        expect(Math.max(compareBeats(earlier, a), compareBeats(earlier, b))).toBeLessThanOrEqual(0);
      }),
    );
  });

  it("law: fractions that differ by as little as they can are told apart", () => {
    // n/(n - 1) lies above (n + 1)/n by 1/(n(n - 1)), far below what a double tells apart from 1.
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 2 ** 45 }), (n) => {
        expect(compareBeats(beatsOf(n, n - 1), beatsOf(n + 1, n))).toBeGreaterThan(0);
        expect(compareBeats(beatsOf(n + 1, n), beatsOf(n, n - 1))).toBeLessThan(0);
      }),
    );
  });

  it("zero is nothing to add, and nobody's to change", () => {
    fc.assert(
      fc.property(rational, (a) => {
        expect(addBeats(a, ZERO)).toEqual(a);
      }),
    );
    expect(Object.isFrozen(ZERO)).toBe(true);
  });

  // fraction.js 5.3.4 (npm) counts in big integers throughout.
  it("fraction.js: sums, differences, products, quotients, order and texts agree", () => {
    const large = fc
      .tuple(fc.integer({ min: -(2 ** 45), max: 2 ** 45 }), fc.integer({ min: 1, max: 2 ** 40 }))
      .map(([num, den]) => beatsOf(num, den));
    const theirs = ({ num, den }: Beats): Fraction => new Fraction(num, den);
    const agrees = (ours: () => Beats, { s, n, d }: Fraction): void => {
      const [num, den] = [Number(s * n), Number(d)];
      if (Number.isSafeInteger(num) && Number.isSafeInteger(den)) expect(ours()).toEqual({ num, den });
      else expect(ours).toThrowError(expect.objectContaining({ code: "time/overflow" }));
    };
    const one = fc.oneof(rational, large);
    fc.assert(
      fc.property(one, one, (a, b) => {
        agrees(() => addBeats(a, b), theirs(a).add(theirs(b)));
        agrees(() => subtractBeats(a, b), theirs(a).sub(theirs(b)));
        agrees(() => multiplyBeats(a, b), theirs(a).mul(theirs(b)));
        if (b.num !== 0) agrees(() => divideBeats(a, b), theirs(a).div(theirs(b)));
        expect(Math.sign(compareBeats(a, b))).toBe(theirs(a).compare(theirs(b)));
      }),
      { numRuns: 500 },
    );
    fc.assert(
      fc.property(fc.stringMatching(/^-?\d{1,15}(\/0{0,2}[1-9]\d{0,12}|\.\d{1,12})?$/), (text) =>
        agrees(() => beats(text), new Fraction(text)),
      ),
      { numRuns: 500 },
    );
  });

  it("law: reading the text gives the beats back", () => {
    fc.assert(
      fc.property(rational, (a) => {
        expect(beats(formatBeats(a))).toEqual(a);
        expect(beats(a)).toEqual(a);
      }),
    );
  });

  it("adds a thousand triplets to exactly a third of a thousand", () => {
    let sum = beats(0);
    for (let i = 0; i < 1000; i++) sum = addBeats(sum, beats("1/3"));
    expect(formatBeats(sum)).toBe("1000/3");
    expect(beatsToNumber(beats("1/4"))).toBe(0.25);
  });

  it.each([
    0.1,
    NaN,
    Infinity,
    2 ** 53,
    "",
    "1/0",
    "0/000",
    "1/-3",
    "a",
    "1/3 ",
    "1e3",
    "+1",
    "1/",
    "x1",
    "1x",
    "1.",
    "1/2.5",
    "1".repeat(16),
    `1/${"1".repeat(16)}`,
    `0.${"1".repeat(13)}`,
    null,
    undefined,
    true,
  ])("refuses %j", (input) => {
    expect(() => beats(input as never)).toThrowError(
      expect.objectContaining({
        name: "MusicError",
        code: "time/beats",
        reason: "bad-input",
        input,
        expected: expect.stringContaining("7/3") as string,
      }),
    );
  });

  it("says of a decimal number that a fraction would be exact, and only of that", () => {
    expect(() => beats(0.1)).toThrowError(
      expect.objectContaining({ hint: expect.stringContaining("fraction") as string }),
    );
    expect(() => beats("one")).toThrowError(expect.not.objectContaining({ hint: expect.anything() as unknown }));
  });

  it("reads fifteen digits on each side of the stroke and twelve decimals", () => {
    expect(beats(`-${"9".repeat(15)}/${"1".repeat(15)}`)).toEqual({ num: -9, den: 1 });
    expect(beats(`1.${"0".repeat(11)}5`)).toEqual({ num: 200000000001, den: 200000000000 });
    expect(beats(-0)).toEqual({ num: 0, den: 1 });
    expect(beats("-0/5")).toEqual({ num: 0, den: 1 });
  });

  it("refuses a result that no longer fits whole numbers", () => {
    const tooLarge = (input: string): Error =>
      expect.objectContaining({
        code: "time/overflow",
        reason: "cannot-be-done",
        input,
        expected: expect.stringContaining("2^53") as string,
      }) as Error;
    expect(() => multiplyBeats(beatsOf(2 ** 52, 1), beatsOf(3, 1))).toThrowError(tooLarge(String(3n * 2n ** 52n)));
    expect(() => multiplyBeats(beatsOf(1, 2 ** 52), beatsOf(-1, 4))).toThrowError(tooLarge(`-1/${2n ** 54n}`));
    expect(() => multiplyBeats(beatsOf(2 ** 52, 5), beatsOf(9, 2))).toThrowError(tooLarge(`${9n * 2n ** 51n}/5`));
    expect(() => multiplyBeats(beatsOf(5, 2 ** 52), beatsOf(2, 9))).toThrowError(tooLarge(`5/${9n * 2n ** 51n}`));
  });

  it("refuses to divide by nothing, and parts that are no whole numbers", () => {
    expect(() => divideBeats(beats(1), beats(0))).toThrowError(
      expect.objectContaining({
        code: "time/beats",
        input: { num: 0, den: 1 },
        expected: expect.stringContaining("zero") as string,
      }),
    );
    for (const [num, den] of [
      [1, 0],
      [1, -1],
      [0.5, 1],
      [1, 1.5],
      [NaN, 1],
      [1, Infinity],
      [2 ** 53, 1],
      [1, 2 ** 53],
    ] as const) {
      const refused = expect.objectContaining({
        code: "time/beats",
        input: { num, den },
        expected: expect.stringContaining("denominator") as string,
      }) as Error;
      expect(() => beatsOf(num, den)).toThrowError(refused);
      expect(() => beats({ num, den })).toThrowError(refused);
    }
    for (const input of [{}, ["1"], { num: "1", den: 2 }])
      expect(() => beats(input as never)).toThrowError(expect.objectContaining({ code: "time/beats", input }));
  });
});
