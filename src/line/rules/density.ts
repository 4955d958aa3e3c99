import { beatsToNumber } from "../../time/index.ts";
import type { PhraseRule } from "./rule.ts";
import { CORPUS } from "./rule.ts";

const MOST = 9.75;
const FEWEST_NOTES = 4;

export const density: PhraseRule = {
  id: "density",
  title: "A phrase has at most 9.75 notes a second.",
  severity: "should",
  source: `${CORPUS}: the densest of 299 solos; 4.3 is the mean`,
  check: (line) =>
    line.phrases.flatMap(({ notes }) => {
      const note = notes[0];
      const last = notes.at(-1);
      if (note === undefined || last === undefined || notes.length < FEWEST_NOTES) return [];
      const seconds = ((beatsToNumber(last.event.at) - beatsToNumber(note.event.at)) * 60) / line.tempo;
      const rate = (notes.length - 1) / seconds;
      if (rate <= MOST + 1e-9) return [];
      return [{ note, message: `${rate.toFixed(1)} notes a second`, suggestion: "leave notes out, or take a slower tempo" }];
    }),
};
