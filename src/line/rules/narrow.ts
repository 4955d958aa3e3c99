import type { CountingRule } from "./rare.ts";

const LONG = 8;

export const narrow: CountingRule = {
  id: "narrow",
  title: "A phrase of eight notes or more rarely stays within a third.",
  count: ({ notes, first }) => {
    if (notes.length < LONG) return undefined;
    const heights = notes.map((note) => note.pitch.semitones);
    return { value: 0 - (Math.max(...heights) - Math.min(...heights)), note: first };
  },
  say: ({ value }) => ({
    message: `the phrase circles within ${0 - value} semitones`,
    suggestion: "let it rise or fall by a third or more",
  }),
};
