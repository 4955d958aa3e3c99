import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import * as v from "valibot";

/** The greatest seed; the least is 0. */
export const MOST_SEED = 0xffff_ffff;

/** The seed of whoever names none. */
export const DEFAULT_SEED = 1;

/** A seed: one range for everything that is left to chance. */
export const seedSchema = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(MOST_SEED));

/** A seeded stream of choices. */
export interface Chance {
  /** A whole number from 0 to one below the bound. */
  readonly below: (bound: number) => number;
  /** A whole number, both ends included. */
  readonly between: (from: number, to: number) => number;
  /** One of the values, each as often as its weight says. */
  readonly pick: <T>(choices: readonly (readonly [value: T, weight: number])[]) => T;
  /** From 0 to just below 1. */
  readonly share: () => number;
  /** Of mean 0 and standard deviation 1. Source: Box & Muller (1958). */
  readonly normal: () => number;
  /** A Gumbel deviate in points, a thousand to one. */
  readonly gumbel: () => number;
}

// Quantiles of the standard Gumbel distribution, in thousandths: whole numbers, so that no sum depends on the machine.
const QUANTILES = /* @__PURE__ */ Int32Array.from({ length: 1024 }, (_, i) =>
  Math.round(-1000 * Math.log(-Math.log((i + 0.5) / 1024))),
);

// Neighbouring seeds are spread over all states first (the finalizer of MurmurHash3).
const spread = (seed: number): number => {
  let h = seed | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
};

/**
 * The stream of a seed.
 *
 * @param stream - a whole number from 0: another stream of the same seed, 2^64 draws away, so that one player's draws leave another's alone
 */
export const chanceOf = (seed: number, stream = 0): Chance => {
  const generator = xoroshiro128plus(spread(seed));
  for (let i = 0; i < 8; i++) generator.next();
  for (let i = 0; i < stream; i++) generator.jump();
  const below = (bound: number): number => (generator.next() >>> 8) % bound;
  const share = (): number => ((generator.next() >>> 0) * 2 ** 21 + (generator.next() >>> 11)) / 2 ** 53;
  return {
    below,
    between: (from, to) => from + below(to - from + 1),
    pick: (choices) => {
      let left = below(choices.reduce((sum, [, weight]) => sum + weight, 0));
      for (const [value, weight] of choices) {
        if (left < weight) return value;
        left -= weight;
      }
      return (choices[0] as (typeof choices)[number])[0];
    },
    share,
    normal: () => Math.sqrt(-2 * Math.log(1 - share())) * Math.cos(2 * Math.PI * share()),
    gumbel: () => QUANTILES[generator.next() >>> 22] as number,
  };
};
