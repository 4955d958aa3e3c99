import * as fc from "fast-check";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { describe, expect, it } from "vitest";
import { measureSwing } from "../../src/assess/index.ts";
import { soundingTime, swungFeel } from "../../src/swing/index.ts";
import { beats, beatsOf, beatsToNumber } from "../../src/time/index.ts";

const eighths = (feel: ReturnType<typeof swungFeel>, count: number): number[] =>
  Array.from({ length: count }, (_, i) =>
    beatsToNumber(soundingTime(feel, beatsOf(i, feel.unit === "eighth" ? 2 : 4))),
  );

const feels = fc
  .record({
    first: fc.integer({ min: 10, max: 80 }),
    delay: fc.integer({ min: 0, max: 60 }),
    unit: fc.constantFrom("eighth" as const, "16th" as const),
  })
  .map(({ first, delay, unit }) => swungFeel({ first, second: 10 }, { unit, downbeatDelay: beatsOf(delay, 960) }));

describe("measuring swing", () => {
  it("law: measuring what was applied gives it back", () => {
    fc.assert(
      fc.property(feels, fc.integer({ min: 8, max: 64 }), (feel, count) => {
        const measured = measureSwing(eighths(feel, count), { unit: feel.unit });
        const delay = beatsToNumber(feel.downbeatDelay ?? beats(0));
        const pair = feel.unit === "eighth" ? 1 : 0.5;
        expect(measured.ratio.value).toBeCloseTo(feel.ratio.first / feel.ratio.second, 9);
        expect(measured.downbeatDelay.value).toBeCloseTo(delay, 9);
        const gap = feel.ratio.first / (feel.ratio.first + feel.ratio.second) - delay / pair;
        expect(measured.beatUpbeatRatio.value).toBeCloseTo(gap / (1 - gap), 9);
        expect(measured.ratio.high - measured.ratio.low).toBeCloseTo(0, 6);
      }),
    );
  });

  it("triplets, sixteenths, held notes and doubled onsets do not disturb it", () => {
    const feel = swungFeel("2:1");
    const bars = eighths(feel, 8);
    const extra = [4, 4 + 1 / 3, 4 + 2 / 3, 5, 5.25, 5.6, 5.8, 6, 7, 0, 8, 8.5, 8.75];
    expect(measureSwing([...extra, ...bars])).toEqual(measureSwing(bars));
  });

  it("law: the order of the onsets does not matter", () => {
    const onsets = eighths(swungFeel("2:1"), 16).map((onset, i) => onset + 0.002 * (i % 5));
    fc.assert(
      fc.property(fc.shuffledSubarray(onsets, { minLength: onsets.length }), (shuffled) => {
        const { ratio, pairs } = measureSwing(shuffled);
        expect(pairs).toBe(8);
        expect(ratio.value).toBeCloseTo(measureSwing(onsets).ratio.value, 12);
      }),
      { numRuns: 20 },
    );
  });

  // The mean and its standard error, by the textbook formula (divisor n - 1), written out for four pairs.
  it("gives means with two standard errors on each side", () => {
    const [late, offbeats] = [
      [0.02, 0.04, 0.02, 0.04],
      [0.66, 0.68, 0.7, 0.64],
    ];
    const measured = measureSwing(late.flatMap((first, beat) => [beat + first, beat + (offbeats[beat] as number)]));
    expect(measured).toMatchObject({ kind: "swing-measurement", unit: "eighth", pairs: 4 });
    const errorOf = (deviations: readonly number[]): number =>
      Math.sqrt(deviations.reduce((sum, d) => sum + d * d, 0) / 3 / 4);
    const reaches: readonly (readonly [keyof typeof measured, number, number, (share: number) => number])[] = [
      ["downbeatDelay", 0.03, 2 * errorOf([0.01, 0.01, 0.01, 0.01]), (share) => share],
      ["ratio", 0.67, 2 * errorOf([0.01, 0.01, 0.03, 0.03]), (share) => share / (1 - share)],
      ["beatUpbeatRatio", 0.64, 2 * errorOf([0, 0, 0.04, 0.04]), (share) => share / (1 - share)],
    ];
    for (const [name, mean, reach, unit] of reaches) {
      const { value, low, high } = measured[name] as { value: number; low: number; high: number };
      expect([value, low, high].map((n) => n.toFixed(9))).toEqual(
        [mean, mean - reach, mean + reach].map((share) => unit(share).toFixed(9)),
      );
    }
  });

  it("counts a pair only where its notes lie near the beat and the offbeat, a little early at most", () => {
    const pairs = eighths(swungFeel("2:1"), 8);
    const withBeat = (...shares: readonly number[]): number =>
      measureSwing([...pairs, ...shares.map((share) => 10 + share)]).pairs;
    expect([withBeat(-0.09, 0.6), withBeat(0, 0.41), withBeat(0.24, 0.6), withBeat(0, 0.89)]).toEqual([5, 5, 5, 5]);
    expect([
      withBeat(-0.11, 0.6),
      withBeat(0, 0.39),
      withBeat(0.26, 0.6),
      withBeat(0, 0.91),
      withBeat(0),
      withBeat(0.6),
      withBeat(0, 0.3, 0.6),
    ]).toEqual([4, 4, 4, 4, 4, 4, 4]);
  });

  it("the range holds the true ratio about 19 times of 20", () => {
    const feel = swungFeel("2:1", { downbeatDelay: "1/12" });
    let held = 0;
    const trials = 400;
    for (let seed = 0; seed < trials; seed++) {
      const random = xoroshiro128plus(seed);
      const uniform = (): number => ((random.next() >>> 0) + 0.5) / 2 ** 32;
      const noise = (): number => 0.02 * Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
      const { ratio } = measureSwing(eighths(feel, 64).map((onset) => onset + noise()));
      if (ratio.low <= 2 && 2 <= ratio.high) held += 1;
    }
    expect(held / trials).toBeGreaterThan(0.9);
    expect(held / trials).toBeLessThan(0.99);
  });

  it("a few beats are too few to say", () => {
    expect(measureSwing(eighths(swungFeel("2:1"), 8)).pairs).toBe(4);
    expect(() => measureSwing(eighths(swungFeel("2:1"), 6))).toThrow(
      expect.objectContaining({
        code: "assess/pairs",
        reason: "cannot-be-done",
        input: 3,
        expected: expect.stringContaining("at least 4") as string,
      }),
    );
    for (const input of [Number.NaN, Infinity, "1", undefined]) {
      expect(() => measureSwing([0, input as number])).toThrow(
        expect.objectContaining({ code: "assess/onsets", reason: "bad-input", input }),
      );
    }
  });
});
