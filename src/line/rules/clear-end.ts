import { atLeast, lengthOf } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

export const clearEnd: PhraseRuleRow = {
  id: "clear-end",
  title: "A phrase ends on a note of at least half a beat, or as long as the one before it.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.phrases.flatMap(({ last: note }) => {
      const least = Math.min(line.pulse / 2, note.previous === undefined ? Infinity : lengthOf(note.previous));
      if (atLeast(lengthOf(note), least)) return [];
      return [
        {
          note,
          message: `the phrase breaks off on a short ${nameOf(note.pitch)}`,
          suggestion: "hold the last note, or end one note earlier",
        },
      ];
    }),
};
