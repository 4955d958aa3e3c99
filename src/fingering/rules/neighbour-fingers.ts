import type { PairRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const neighbourFingers: PairRule = {
  id: "neighbour-fingers",
  title: "One point for every finger that is passed over between two notes of one position less than a third apart.",
  source: "common practice, no source",
  reads: "pair",
  points: (window) =>
    isTurn(window) || Math.abs(window.interval) >= 3
      ? 0
      : Math.max(0, Math.abs(window.from.finger - window.to.finger) - 1),
};
