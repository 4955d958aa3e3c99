import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

export const graceNeighbour: PhraseRuleRow = {
  id: "grace-neighbour",
  title: "A grace note lies a semitone or a whole tone from its main note.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.notes.flatMap((note) =>
      (note.event.graces ?? []).slice(-1).flatMap((grace) => {
        const distance = Math.abs(note.pitch.semitones - grace.pitch.semitones);
        if (distance === 1 || distance === 2) return [];
        return [
          {
            note,
            message: `the grace note ${nameOf(grace.pitch)} is no neighbour of ${nameOf(note.pitch)}`,
            suggestion: "slide from the key beside it",
          },
        ];
      }),
    ),
};
