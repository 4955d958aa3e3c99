import type { PairRule } from "./rule.ts";

export const fastWeakPair: PairRule = {
  id: "fast-weak-pair",
  title: "One point where 3 and 4, or 4 and 5, follow each other in a fast passage.",
  source: "ours: the weak fingers are the least independent, and speed shows it",
  reads: "pair",
  points: ({ from, to, move }) =>
    move === "fast" && Math.min(from.finger, to.finger) >= 3 && Math.abs(from.finger - to.finger) === 1 ? 1 : 0,
};
