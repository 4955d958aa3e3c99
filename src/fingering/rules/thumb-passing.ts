import type { PairRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const thumbPassing: PairRule = {
  id: "thumb-passing",
  title:
    "One point for a pass of thumb or finger between keys of one colour, three where the thumb passes to or from a black key and the finger plays a white one.",
  source: "Parncutt et al. (1997), rule 12",
  reads: "pair",
  points: (window) => {
    if (!isTurn(window)) return 0;
    const { from, to } = window;
    if (from.black === to.black) return 1;
    const thumb = from.finger === 1 ? from : to;
    return thumb.black ? 3 : 0;
  },
};
