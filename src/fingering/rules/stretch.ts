import { naturalSpan } from "../spans.ts";
import type { PairRule } from "./rule.ts";

// The paper knows no written slides; what one costs is up to the rule for slides.
export const stretch: PairRule = {
  id: "stretch",
  title: "Two points for every semitone that two neighbouring notes lie beyond the comfortable span of their fingers.",
  source: "Parncutt et al. (1997), rule 1",
  reads: "pair",
  points: ({ from, to, interval, move }, spans) => {
    if (move === "slide") return 0;
    const { minComfortable, maxComfortable } = spans.between(from.finger, to.finger);
    const span = naturalSpan(from.finger, to.finger, interval);
    return 2 * Math.max(0, span - maxComfortable, minComfortable - span);
  },
};
