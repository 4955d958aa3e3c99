import { rise } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { CORPUS } from "./rule.ts";

export const leapSize: PhraseRuleRow = {
  id: "leap-size",
  title: "Inside a phrase no leap is wider than an octave.",
  severity: "should",
  source: `${CORPUS}: 0.7 % of intervals are wider`,
  check: (line) =>
    line.notes.flatMap((note) => {
      if (note.previous === undefined || Math.abs(rise(note.previous, note)) <= 12) return [];
      return [
        {
          note,
          message: `the leap from ${nameOf(note.previous.pitch)} to ${nameOf(note.pitch)} is wider than an octave`,
          suggestion: "take the nearer octave, or rest before it",
        },
      ];
    }),
};
