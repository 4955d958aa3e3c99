import { rise } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

const LEAP = 8;
const BACK = 4;

export const leapRecovery: PhraseRuleRow = {
  id: "leap-recovery",
  title: "After a leap of a sixth or more the line turns back by a step or a third.",
  severity: "should",
  source: COMMON,
  check: (line) =>
    line.notes.flatMap((note) => {
      if (note.previous === undefined || note.next === undefined) return [];
      const leap = rise(note.previous, note);
      const after = rise(note, note.next);
      if (Math.abs(leap) < LEAP) return [];
      if (after !== 0 && Math.sign(after) !== Math.sign(leap) && Math.abs(after) <= BACK) return [];
      return [
        {
          note,
          message: `the leap to ${nameOf(note.pitch)} is not followed by a step back`,
          suggestion: `${leap > 0 ? "fall" : "rise"} by a step or a third after it`,
        },
      ];
    }),
};
