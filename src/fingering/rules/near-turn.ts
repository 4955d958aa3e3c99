import type { PairRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const nearTurn: PairRule = {
  id: "near-turn",
  title: "One point where the hand turns across more than a half step.",
  source: "ours: the thumb passes most easily to the next key",
  reads: "pair",
  points: (window) => (isTurn(window) && Math.abs(window.interval) > 1 ? 1 : 0),
};
