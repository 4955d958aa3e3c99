import type { NoteRule } from "./rule.ts";

export const weakFinger: NoteRule = {
  id: "weak-finger",
  title: "One point for every use of the 4th or 5th finger.",
  source: "Parncutt et al. (1997), rule 6",
  reads: "note",
  points: ({ finger }) => (finger >= 4 ? 1 : 0),
};
