import { naturalSpan } from "../spans.ts";
import type { PairRule } from "./rule.ts";
import { isSlide } from "./rule.ts";

export const reach: PairRule = {
  id: "reach",
  title:
    "A charge where the hand must leap: two neighbouring notes beyond the practicable span of their fingers; a slide is no leap.",
  source: "ours, after Parncutt et al. (1997), Table 1",
  reads: "pair",
  points: ({ from, to, interval }, spans) => {
    if (from.finger === to.finger && isSlide(from.black, to.black, interval)) return 0;
    const { minPractical, maxPractical } = spans.between(from.finger, to.finger);
    const span = naturalSpan(from.finger, to.finger, interval);
    return span > maxPractical || span < minPractical ? 1 : 0;
  },
};
