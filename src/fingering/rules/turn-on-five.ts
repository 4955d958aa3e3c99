import type { PairRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const turnOnFive: PairRule = {
  id: "turn-on-five",
  title: "One point where the thumb passes under the 5th finger or the 5th crosses over the thumb.",
  source:
    "C. P. E. Bach, Versuch über die wahre Art das Clavier zu spielen I (1753), ch. 1 § 61: the thumb passes after 2, 3 or 4, never after 5",
  reads: "pair",
  points: (window) => (isTurn(window) && Math.max(window.from.finger, window.to.finger) === 5 ? 1 : 0),
};
