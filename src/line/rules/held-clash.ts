import { formatPitch } from "../../pitch/index.ts";
import { beatsToNumber } from "../../time/index.ts";
import { atLeast } from "../heard.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

export const heldClash: PhraseRuleRow = {
  id: "held-clash",
  title:
    "No note is held for a beat a semitone or a minor ninth from a note of the voicing, unless it anticipates the chord that enters within two beats.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.notes.flatMap((note) => {
      for (const voicing of line.voicings) {
        const from = Math.max(note.at, beatsToNumber(voicing.at));
        const to = Math.min(note.end, beatsToNumber(voicing.at) + beatsToNumber(voicing.duration));
        if (!atLeast(to - from, line.pulse)) continue;
        const against = voicing.pitches.find((p) => [-1, 1, 13].includes(note.pitch.semitones - p.semitones));
        if (against === undefined) continue;
        const coming = note.coming;
        if (coming?.classes.has(note.sound) && atLeast(from, coming.at - 2 * line.pulse)) continue;
        return [
          {
            note,
            message: `${formatPitch(note.pitch)} is held against ${formatPitch(against)} of the voicing`,
            suggestion: "pass through it, or hold the note beside it",
          },
        ];
      }
      return [];
    }),
  keep: ({ against }) =>
    against.length === 0 ? undefined : (pitch) => against.every((other) => ![-1, 1, 13].includes(pitch - other)),
};
