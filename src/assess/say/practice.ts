import type { Hand } from "../../event/index.ts";
import type { Score } from "../../score/index.ts";
import { beatsToNumber, pulseLength } from "../../time/index.ts";

/** A drill recipe as far as assessment changes one; a drill's own fields are carried along as they are. */
export interface PracticeRecipe {
  /** Key with its mode where minor: `"Eb"`, `"C minor"`. */
  readonly key: string;
  /** Quarter notes a minute. */
  readonly tempo?: number | undefined;
  /** How many times the whole is played. */
  readonly repeats?: number | undefined;
  /** Both hands, or the one to practise. */
  readonly hands?: Hand | "both" | undefined;
  /** First and last bar to practise, of the drill without its repeats. */
  readonly bars?: readonly [from: number, to: number] | undefined;
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
// What a recipe without a tempo means.
const DEFAULT_TEMPO = 100;

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
  const own = base ?? recipeOf(score);
  const start: PracticeRecipe = own ?? {
    key: score.key.mode === "minor" ? `${score.key.tonic} minor` : score.key.tonic,
    feel: `${ratio.first}:${ratio.second}`,
  };
  // A score counts quarter notes, a recipe the beats of its metre.
  const beat = own === undefined ? 1 : beatsToNumber(pulseLength(score.metre));
  const tempo = Math.min(400, roundTempo((Math.min(score.tempo, played) * (advice.slower ?? 1)) / beat));
  // Without the recipe of the score its bars would be those of another drill.
  const bars = own === undefined ? undefined : barsOf(advice.bars, own, score.bars);
  return {
    kind: "practice-step",
    finding,
    hands: advice.hands,
    bars: advice.bars,
    recipe: {
      ...start,
      tempo,
      // A line is made for a tempo; slower it is still that line.
      ...(own?.right === "improvised" ? { lineTempo: own.lineTempo ?? own.tempo ?? DEFAULT_TEMPO } : {}),
      repeats: advice.repeats ?? 4,
      ...(own === undefined || advice.hands === "both" ? {} : { hands: advice.hands }),
      ...(bars === undefined ? {} : { bars }),
    },
    how: advice.how,
    caution: CAUTION,
  };
};

const recipeOf = ({ recipe }: Score): PracticeRecipe | undefined =>
  recipe !== undefined && typeof recipe.key === "string" ? { ...recipe, key: recipe.key } : undefined;

// Bars of one stretch to practise; what lies further off is another day's.
const MOST_BARS = 4;

/** The stretch to practise, in bars of the drill without its repeats. */
const barsOf = (
  bars: readonly number[],
  { repeats = 1, bars: own }: PracticeRecipe,
  all: number,
): readonly [number, number] | undefined => {
  const once = Math.max(1, Math.round(all / repeats));
  const inside = bars.filter((bar) => bar >= 1 && bar <= all).map((bar) => ((bar - 1) % once) + 1);
  const [first] = inside;
  if (first === undefined) return undefined;
  const near = inside.filter((bar) => bar >= first && bar < first + MOST_BARS);
  const before = (own?.[0] ?? 1) - 1;
  return [before + first, before + Math.max(...near)];
};
