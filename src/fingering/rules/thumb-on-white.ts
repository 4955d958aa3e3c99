import type { NoteRule } from "./rule.ts";

export const thumbOnWhite: NoteRule = {
  id: "thumb-on-white",
  title: "One point for the thumb on a black key, whatever its neighbours.",
  source: "C. P. E. Bach, Versuch über die wahre Art das Clavier zu spielen I (1753), ch. 1 § 61; the charge is ours",
  reads: "note",
  points: ({ finger, black }) => (finger === 1 && black ? 1 : 0),
};
