import type { PhraseRuleRow } from "./rule.ts";
import { CORPUS } from "./rule.ts";

const FEWEST = 2;
const MOST = 52;

export const phraseLength: PhraseRuleRow = {
  id: "phrase-length",
  title: "A phrase has 2 to 52 notes.",
  severity: "should",
  source: `${CORPUS}: the middle nine tenths of phrases cut at one-beat rests`,
  check: (line) =>
    line.phrases.flatMap(({ notes, first: note }) => {
      if (notes.length < FEWEST)
        return [{ note, message: "a phrase of a single note", suggestion: "lead into it, or answer it at once" }];
      if (notes.length > MOST)
        return [
          { note, message: `a phrase of ${notes.length} notes`, suggestion: "part it in two with a rest of a beat" },
        ];
      return [];
    }),
};
