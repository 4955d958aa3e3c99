import { naturalSpan } from "../spans.ts";
import type { PairRule } from "./rule.ts";

// The paper only ranks fingerings whose every interval is practicable; as a charge it also ranks those of a passage
// that has none, and is zero for all others.
export const practicalSpan: PairRule = {
  id: "practical-span",
  title:
    "A charge where two neighbouring notes lie beyond the practicable span of their fingers, or one finger moves to another key.",
  source: "Parncutt et al. (1997), the choice of candidate fingerings by Table 1",
  reads: "pair",
  points: ({ from, to, interval }, spans) => {
    const { minPractical, maxPractical } = spans.between(from.finger, to.finger);
    const span = naturalSpan(from.finger, to.finger, interval);
    return span > maxPractical || span < minPractical ? 1 : 0;
  },
};
