import { naturalSpan } from "../spans.ts";
import type { PairRule } from "./rule.ts";

// The published totals only come out when the span is read in the fingers' natural order.
export const smallSpan: PairRule = {
  id: "small-span",
  title: "One point (thumb) or two (other fingers) for every semitone below the relaxed span of the two fingers.",
  source: "Parncutt et al. (1997), rule 2",
  reads: "pair",
  points: ({ from, to, interval, move }, spans) => {
    if (move === "slide") return 0;
    const short = spans.between(from.finger, to.finger).minRelaxed - naturalSpan(from.finger, to.finger, interval);
    return Math.max(0, short) * (from.finger === 1 || to.finger === 1 ? 1 : 2);
  },
};
