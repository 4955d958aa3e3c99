import type { HeardLine, HeardNote } from "../heard.ts";
import { belongs, rise } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

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

export const chromaticResolves: PhraseRuleRow = {
  id: "chromatic-resolves",
  title:
    "A note outside chord and scale leads into one that belongs: by step, along a chromatic way, or as part of an enclosure.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.phrases.flatMap(({ notes }) =>
      notes.slice(1, -1).flatMap((note) => {
        if (belongs(note, line) || resolves(note, line)) return [];
        const over = note.chord === undefined ? "" : ` over ${note.chord.symbol}`;
        return [
          {
            note,
            message: `${nameOf(note.pitch)}${over} is left without resolving`,
            suggestion: `step from ${nameOf(note.pitch)} to the nearest note of the chord`,
          },
        ];
      }),
    ),
};
