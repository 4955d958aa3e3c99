import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { describe, expect, it } from "vitest";
import { chanceOf } from "../../src/ground/chance.ts";

const draws = 20000;

describe("a seeded stream of choices", () => {
  // MurmurHash3's published check values for the empty key, whose hash is its finalizer of the seed alone.
  it.each([
    [0, 0],
    [1, 0x514e28b7],
    [0xffffffff, 0x81f16f39],
  ])("seed %s starts from the state that MurmurHash3's finalizer makes of it, eight draws on", (seed, state) => {
    const generator = xoroshiro128plus(state | 0);
    for (let i = 0; i < 8; i++) generator.next();
    const chance = chanceOf(seed);
    for (let i = 0; i < 20; i++) expect(chance.below(1000)).toBe((generator.next() >>> 8) % 1000);
  });

  it("below: whole numbers from 0 up to the bound, all as often", () => {
    const chance = chanceOf(7);
    const counts = new Array<number>(10).fill(0);
    for (let i = 0; i < draws; i++) counts[chance.below(10)] = (counts[chance.below(10)] ?? 0) + 1;
    expect(counts).toHaveLength(10);
    for (const count of counts) expect(Math.abs(count / draws - 0.1)).toBeLessThan(0.03);
    expect(chance.below(1)).toBe(0);
  });

  it("pick: each value as often as its weight says", () => {
    const chance = chanceOf(8);
    const counts = new Map<string, number>();
    for (let i = 0; i < draws; i++) {
      const value = chance.pick([
        ["a", 1],
        ["b", 3],
        ["c", 6],
        ["d", 0],
      ]);
      counts.set(value, (counts.get(value) ?? 0) + 1);
    }
    expect([...counts.keys()].sort()).toEqual(["a", "b", "c"]);
    for (const [value, share] of [
      ["a", 0.1],
      ["b", 0.3],
      ["c", 0.6],
    ] as const)
      expect(Math.abs((counts.get(value) ?? 0) / draws - share)).toBeLessThan(0.02);
  });

  // Mean γ = 0.5772, standard deviation π/√6 = 1.2825, median -ln ln 2 = 0.3665: the standard Gumbel distribution.
  it("gumbel: whole thousandths of standard Gumbel deviates", () => {
    const chance = chanceOf(9);
    const values = Array.from({ length: draws }, () => chance.gumbel());
    const mean = values.reduce((sum, value) => sum + value, 0) / draws;
    const deviation = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / draws);
    expect(values.every(Number.isInteger)).toBe(true);
    // The middles of 1024 equal parts.
    const quantile = (share: number): number => Math.round(-1000 * Math.log(-Math.log(share)));
    expect([Math.min(...values), Math.max(...values)]).toEqual([quantile(1 / 2048), quantile(2047 / 2048)]);
    expect(Math.abs(mean - 577)).toBeLessThan(40);
    expect(Math.abs(deviation - 1282)).toBeLessThan(60);
    expect(Math.abs(values.filter((value) => value < 366).length / draws - 0.5)).toBeLessThan(0.02);
  });
});
