import { atLeast, isChordTone, lengthOf } from "../heard.ts";
import { advice, nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

export const restingNote: PhraseRuleRow = {
  id: "resting-note",
  title: "A phrase ends on a chord tone, or on a note of the scale held for a beat.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.phrases.flatMap(({ last: note }) => {
      if ((note.chord === undefined && line.scaleClasses === undefined) || isChordTone(note, line)) return [];
      const inScale = line.scaleClasses?.has(note.sound) === true;
      if (inScale && atLeast(lengthOf(note), line.pulse)) return [];
      const over = note.chord === undefined ? "" : ` over ${note.chord.symbol}`;
      return [
        {
          note,
          message: inScale
            ? `the phrase ends on a short ${nameOf(note.pitch)}${over}`
            : `the phrase ends on ${nameOf(note.pitch)}${over}, outside chord and scale`,
          suggestion: `end on ${advice(note)}${inScale ? `, or hold ${nameOf(note.pitch)} for a beat` : ""}`,
        },
      ];
    }),
};
