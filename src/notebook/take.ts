import * as v from "valibot";
import type { Assessment, AssessOptions, PlayedNote, PracticeRecipe } from "../assess/index.ts";
import { assessTake } from "../assess/index.ts";
import { check, isRecord } from "../ground/check.ts";
import type { DrillRecipe } from "../recipe/index.ts";
import type { Score } from "../score/index.ts";
import { checkScore } from "../score/inner.ts";
import type { NotebookTake } from "./document.ts";
import { drillName, momentShape } from "./document.ts";

/** Options of {@link hearTake}. */
export interface HearTakeOptions extends Pick<AssessOptions, "hand" | "bars" | "loop"> {
  /** When it was played, in UTC, such as `"2026-01-06T17:30:00Z"`. */
  readonly at: string;
  /** Eight figures and small letters that name the recording: one that a notebook has is not heard again. @defaultValue none */
  readonly recording?: string | undefined;
  /** The drill's id in its week, where that is known. @defaultValue found from the score's recipe, which takes a tenth of a second */
  readonly drill?: string | undefined;
}

const shortName = v.pipe(v.string(), v.regex(/^[0-9a-v]{8}$/, "eight figures and small letters"));
const optionsShape = v.strictObject({
  at: momentShape,
  recording: v.optional(shortName),
  drill: v.optional(shortName),
  hand: v.optional(v.unknown()),
  bars: v.optional(v.unknown()),
  loop: v.optional(v.unknown()),
});

const CLEAN_SHARE = 0.95;
const CLEAN_WEIGHT = 0.45;

/** A take as it was heard. */
export interface HeardTake {
  /** As a notebook keeps it. */
  readonly take: NotebookTake;
  /** All that was heard, for a page. */
  readonly assessment: Assessment;
}

const isDrillRecipe = (value: unknown): value is DrillRecipe & PracticeRecipe =>
  isRecord(value) &&
  typeof value.key === "string" &&
  (value.tempo === undefined || (typeof value.tempo === "number" && value.tempo >= 1 && value.tempo <= 1000));

const keyOf = ({ key }: Score): string => `${key.tonic}${key.mode === "minor" ? " minor" : ""}`;

/**
 * Hears a take of a drill, and puts down what later weeks rest on: tempo, right notes, evenness, swing, what was found and where.
 *
 * @param score - the drill's; its recipe tells to which skill the take belongs
 * @param played - the take; the notes of a MIDI reader will do
 * @throws MusicError what `assessTake` throws: `assess/unrelated` for a take of something else
 *
 * @example
 * ```ts
 * import { makeDrill, simulateTake } from "hands-together";
 * import { hearTake } from "hands-together/notebook";
 *
 * const { score } = makeDrill({ key: "C", tempo: 60 });
 * const { take } = hearTake(score, simulateTake(score).played, { at: "2026-01-06T17:30:00Z" });
 * take.clean; // => true
 * take.tempo.asked; // => 60
 * ```
 */
export function hearTake(score: Score, played: readonly PlayedNote[], options: HearTakeOptions): HeardTake {
  checkScore(score, "notebook/argument");
  check(optionsShape, options, "notebook/argument");
  const { at, recording, drill: id, ...attempted } = options;
  const recipe = isDrillRecipe(score.recipe) ? score.recipe : undefined;
  const assessment = assessTake(score, played, { ...attempted, recipe });
  const { accuracy, tempo, findings, practise, alignment } = assessment;
  // A recipe counts beats, a score quarter notes.
  const beat = recipe?.tempo === undefined ? 1 : recipe.tempo / tempo.asked;
  const drill = id ?? drillName(recipe);
  const heaviest = Math.max(0, ...findings.map(({ weight }) => weight));
  const clean = accuracy.accuracy >= CLEAN_SHARE && heaviest < CLEAN_WEIGHT;
  const [step] = practise;
  const take: NotebookTake = {
    kind: "take",
    at,
    title: score.title.slice(0, 300),
    key: keyOf(score),
    ...(drill !== undefined && recipe !== undefined && { drill, recipe }),
    ...(recording !== undefined && { recording }),
    hands: alignment.attempt.hands,
    tempo: { asked: tenths(tempo.asked * beat), played: tenths(tempo.played * beat) },
    accuracy: accuracy.accuracy,
    clean,
    measures: assessment.hands.map(({ hand, accuracy: share, timing, swing }) => ({
      hand,
      accuracy: share,
      ...(timing !== undefined && { spreadMs: timing.spreadMs }),
      ...(swing !== undefined && { swing: { asked: swing.asked, played: hundredths(swing.measured.ratio.value) } }),
    })),
    findings: findings.map(({ id, weight, hand, bars }) => ({
      id,
      weight,
      ...(hand !== undefined && { hand }),
      bars: bars.slice(0, 2000),
    })),
    ...(!clean &&
      recipe !== undefined &&
      step !== undefined &&
      isDrillRecipe(step.recipe) && {
        spot: { finding: step.finding, hands: step.hands, bars: step.bars.slice(0, 2000), recipe: step.recipe },
      }),
  };
  return { take, assessment };
}

const tenths = (value: number): number => Math.round(value * 10) / 10;
const hundredths = (value: number): number => Math.round(value * 100) / 100;
