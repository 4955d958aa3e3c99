import type { PairRule } from "./rule.ts";

export const fourOnBlack: PairRule = {
  id: "four-on-black",
  title: "One point where 3 and 4 follow each other, in either order, with 3 on a white key and 4 on a black one.",
  source: "Parncutt et al. (1997), rule 9",
  reads: "pair",
  points: ({ from, to }) => {
    const three = from.finger === 3 ? from : to;
    const four = from.finger === 3 ? to : from;
    return three.finger === 3 && four.finger === 4 && !three.black && four.black ? 1 : 0;
  },
};
