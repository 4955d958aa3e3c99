import type { PairRule } from "./rule.ts";

export const blackGroup: PairRule = {
  id: "black-group",
  title: "One point where two black keys a tone apart are not played by 2 and 3.",
  source: "University of Evansville, Scale and Arpeggio Fingerings: 2 and 3 on C♯ D♯, 2 3 4 on F♯ G♯ A♯",
  reads: "pair",
  points: ({ from, to, interval }) =>
    from.black &&
    to.black &&
    Math.abs(interval) === 2 &&
    Math.min(from.finger, to.finger) * 10 + Math.max(from.finger, to.finger) !== 23
      ? 1
      : 0,
};
