import type { PairRule } from "./rule.ts";

export const threeToFour: PairRule = {
  id: "three-to-four",
  title: "One point where the 4th finger follows the 3rd.",
  source: "Parncutt et al. (1997), rule 8",
  reads: "pair",
  points: ({ from, to }) => (from.finger === 3 && to.finger === 4 ? 1 : 0),
};
