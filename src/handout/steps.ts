import type { Drill } from "../drill/index.ts";

/** How slow the first time through is, and the step between: a teacher's habit, no source. */
const SLOW = 0.6;
const MIDDLE = 0.8;

const slower = (tempo: number, share: number): number => Math.max(20, Math.round((tempo * share) / 2) * 2);

/** What to do with the sheet, in order: hands separate, slow, together, with the track. Common practice, no source. */
export const practiceSteps = ({ recipe, score }: Drill): readonly string[] => [
  `Right hand alone at ${slower(recipe.tempo, SLOW)} beats a minute: say the fingers aloud where the hand turns.`,
  `Left hand alone at the same tempo: let the hand move as little as the notes do, and look ahead to the next chord.`,
  `Hands together at ${slower(recipe.tempo, SLOW)}, two bars at a time; loop the bars that do not come yet.`,
  `Hands together at ${slower(recipe.tempo, MIDDLE)} through all ${score.bars} bars. Rest the hands for a minute.`,
  ...(score.bass === undefined
    ? []
    : [
        `With bass and drums at ${slower(recipe.tempo, MIDDLE)}, then at ${recipe.tempo}: ${recipe.values === "triplets" ? "let the triplets lie evenly on the ride cymbal" : "listen for the short note of the swung pair"}.`,
      ]),
  `Stop while it still goes well, and write down the tempo for tomorrow.`,
];
