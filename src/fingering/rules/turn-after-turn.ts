import type { TripleRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const turnAfterTurn: TripleRule = {
  id: "turn-after-turn",
  title: "One point where the hand turns twice within three notes: one turn a position.",
  source: "ours: the smallest number of turns is common practice",
  reads: "triple",
  points: ({ first, middle, last, before, after }) =>
    isTurn({ from: first, to: middle, interval: before }) && isTurn({ from: middle, to: last, interval: after })
      ? 1
      : 0,
};
