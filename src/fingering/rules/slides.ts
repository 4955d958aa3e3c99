import { isSlide } from "./rule.ts";
import type { PairRule } from "./rule.ts";

const REFUSED = 50;

export const slides: PairRule = {
  id: "slides",
  title: "A written slide keeps one finger, the 2nd or 3rd at best; a crushed note has its own; elsewhere one finger slips from a black key only when it saves more than three points.",
  source: "common practice, no source",
  weight: 1,
  reads: "pair",
  points: ({ from, to, interval, move }) => {
    const same = from.finger === to.finger;
    if (move === "slide") return same ? (from.finger === 2 || from.finger === 3 ? 0 : from.finger === 4 ? 1 : 3) : REFUSED;
    if (move === "crushed") return same ? REFUSED : 0;
    return same && isSlide(from.black, to.black, interval) ? 3 : 0;
  },
};
