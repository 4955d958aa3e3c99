import { nameOf } from "./names.ts";
import type { Breach, PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

const MOST = 3;

export const repeats: PhraseRuleRow = {
  id: "repeats",
  title: "A note is struck at most three times in a row.",
  severity: "should",
  source: COMMON,
  check: (line) => {
    const breaches: Breach[] = [];
    let times = 0;
    for (const note of line.notes) {
      times = note.previous !== undefined && note.previous.pitch.semitones === note.pitch.semitones ? times + 1 : 1;
      if (times === MOST + 1)
        breaches.push({
          note,
          message: `${nameOf(note.pitch)} is struck more than ${MOST} times in a row`,
          suggestion: "move to a neighbour, or rest",
        });
    }
    return breaches;
  },
};
