import { naturalSpan } from "../spans.ts";
import type { TripleRule } from "./rule.ts";

export const positionChangeSize: TripleRule = {
  id: "position-change-size",
  title:
    "One point for every semitone that the first and third of three notes lie beyond the comfortable span of their fingers.",
  source: "Parncutt et al. (1997), rule 5",
  reads: "triple",
  points: ({ first, last, before, after }, spans) => {
    const reach = spans.between(first.finger, last.finger);
    const span = naturalSpan(first.finger, last.finger, before + after);
    return Math.max(0, span - reach.maxComfortable, reach.minComfortable - span);
  },
};
