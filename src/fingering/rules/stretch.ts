import { naturalSpan } from "../spans.ts";
import type { PairRule } from "./rule.ts";

export const stretch: PairRule = {
  id: "stretch",
  title: "Two points for every semitone that two neighbouring notes lie beyond the comfortable span of their fingers.",
  source: "Parncutt et al. (1997), rule 1",
  weight: 1,
  reads: "pair",
  points: ({ from, to, interval }, spans) => {
    const { minComfortable, maxComfortable } = spans.between(from.finger, to.finger);
    const span = naturalSpan(from.finger, to.finger, interval);
    return 2 * Math.max(0, span - maxComfortable, minComfortable - span);
  },
};
