import type { CountingRule } from "./rare.ts";

const FEWEST_NOTES = 4;

export const density: CountingRule = {
  id: "density",
  title: "Phrases of more than some eleven notes a second are rare.",
  count: ({ notes, first, last }, { tempo }) => {
    const seconds = ((last.at - first.at) * 60) / tempo;
    if (notes.length < FEWEST_NOTES || seconds <= 0) return undefined;
    return { value: Math.round((10 * (notes.length - 1)) / seconds) / 10, note: first };
  },
  say: ({ value }) => ({
    message: `${value.toFixed(1)} notes a second`,
    suggestion: "leave notes out, or take a slower tempo",
  }),
};
