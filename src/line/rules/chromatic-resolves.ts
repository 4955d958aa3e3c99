import type { HeardLine, HeardNote } from "../heard.ts";
import { belongs, rise } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { CountingRule } from "./rare.ts";

/** Whether a note is resolved by one of the next three, all of those between lying within a whole tone of it too. */
const resolves = (note: HeardNote, line: HeardLine): boolean => {
  let goal = note.next;
  const between = [note];
  for (let ahead = 0; ahead < 3 && goal !== undefined; ahead++) {
    const target = goal;
    if (belongs(target, line) && between.every((n) => Math.abs(rise(n, target)) <= 2)) return true;
    between.push(target);
    goal = target.next;
  }
  return false;
};

const EASY = 3;

export const chromaticResolves: CountingRule = {
  id: "chromatic-resolves",
  title:
    "Notes outside chord and scale mostly lead into one that belongs: by step, along a chromatic way, or as part of an enclosure.",
  count: ({ notes }, line) => {
    const open = notes.filter((note) => !belongs(note, line) && !resolves(note, line));
    const [first] = open;
    return first && { value: open.length, note: first };
  },
  say: ({ value, note }) => ({
    message:
      value === 1
        ? `${nameOf(note.pitch)} is outside chord and scale, and leads nowhere`
        : `${value} notes outside chord and scale lead nowhere, the first ${nameOf(note.pitch)}`,
    suggestion: "step from them into a note of the chord",
  }),
  // Up to the third level a foreign note goes on by step at once.
  lead: ({ level, belongs: own }, { belongs: other }) =>
    level > EASY
      ? undefined
      : (pitch, next) =>
          (own[pitch % 12] ?? 0) > 0 || ((other[next % 12] ?? 0) > 0 && [1, 2].includes(Math.abs(next - pitch))),
};
