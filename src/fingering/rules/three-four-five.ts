import type { TripleRule } from "./rule.ts";

const bit = (finger: number): number => 1 << finger;
const THREE_FOUR_FIVE = bit(3) | bit(4) | bit(5);

export const threeFourFive: TripleRule = {
  id: "three-four-five",
  title: "One point for three consecutive notes on fingers 3, 4 and 5 in any order.",
  source: "Parncutt et al. (1997), rule 7",
  reads: "triple",
  points: ({ first, middle, last }) =>
    (bit(first.finger) | bit(middle.finger) | bit(last.finger)) === THREE_FOUR_FIVE ? 1 : 0,
};
