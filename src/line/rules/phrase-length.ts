import type { CountingRule } from "./rare.ts";

export const phraseLength: CountingRule = {
  id: "phrase-length",
  title: "Phrases of more than some forty notes are rare.",
  count: ({ notes, first }) => ({ value: notes.length, note: first }),
  say: ({ value }) => ({
    message: `a phrase of ${value} notes`,
    suggestion: "part it in two with a rest of a beat",
  }),
};
