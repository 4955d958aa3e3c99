import type { PairRule } from "./rule.ts";
import { isSlide } from "./rule.ts";

const REFUSED = 50;
const UNWRITTEN = 16;
// The thumb and the little finger don't slip off a black key with any ease.
const SLIPPING = [0, 15, 0, 0, 2, 15] as const;

export const slides: PairRule = {
  id: "slides",
  title:
    "A written slide keeps one finger, the 2nd or 3rd at best; a crushed note has its own; elsewhere one finger slips from a black key at sixteen points.",
  source: "common practice, no source",
  reads: "pair",
  points: ({ from, to, interval, move }) => {
    const same = from.finger === to.finger;
    if (move === "slide") return same ? SLIPPING[from.finger] : REFUSED;
    if (move === "crushed") return same ? REFUSED : 0;
    return same && isSlide(from.black, to.black, interval) ? UNWRITTEN + SLIPPING[from.finger] : 0;
  },
};
