import { belongs, rise } from "../heard.ts";
import { advice, nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

export const clearStart: PhraseRuleRow = {
  id: "clear-start",
  title: "A phrase starts on a note of the chord or scale, or leads into one by step.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.phrases.flatMap(({ first: note }) => {
      if (belongs(note, line)) return [];
      const next = note.next;
      if (next !== undefined && belongs(next, line) && Math.abs(rise(note, next)) <= 2) return [];
      return [
        {
          note,
          message: `the phrase starts on ${nameOf(note.pitch)}, which leads nowhere`,
          suggestion: `start on ${advice(note)}, or step from ${nameOf(note.pitch)} into one of them`,
        },
      ];
    }),
};
