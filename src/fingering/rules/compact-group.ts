import type { PairRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const compactGroup: PairRule = {
  id: "compact-group",
  title: "One point for a third or more inside a position: the hand turns at the wide steps.",
  source: "ours: it decides pentatonic scales as they are commonly played",
  reads: "pair",
  points: (window) => (!isTurn(window) && Math.abs(window.interval) >= 3 ? 1 : 0),
};
