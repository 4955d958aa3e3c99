import type { NoteRule } from "./rule.ts";

export const fiveOnBlack: NoteRule = {
  id: "five-on-black",
  title: "Two points for each neighbouring note on a white key when the 5th finger plays a black one.",
  source: "Parncutt et al. (1997), rule 11",
  reads: "note",
  points: ({ finger, black, previousBlack, nextBlack }) =>
    finger === 5 && black ? (previousBlack === false ? 2 : 0) + (nextBlack === false ? 2 : 0) : 0,
};
