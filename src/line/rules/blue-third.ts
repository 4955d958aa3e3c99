import { pitchClassOf } from "../../pitch/index.ts";
import type { HeardChord, HeardLine, HeardNote } from "../heard.ts";
import { atLeast, lengthOf } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

const isBlue = (note: HeardNote, chord: HeardChord, line: HeardLine): boolean =>
  chord.major &&
  note.sound === (chord.root + 3) % 12 &&
  (line.scale === undefined || pitchClassOf(line.scale.tonic) === chord.root);

const isStep = (from: HeardNote, to: HeardNote): boolean => [1, 2, 10, 11].includes((to.sound - from.sound + 12) % 12);

/** Whether one of the next two notes is a step away, in any octave; the same note in another octave counts as still the first. */
const moves = (note: HeardNote): boolean => {
  const next = note.next;
  if (next === undefined) return false;
  if (next.sound === note.sound) return moves(next);
  return isStep(note, next) || (next.next !== undefined && isStep(note, next.next));
};

export const blueThird: PhraseRuleRow = {
  id: "blue-third",
  title:
    "Over the major chord of the key note (over any major chord where no scale is known) the blue third resolves or passes by step, at once or after one note, and does not sit for a beat on a strong beat; as a grace note it may stand anywhere.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.notes.flatMap((note) => {
      if (note.chord === undefined || !isBlue(note, note.chord, line)) return [];
      const { symbol } = note.chord;
      if (note.strong && atLeast(lengthOf(note), line.pulse)) {
        return [
          {
            note,
            message: `the blue third ${nameOf(note.pitch)} sits on a strong beat over ${symbol}`,
            suggestion: "slide from it into the major third, or move it off the beat",
          },
        ];
      }
      if (moves(note)) return [];
      return [
        {
          note,
          message: `the blue third ${nameOf(note.pitch)} over ${symbol} neither resolves nor passes`,
          suggestion: "step from it into the major third or down to the second",
        },
      ];
    }),
};
