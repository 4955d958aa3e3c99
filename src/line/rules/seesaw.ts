import { nameOf } from "./names.ts";
import type { CountingRule } from "./rare.ts";

export const seesaw: CountingRule = {
  id: "seesaw",
  title: "A line rarely goes to and fro between two notes for long.",
  count: ({ notes, first }) => {
    let run = 2;
    let most = 2;
    let found = first;
    for (const [i, note] of notes.entries()) {
      const back = notes[i - 2];
      const same =
        back?.pitch.semitones === note.pitch.semitones && note.previous?.pitch.semitones !== note.pitch.semitones;
      run = same ? run + 1 : 2;
      if (run > most) [most, found] = [run, note];
    }
    return { value: most, note: found };
  },
  say: ({ value, note }) => ({
    message: `${value} notes to and fro, up to ${nameOf(note.pitch)}`,
    suggestion: "go on in one direction, or leap away",
  }),
};
