import type { Pitch } from "../../pitch/index.ts";
import { keyColour } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { Tone } from "../draft.ts";
import { runAndHold } from "../draft.ts";
import type { Pattern, PatternContext } from "./context.ts";

const thereAndBack = (tones: readonly Tone[], { values, grid, direction }: PatternContext) => {
  const rising = runAndHold(tones, values, grid);
  const falling = runAndHold(tones.toReversed(), values, grid);
  return direction === "up" ? [rising, falling] : [falling, rising];
};

/** The scale from the tonic to the top tonic, held; back down, held. */
export const upAndDown: Pattern = (context) => thereAndBack(context.ladder.map((pitch) => ({ pitch })), context);

/** The key a semitone below, under the same letter. */
const below = (p: Pitch): Pitch => ({ kind: "pitch", steps: p.steps, semitones: p.semitones - 1 });

/**
 * The notes of a scale that are slid into: the 3 and the 6 of a scale that has either, else the 5, else the
 * tonic. Common practice, no source: ♭3 into 3 and ♭6 into 6 are the slides of the major blues, ♭5 into 5 that of
 * the minor.
 */
const slideTargets = (s: Scale): readonly string[] => {
  const usual = ["3", "6"].filter((degree) => (s.degrees as readonly string[]).includes(degree));
  if (usual.length > 0) return usual;
  return (s.degrees as readonly string[]).includes("5") ? ["5"] : ["1"];
};

/** Up and down, with a grace note a semitone below each slide note; where the scale holds that note, the slide replaces it. */
export const slides: Pattern = (context) => {
  const size = context.scale.degrees.length;
  const targets = slideTargets(context.scale);
  const tones = context.ladder.flatMap((pitch, i): readonly Tone[] => {
    const next = context.ladder[i + 1];
    const isTarget = (index: number): boolean => targets.includes(context.scale.degrees[index % size] as string) && index > 0;
    if (next !== undefined && isTarget(i + 1) && next.semitones - pitch.semitones === 1 && i > 0) return [];
    return [isTarget(i) ? { pitch, grace: below(pitch) } : { pitch }];
  });
  return thereAndBack(tones, context);
};

/** One finger can slip from a black key to the white one beside it, and from no other. */
export const graceStyle = (grace: Pitch, main: Pitch): "slide" | "crushed" =>
  keyColour(grace) === "black" && keyColour(main) === "white" ? "slide" : "crushed";
