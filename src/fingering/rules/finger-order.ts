import type { PairRule } from "./rule.ts";
import { isTurn } from "./rule.ts";

export const fingerOrder: PairRule = {
  id: "finger-order",
  title: "One point where fingers other than the thumb cross, or one finger moves to another key.",
  source: "common practice, no source",
  reads: "pair",
  points: (window) => {
    const { from, to, interval, move } = window;
    return move === "slide" ||
      interval === 0 ||
      isTurn(window) ||
      Math.sign(to.finger - from.finger) === Math.sign(interval)
      ? 0
      : 1;
  },
};
