import { uniformInt } from "pure-rand/distribution/uniformInt";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { skipN } from "pure-rand/utils/skipN";
import { MusicError } from "../errors.ts";

// The first numbers of neighbouring seeds are neighbours too.
const WARM_UP = 64;

/** A stream of seeded whole numbers, both ends included. */
export type Chance = (from: number, to: number) => number;

/** The stream of one player: another player's draws do not change it. */
export const chanceOf = (seed: number, player: "bass" | "drums"): Chance => {
  if (!Number.isInteger(seed) || seed < 0 || seed > 0x7fff_ffff) {
    throw new MusicError({ code: "backing/seed", input: seed, expected: "a whole number from 0 to 2147483647" });
  }
  const generator = xoroshiro128plus(seed);
  skipN(generator, WARM_UP);
  if (player === "drums") generator.jump();
  return (from, to) => uniformInt(generator, from, to);
};
