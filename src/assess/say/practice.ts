import type { Hand } from "../../event/index.ts";
import type { Score } from "../../score/index.ts";

/** A drill recipe as far as assessment changes one; a drill's own fields are carried along as they are. */
export interface PracticeRecipe {
  /** Key with its mode where minor: `"Eb"`, `"C minor"`. */
  readonly key: string;
  /** Quarter notes a minute. */
  readonly tempo?: number;
  /** How many times the whole is played. */
  readonly repeats?: number;
  readonly [field: string]: unknown;
}

/** What to practise next: a drill recipe, and how to play it. */
export interface PracticeStep {
  readonly kind: "practice-step";
  /** The finding that it answers. */
  readonly finding: string;
  readonly hands: Hand | "both";
  /** The bars to stay with, in order; empty for the whole. */
  readonly bars: readonly number[];
  readonly recipe: PracticeRecipe;
  /** How to play it, in a sentence. */
  readonly how: string;
  /** When to stop; part of every step. */
  readonly caution: string;
}

/** Said wherever tempo or repetition is recommended. */
export const CAUTION =
  "Warm up, take breaks, and stop at any pain; no tempo and no number of repeats is right for every hand. If it hurts again, ask a teacher or a clinician.";

/** How a finding changes the recipe. */
export interface Advice {
  readonly hands: Hand | "both";
  readonly bars: readonly number[];
  /** Share of the score's or the player's tempo, whichever is lower; 1 where absent. */
  readonly slower?: number;
  readonly repeats?: number;
  readonly how: string;
}

const SLOWEST = 40;

/** The tempo of a step: a round figure that a metronome has. */
export const roundTempo = (tempo: number): number => Math.max(SLOWEST, Math.round(tempo / 4) * 4);

export const practiceStep = (
  finding: string,
  advice: Advice,
  score: Score,
  played: number,
  base: PracticeRecipe | undefined,
): PracticeStep => {
  const { ratio } = score.feel;
  const start: PracticeRecipe = base ?? {
    key: score.key.mode === "minor" ? `${score.key.tonic} minor` : score.key.tonic,
    feel: `${ratio.first}:${ratio.second}`,
  };
  const tempo = Math.min(400, roundTempo(Math.min(score.tempo, played) * (advice.slower ?? 1)));
  return {
    kind: "practice-step",
    finding,
    hands: advice.hands,
    bars: advice.bars,
    recipe: { ...start, tempo, repeats: advice.repeats ?? 4 },
    how: advice.how,
    caution: CAUTION,
  };
};
