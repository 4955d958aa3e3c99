import { naturalSpan } from "../spans.ts";
import type { PairRule } from "./rule.ts";

export const largeSpan: PairRule = {
  id: "large-span",
  title: "One point (thumb) or two (other fingers) for every semitone above the relaxed span of the two fingers.",
  source: "Parncutt et al. (1997), rule 3",
  reads: "pair",
  points: ({ from, to, interval, move }, spans) => {
    if (move === "slide") return 0;
    const over = naturalSpan(from.finger, to.finger, interval) - spans.between(from.finger, to.finger).maxRelaxed;
    return Math.max(0, over) * (from.finger === 1 || to.finger === 1 ? 1 : 2);
  },
};
