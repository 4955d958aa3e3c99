import { formatPitch } from "../../pitch/index.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

export const range: PhraseRuleRow = {
  id: "range",
  title: "The line stays in the right hand's range.",
  severity: "must",
  source: `${COMMON}; the default is C3 to C7`,
  check: ({ notes, range: { lowest, highest } }) =>
    notes.flatMap((note) => {
      const low = note.pitch.semitones < lowest.semitones;
      if (!low && note.pitch.semitones <= highest.semitones) return [];
      return [
        {
          note,
          message: `${formatPitch(note.pitch)} lies ${low ? `below ${formatPitch(lowest)}` : `above ${formatPitch(highest)}`}`,
          suggestion: `move the phrase ${low ? "up" : "down"} an octave, or turn before it`,
        },
      ];
    }),
};
