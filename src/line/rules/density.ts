import { atLeast } from "../heard.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { CORPUS } from "./rule.ts";

const MOST = 9.75;
const FEWEST_NOTES = 4;

export const density: PhraseRuleRow = {
  id: "density",
  title: "A phrase has at most 9.75 notes a second.",
  severity: "should",
  source: `${CORPUS}: the densest of 299 solos; 4.3 is the mean`,
  check: (line) =>
    line.phrases.flatMap(({ notes, first: note, last }) => {
      if (notes.length < FEWEST_NOTES) return [];
      const seconds = ((last.at - note.at) * 60) / line.tempo;
      const rate = (notes.length - 1) / seconds;
      if (atLeast(MOST, rate)) return [];
      return [
        { note, message: `${rate.toFixed(1)} notes a second`, suggestion: "leave notes out, or take a slower tempo" },
      ];
    }),
};
