import type { PairRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const fewTurns: PairRule = {
  id: "few-turns",
  title: "One point for every turn of the hand: long groups, one turn a position.",
  source: "common practice, no source",
  reads: "pair",
  points: (window) => (isTurn(window) ? 1 : 0),
};
