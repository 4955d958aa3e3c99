import { drillDifficulty, makeDrill } from "../drill/index.ts";
import { memo } from "../ground/memo.ts";
import type { DrillRecipe } from "../recipe/index.ts";
import { parseDrillRecipe } from "../recipe/index.ts";
import { canonicalJson } from "../recipe/inner.ts";
import { barLength, beatsToNumber, divideBeats, pulseLength } from "../time/index.ts";
import type { DrillCosts } from "./document.ts";

interface Points {
  readonly fingers: number;
  readonly voicing: number;
  readonly rhythm: number;
}

const FIRST_LESSON: DrillRecipe = { key: "C", left: "shell", right: "up-and-down", tempo: 60 };

const hundredths = (value: number): number => Math.round(value * 100) / 100;
const share = (part: number, of: number): number => (of === 0 ? 0 : hundredths(part / of));
const mean = (values: readonly number[]): number =>
  values.length === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / values.length;

/** A drill as a week names it. */
interface Measured {
  readonly title: string;
  readonly points: Points;
}

const measured = /* @__PURE__ */ memo<Measured>(2000);

const measure = (recipe: DrillRecipe): Measured =>
  measured(canonicalJson(recipe), () => {
    const drill = makeDrill({ ...recipe, repeats: 1, backing: "none" });
    const { score, voiced, title } = drill;
    const { bars } = drillDifficulty(drill);
    const pulse = pulseLength(score.metre);
    const off = [...score.right, ...score.left].filter(({ at }) => divideBeats(at, pulse).den !== 1).length;
    return {
      title,
      points: {
        fingers: mean(bars.map(({ right }) => right)),
        voicing: mean(bars.map(({ left }) => left)) + (score.left.length === 0 ? 0 : mean(voiced.motion)),
        rhythm: off / (score.bars * beatsToNumber(divideBeats(barLength(score.metre), pulse))),
      },
    };
  });

/** The title of a drill; one asked for again is not made again. */
export const titleOf = (recipe: DrillRecipe): string => measure(recipe).title;

/** {@link recipeDifficulty} of a recipe that was checked; one asked for again is not made again. */
export const costsOf = (recipe: DrillRecipe): DrillCosts => {
  const [own, first] = [measure(recipe).points, measure(FIRST_LESSON).points];
  const fingers = share(own.fingers, first.fingers);
  const voicing = share(own.voicing, first.voicing);
  const rhythm = share(own.rhythm, first.rhythm);
  return { fingers, voicing, rhythm, total: hundredths((fingers + voicing + rhythm) / 3) };
};

/**
 * How hard a drill is: what its fingers cost, what the left hand's chords cost and how far they move, and how much lies off the beat; each as a
 * multiple of the first lesson's, shells and one octave of the blues scale in C at 60.
 *
 * It compares drills, and orders what a skill varies over; the finger costs are those of `drillDifficulty`. That the three count alike is our
 * choice. No figure tells what is safe for a hand.
 *
 * @throws MusicError `recipe/drill` for a recipe that can't be read
 *
 * @example
 * ```ts
 * import { recipeDifficulty } from "hands-together/notebook";
 *
 * recipeDifficulty({ key: "C", left: "shell", right: "up-and-down", tempo: 60 }).total; // => 1
 * recipeDifficulty({ key: "Db", left: "shell", right: "up-and-down", tempo: 120 }).total > 1.4; // => true
 * ```
 */
export function recipeDifficulty(recipe: DrillRecipe): DrillCosts {
  parseDrillRecipe(recipe);
  return costsOf(recipe);
}
