import { nameOf } from "./names.ts";
import type { CountingRule } from "./rare.ts";

export const repeats: CountingRule = {
  id: "repeats",
  title: "A note is rarely struck many times in a row.",
  count: ({ notes, first }) => {
    let times = 0;
    let most = 0;
    let found = first;
    for (const note of notes) {
      times = note.previous?.pitch.semitones === note.pitch.semitones ? times + 1 : 1;
      if (times > most) [most, found] = [times, note];
    }
    return { value: most, note: found };
  },
  say: ({ value, note }) => ({
    message: `${nameOf(note.pitch)} is struck ${value} times in a row`,
    suggestion: "move to a neighbour, or make a rhythm of it",
  }),
};
