import type { NoteRule } from "./rule.ts";

export const fourOnWhite: NoteRule = {
  id: "four-on-white",
  title: "One point for the 4th finger on a white key: in a scale it takes a black one where it can.",
  source:
    "computed from 24 published rows (University of Evansville, Scale and Arpeggio Fingerings), wherever the thumb leaves a choice",
  reads: "note",
  points: ({ finger, black }) => (finger === 4 && !black ? 1 : 0),
};
