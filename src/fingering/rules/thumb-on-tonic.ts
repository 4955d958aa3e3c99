import type { NoteRule } from "./rule.ts";

export const thumbOnTonic: NoteRule = {
  id: "thumb-on-tonic",
  title: "One point where another finger than the thumb plays the tonic.",
  source:
    "computed from 24 published rows (University of Evansville, Scale and Arpeggio Fingerings): every white tonic has the thumb, or the 5th finger at the outer end",
  reads: "note",
  points: ({ finger, tonic }) => (tonic && finger !== 1 ? 1 : 0),
};
