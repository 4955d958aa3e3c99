import { rise } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { CountingRule } from "./rare.ts";

export const leapSize: CountingRule = {
  id: "leap-size",
  title: "Leaps inside a phrase are rarely wider than an octave.",
  count: ({ notes }) => {
    let widest = 0;
    let found = notes[0];
    for (const note of notes) {
      const size = note.previous === undefined ? 0 : Math.abs(rise(note.previous, note));
      if (size > widest) [widest, found] = [size, note];
    }
    return found && { value: widest, note: found };
  },
  say: ({ value, note }) => ({
    message: `a leap of ${value} semitones to ${nameOf(note.pitch)}`,
    suggestion: "take the nearer octave, or rest before it",
  }),
};
