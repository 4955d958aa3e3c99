import type { NoteRule } from "./rule.ts";

export const thumbOnBlack: NoteRule = {
  id: "thumb-on-black",
  title: "One point for the thumb on a black key, two more for each neighbouring note on a white key.",
  source: "Parncutt et al. (1997), rule 10",
  reads: "note",
  points: ({ finger, black, previousBlack, nextBlack }) =>
    finger === 1 && black ? 1 + (previousBlack === false ? 2 : 0) + (nextBlack === false ? 2 : 0) : 0,
};
