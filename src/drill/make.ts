import type { BackingId } from "../backing/index.ts";
import { makeBacking } from "../backing/index.ts";
import type { CompingId } from "../comping/index.ts";
import type { TimeSpan } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { GeneratedLine, Line } from "../line/index.ts";
import { formatPitch } from "../pitch/index.ts";
import type { Progression } from "../progression/index.ts";
import { parseProgression, transposeProgression } from "../progression/index.ts";
import { parseScale } from "../scale/index.ts";
import type { Score, ScoreInput } from "../score/index.ts";
import { makeScore } from "../score/index.ts";
import { parseFeel } from "../swing/index.ts";
import { pulseLength, ZERO } from "../time/index.ts";
import type { VoicedProgression } from "../voice-leading/index.ts";
import { moved, placeHands, requireShort, turnStarts } from "./hands.ts";
import type { DrillRecipe, FullDrillRecipe } from "./recipe.ts";
import { parseDrillRecipe } from "./recipe.ts";

/** A drill for both hands: the score, and what it was made from. */
export interface Drill {
  readonly kind: "drill";
  /** The recipe with every default filled in. */
  readonly recipe: FullDrillRecipe;
  readonly title: string;
  readonly score: Score;
  readonly progression: Progression;
  /** The left hand's pattern. */
  readonly comping: CompingId;
  /** The left hand's voicings, one a chord of the progression, and why. */
  readonly voiced: VoicedProgression;
  /** The right hand, once through; an improvised one tells its form. */
  readonly line: Line | GeneratedLine;
}

/**
 * Makes a drill from a recipe: the progression in its key, the smoothest left-hand voicings round its loop, a left-hand
 * pattern, and a right-hand exercise that fits it or a line of phrases over it, as one score.
 *
 * The hands stand where they cross least: an exercise from C4 up, and where it would reach below what the left hand holds, over rootless voicings
 * placed lower, or an octave higher (within C7); an improvised line is made above the left hand.
 * The progression is played as often as the exercise needs to come out in whole turns of it, or as it takes to give an improvised line eight
 * bars. In another key the same seed keeps a line's form and rhythm; its pitches are those that are best there, over the left hand's voicings.
 * Spans, tempo and repeats are not safe for every hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * @param recipe - what to make; every default is in {@link DrillRecipe}
 * @throws MusicError `drill/recipe` for a recipe that can't be read, `drill/empty` for changes without a chord, `drill/long` for
 * more than 2,000 bars or 8,000 chords in all, and the codes of the parts for what can't be done
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 *
 * const drill = makeDrill({ key: "Eb", left: "rootless", values: "triplets" });
 * drill.title; // => "Turnaround in E♭"
 * drill.score.bars; // => 4
 * drill.voiced.forms.length; // => 4
 * ```
 */
export function makeDrill(recipe: DrillRecipe): Drill {
  const full = parseDrillRecipe(recipe);
  const changes =
    full.chartKey === undefined
      ? parseProgression(full.changes, { key: full.key })
      : transposeProgression(parseProgression(full.changes, { key: full.chartKey }), full.key);
  const sounding = changes.chords.filter((span) => span.chord !== undefined);
  if (sounding.length === 0)
    throw new MusicError({ code: "drill/empty", input: full.changes, expected: "changes with at least one chord" });
  const scale = parseScale(
    `${changes.key.tonic} ${full.scale ?? (changes.key.mode === "minor" ? "minor blues" : "major blues")}`,
  );
  const { comping, voiced, line, left: leftOver } = placeHands(changes, sounding, scale, full);
  const bars = line.bars * full.repeats;
  const turns = bars / changes.bars;
  requireShort(bars, turns * sounding.length);
  const left = leftOver(turns);
  const right = repeated(line.events, line.bars, full.repeats, changes);
  const leads = left.some((event) => event.at.num < 0);
  const title = titleOf(changes, full);
  return {
    kind: "drill",
    recipe: full,
    title,
    progression: changes,
    comping,
    voiced,
    line,
    score: makeScore({
      title,
      key: changes.key,
      metre: changes.metre,
      tempo: full.tempo,
      feel: parseFeel(full.feel),
      bars,
      pickup: leads ? pulseLength(changes.metre) : ZERO,
      chords: turnStarts(changes, turns).flatMap((start) => changes.chords.map((span) => moved(span, start))),
      left,
      right,
      ...backingFor(changes, turns, full),
      phrases: repeated(line.phrases, line.bars, full.repeats, changes),
    }),
  };
}

const backingFor = (
  changes: Progression,
  turns: number,
  { backing, seed }: FullDrillRecipe,
): Pick<ScoreInput, "bass" | "drums"> => {
  if (backing === "none") return {};
  const { bass, drums } = makeBacking(changes, { style: backing as BackingId, seed, choruses: turns });
  return { bass, drums };
};

const repeated = <T extends TimeSpan>(
  items: readonly T[],
  bars: number,
  repeats: number,
  { metre }: Progression,
): readonly T[] => turnStarts({ metre, bars }, repeats).flatMap((start) => items.map((item) => moved(item, start)));

const titleOf = ({ key, name, chords: spans }: Progression, { changes, chartKey }: FullDrillRecipe): string => {
  // A chart that was transposed is no longer what the recipe says.
  const chart = chartKey === undefined ? changes : spans.map((span) => span.chord?.symbol ?? "N.C.").join(" ");
  return `${name ?? chart.replace(/\s+/g, " ").slice(0, 60)} in ${formatPitch(key.tonic)}${key.mode === "minor" ? " minor" : ""}`;
};
