import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";

/** A seeded stream of choices. */
export interface Chance {
  /** A whole number from 0 to one below the bound. */
  readonly below: (bound: number) => number;
  /** One of the values, each as often as its weight says. */
  readonly pick: <T>(choices: readonly (readonly [value: T, weight: number])[]) => T;
  /** A Gumbel deviate in points, a thousand to one. */
  readonly gumbel: () => number;
}

// Quantiles of the standard Gumbel distribution, in thousandths: whole numbers, so that no sum depends on the machine.
const QUANTILES = Int32Array.from({ length: 1024 }, (_, i) => Math.round(-1000 * Math.log(-Math.log((i + 0.5) / 1024))));

// Neighbouring seeds are spread over all states first (the finalizer of MurmurHash3).
const spread = (seed: number): number => {
  let h = seed | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
};

/** The stream of a seed. */
export const chanceOf = (seed: number): Chance => {
  const generator = xoroshiro128plus(spread(seed));
  for (let i = 0; i < 8; i++) generator.next();
  const below = (bound: number): number => (generator.next() >>> 8) % bound;
  return {
    below,
    pick: (choices) => {
      let left = below(choices.reduce((sum, [, weight]) => sum + weight, 0));
      for (const [value, weight] of choices) {
        if (left < weight) return value;
        left -= weight;
      }
      return (choices[0] as (typeof choices)[number])[0];
    },
    gumbel: () => QUANTILES[generator.next() >>> 22] as number,
  };
};
