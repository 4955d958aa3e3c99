import { rise } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { CountingRule } from "./rare.ts";

const LEAP = 8;
const BACK = 4;

export const leapRecovery: CountingRule = {
  id: "leap-recovery",
  title: "After a leap of a sixth or more the line mostly turns back by a step or a third.",
  count: ({ notes }) => {
    const open = notes.filter((note) => {
      if (note.previous === undefined || note.next === undefined) return false;
      const leap = rise(note.previous, note);
      const after = rise(note, note.next);
      return (
        Math.abs(leap) >= LEAP && !(after !== 0 && Math.sign(after) !== Math.sign(leap) && Math.abs(after) <= BACK)
      );
    });
    const [first] = open;
    return first && { value: open.length, note: first };
  },
  say: ({ value, note }) => ({
    message:
      value === 1
        ? `the leap to ${nameOf(note.pitch)} is not followed by a step back`
        : `${value} leaps are not followed by a step back, the first to ${nameOf(note.pitch)}`,
    suggestion: "turn back by a step or a third after it",
  }),
};
