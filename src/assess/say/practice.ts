import * as v from "valibot";
import type { Hand } from "../../event/index.ts";
import { check } from "../../ground/check.ts";
import { MusicError } from "../../ground/errors.ts";
import type { Score } from "../../score/index.ts";
import { makeScore, sliceScore } from "../../score/index.ts";
import { beatsToNumber, pulseLength } from "../../time/index.ts";
import { checkScore } from "../shapes.ts";

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
  /** The title of a score that no recipe makes; the bars and hands are its own, and no drill can be made of it. */
  readonly score?: string | undefined;
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
  /**
   * Whether the recipe makes a drill's sheet, or names bars and hands of the very score that was assessed, which {@link practiceScore} cuts
   * out: no recipe makes that.
   */
  readonly of: "drill" | "score";
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
    score: score.title,
    key: score.key.mode === "minor" ? `${score.key.tonic} minor` : score.key.tonic,
    feel: `${ratio.first}:${ratio.second}`,
  };
  // A score counts quarter notes, a recipe the beats of its metre.
  const beat = own === undefined ? 1 : beatsToNumber(pulseLength(score.metre));
  const tempo = Math.min(400, roundTempo((Math.min(score.tempo, played) * (advice.slower ?? 1)) / beat));
  const bars = barsOf(advice.bars, own ?? start, score.bars);
  return {
    kind: "practice-step",
    finding,
    hands: advice.hands,
    bars: advice.bars,
    of: own === undefined ? "score" : "drill",
    recipe: {
      ...start,
      tempo,
      // A line is made for a tempo; slower it is still that line.
      ...(own?.right === "improvised" ? { lineTempo: own.lineTempo ?? own.tempo ?? DEFAULT_TEMPO } : {}),
      repeats: advice.repeats ?? 4,
      ...(advice.hands === "both" ? {} : { hands: advice.hands }),
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

/**
 * The sheet of a practice step: the bars and hands of the score that was assessed, at the step's tempo. For scores that no recipe makes, such as
 * those read from MusicXML; the sheet is a score as any other, for writers, players and the next take.
 *
 * @param score - the score that was assessed
 * @param step - one of what the assessment says to practise
 * @returns a fresh score without a recipe
 * @throws MusicError `assess/step` for what is no step of that score
 *
 * @example
 * ```ts
 * import { assessTake, beats, makeScore, metre, parseKey, pitch, simulateTake } from "hands-together";
 * import { practiceScore } from "hands-together/assess";
 *
 * const right = Array.from({ length: 12 }, (_, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch("C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 3, right });
 * const [step] = assessTake(score, simulateTake(score, { wrongAt: [5] }).played).practise;
 * step === undefined ? 0 : practiceScore(score, step).right.length; // => 4
 * ```
 */
export function practiceScore(score: Score, step: PracticeStep): Score {
  checkScore(score);
  check(stepShape, step, "assess/step");
  const { bars = [1, score.bars], tempo } = step.recipe;
  const [from, to] = [Math.max(1, bars[0]), bars[1]];
  if (from > to || to > score.bars)
    throw new MusicError({
      code: "assess/step",
      input: bars.join(" to "),
      expected: `bars between 1 and ${score.bars}`,
    });
  const cut = sliceScore(score, from, to);
  const quarters = step.of === "score" ? 1 : beatsToNumber(pulseLength(score.metre));
  return makeScore({
    ...cut,
    ...(step.hands === "left" ? { right: [] } : {}),
    ...(step.hands === "right" ? { left: [] } : {}),
    ...(tempo === undefined ? {} : { tempo: tempo * quarters }),
  });
}

const stepShape = /* @__PURE__ */ v.looseObject({
  hands: /* @__PURE__ */ v.picklist(["right", "left", "both"]),
  of: /* @__PURE__ */ v.picklist(["drill", "score"]),
  recipe: /* @__PURE__ */ v.looseObject({
    tempo: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.pipe(v.number(), v.minValue(1), v.maxValue(1000))),
    bars: /* @__PURE__ */ v.optional(
      /* @__PURE__ */ v.tuple([
        /* @__PURE__ */ v.pipe(v.number(), v.integer()),
        /* @__PURE__ */ v.pipe(v.number(), v.integer()),
      ]),
    ),
  }),
});
