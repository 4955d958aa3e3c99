import { naturalSpan } from "../spans.ts";
import type { TripleRule } from "./rule.ts";

export const positionChangeCount: TripleRule = {
  id: "position-change-count",
  title:
    "One point where three notes do not fit under the hand, two where the thumb carries it to a place out of reach.",
  source: "Parncutt et al. (1997), rule 4",
  reads: "triple",
  points: ({ first, middle, last, before, after }, spans) => {
    const reach = spans.between(first.finger, last.finger);
    const span = naturalSpan(first.finger, last.finger, before + after);
    if (span <= reach.maxComfortable && span >= reach.minComfortable) return 0;
    const between = before * after > 0;
    const outOfReach = span > reach.maxPractical || span < reach.minPractical;
    return middle.finger === 1 && between && outOfReach ? 2 : 1;
  },
};
