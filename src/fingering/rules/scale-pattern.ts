import type { NoteRule } from "./rule.ts";

export const scalePattern: NoteRule = {
  id: "scale-pattern",
  title: "One point where a note of a named scale has another finger than when the scale is played by itself.",
  source: "ours: a scale keeps its fingers in every octave, and lines on it borrow them",
  reads: "note",
  points: ({ finger, pattern }) => (pattern !== undefined && pattern !== finger ? 1 : 0),
};
