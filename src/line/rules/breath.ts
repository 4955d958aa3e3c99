import { atLeast, lengthOf } from "../heard.ts";
import type { Breach, PhraseRuleRow } from "./rule.ts";
import { CORPUS } from "./rule.ts";

const LONGEST = 26;

export const breath: PhraseRuleRow = {
  id: "breath",
  title: "The line breathes: at least every 26 quarter notes there is a rest of half a beat or a note of a beat.",
  severity: "must",
  source: `${CORPUS}: 19 of 20 phrases, cut at one-beat rests, are no longer than 26.2 beats`,
  check: (line) => {
    const breaches: Breach[] = [];
    let from = 0;
    let told: boolean | undefined;
    line.notes.forEach((note, i) => {
      const before = line.notes[i - 1];
      if (
        before === undefined ||
        atLeast(note.at - before.end, line.pulse / 2) ||
        atLeast(lengthOf(before), line.pulse)
      ) {
        from = note.at;
        told = false;
      }
      if (told === true || atLeast(from + LONGEST, note.end)) return;
      told = true;
      breaches.push({
        note,
        message: `no breath for more than ${LONGEST} quarter notes`,
        suggestion: "hold a note or rest for a beat where a chord changes",
      });
    });
    return breaches;
  },
};
