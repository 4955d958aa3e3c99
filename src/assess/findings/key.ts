import { inWords } from "../say/words.ts";
import type { FindingRule, Found } from "./finding.ts";
import { OURS } from "./finding.ts";

const distance = (by: number): string => {
  const size = Math.abs(by);
  const name =
    size === 12 ? "an octave" : size === 24 ? "two octaves" : `${inWords(size)} semitone${size === 1 ? "" : "s"}`;
  return `${name} ${by > 0 ? "higher" : "lower"} than written`;
};

/** Played in another key or octave. */
export const otherKey: FindingRule = {
  id: "other-key",
  title: "Another key or octave",
  topic: "key",
  threshold: "any shift that reads more cheaply than the written keys",
  source: OURS,
  find: ({ take }) => {
    const { shift, attempt } = take.alignment;
    const [right, left] = [attempt.hands === "left" ? 0 : shift.right, attempt.hands === "right" ? 0 : shift.left];
    if (right === 0 && left === 0) return [];
    const text =
      right === left
        ? `You played it ${distance(right)}.`
        : [
            right === 0 ? "" : `Your right hand was ${distance(right)}.`,
            left === 0 ? "" : `Your left hand was ${distance(left)}.`,
          ]
            .filter((t) => t !== "")
            .join(" ");
    const found: Found = {
      // Said first: what else is heard is heard as it was played.
      weight: 2,
      bars: [],
      figures: { right, left },
      text: `${text} Everything else is heard as you played it.`,
      advice: { hands: "both", bars: [], how: "Find the first note of each hand on the page, and start there." },
    };
    return [found];
  },
};
