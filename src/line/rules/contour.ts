import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";

/** Of so many notes or more a phrase has a contour … */
export const LONG_PHRASE = 8;
/** … that spans so many semitones at least … */
export const LEAST_SPAN = 4;
/** … and comes to its highest note so often at most. */
export const MOST_PEAKS = 3;

export const contour: PhraseRuleRow = {
  id: "contour",
  title:
    "A phrase of eight notes or more spans at least a major third, and comes to its highest note at most three times.",
  severity: "should",
  source:
    "common practice; that phrases are mostly arch-shaped: Frieler, K. et al. (2016), 'Telling a story', Empirical Musicology Review 11(1), 68-82",
  check: (line) =>
    line.phrases.flatMap(({ notes, first }) => {
      if (notes.length < LONG_PHRASE) return [];
      const heights = notes.map((note) => note.pitch.semitones);
      const top = Math.max(...heights);
      const peaks = notes.filter((note) => note.pitch.semitones === top && note.previous?.pitch.semitones !== top);
      if (top - Math.min(...heights) < LEAST_SPAN)
        return [
          {
            note: first,
            message: "the phrase circles within a minor third",
            suggestion: "let it rise or fall by a third or more",
          },
        ];
      const late = peaks[MOST_PEAKS];
      if (late === undefined) return [];
      return [
        {
          note: late,
          message: `the phrase comes to its highest note ${nameOf(late.pitch)} ${peaks.length} times`,
          suggestion: "keep the highest note for one place",
        },
      ];
    }),
};
