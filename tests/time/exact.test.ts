import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import type { Beats } from "../../src/time/index.ts";
import { addBeats, beatsOf, compareBeats, divideBeats, multiplyBeats, subtractBeats } from "../../src/time/index.ts";

/** Lowest terms of big integers, the denominator positive. */
const lowest = (num: bigint, den: bigint): readonly [bigint, bigint] => {
  let [a, b] = [num < 0n ? -num : num, den < 0n ? -den : den];
  while (b !== 0n) [a, b] = [b, a % b];
  const sign = den < 0n ? -1n : 1n;
  return [(sign * num) / a, (sign * den) / a];
};

const fits = (n: bigint): boolean => BigInt(Number.MIN_SAFE_INTEGER) <= n && n <= BigInt(Number.MAX_SAFE_INTEGER);

/** Small figures for the quick way, large ones for the way past whole numbers of a double. */
const any = fc
  .oneof(
    fc.tuple(fc.integer({ min: -1000, max: 1000 }), fc.integer({ min: 1, max: 1000 })),
    fc.tuple(fc.maxSafeInteger(), fc.integer({ min: 1, max: 2 ** 30 })),
  )
  .map(([num, den]) => beatsOf(num, den));

const agrees = (run: () => Beats, [num, den]: readonly [bigint, bigint]): void => {
  if (!fits(num) || !fits(den)) {
    expect(run).toThrowError(MusicError);
    return;
  }
  expect(run()).toEqual({ num: Number(num), den: Number(den) });
};

describe("exact arithmetic", () => {
  it("law: sums, differences, products, quotients and order are those of big integers, or refused as too large", () => {
    fc.assert(
      fc.property(any, any, (a, b) => {
        const [an, ad, bn, bd] = [BigInt(a.num), BigInt(a.den), BigInt(b.num), BigInt(b.den)];
        agrees(() => addBeats(a, b), lowest(an * bd + bn * ad, ad * bd));
        agrees(() => subtractBeats(a, b), lowest(an * bd - bn * ad, ad * bd));
        agrees(() => multiplyBeats(a, b), lowest(an * bn, ad * bd));
        if (b.num !== 0) agrees(() => divideBeats(a, b), lowest(an * bd, ad * bn));
        const difference = an * bd - bn * ad;
        expect(Math.sign(compareBeats(a, b))).toBe(difference > 0n ? 1 : difference < 0n ? -1 : 0);
      }),
      { numRuns: 2000 },
    );
  });

  it("a sum is exact where a double would round one of its products, or both", () => {
    for (const n of [2 ** 51 + 3, 2 ** 52 + 1]) {
      const [a, b] = [BigInt(n) * 5n, BigInt(n) * 3n];
      agrees(() => addBeats(beatsOf(n, 3), beatsOf(-n, 5)), lowest(a - b, 15n));
      agrees(() => subtractBeats(beatsOf(n, 5), beatsOf(n, 3)), lowest(b - a, 15n));
    }
  });
});
