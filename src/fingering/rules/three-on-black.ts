import type { TripleRule } from "./rule.ts";

export const threeOnBlack: TripleRule = {
  id: "three-on-black",
  title:
    "One point where another finger than the 3rd plays a black key between two white ones that it touches, in half steps.",
  source: "University of Evansville, Scale and Arpeggio Fingerings, chromatic scale: the 3rd finger on every black key",
  reads: "triple",
  points: ({ first, middle, last, before, after }) =>
    before === after && Math.abs(before) === 1 && middle.black && !first.black && !last.black && middle.finger !== 3
      ? 1
      : 0,
};
