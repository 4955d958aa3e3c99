import type { PairRule } from "./rule.ts";

export const repeatedKey: PairRule = {
  id: "repeated-key",
  title: "A key struck again keeps its finger; in fast repetition it changes finger.",
  source: "common practice, no source",
  reads: "pair",
  points: ({ from, to, interval, move }) =>
    interval === 0 && (from.finger === to.finger) === (move === "fast") ? 1 : 0,
};
