import type { TripleRule } from "./rule.ts";

export const betweenBlacks: TripleRule = {
  id: "between-blacks",
  title:
    "One point where another finger than the thumb squeezes onto a white key between the two black keys beside it.",
  source: "University of Evansville, Scale and Arpeggio Fingerings, chromatic scale",
  reads: "triple",
  points: ({ first, middle, last, before, after }) =>
    before === after && Math.abs(before) === 1 && first.black && last.black && middle.finger !== 1 ? 1 : 0,
};
