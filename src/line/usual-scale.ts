import { checkOnce } from "../ground/check.ts";
import type { Key } from "../pitch/index.ts";
import { keyOf } from "../pitch/inner.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale } from "../scale/index.ts";
import { chordsSchema } from "./shape.ts";

/** Whether the chord of the key note is a dominant seventh, as in the blues. */
export const hasBluesTonic = (tonic: string, chords: readonly ChordSpan[]): boolean =>
  chords.some(
    ({ chord }) =>
      chord?.root === tonic && ["3", "b7"].every((degree) => chord.tones.some((tone) => tone.degree === degree)),
  );

/**
 * The scale that a line is made from unless another is named: the key's major or minor scale, or its mixolydian scale where the key
 * note carries a dominant seventh, as in the blues.
 *
 * @example
 * ```ts
 * import { parseProgression } from "hands-together";
 * import { usualScale } from "hands-together/line";
 *
 * const { key, chords } = parseProgression("blues", { key: "F" });
 * usualScale(key, chords).type; // => "mixolydian"
 * usualScale("F major", chords).type; // => "mixolydian"
 * ```
 */
export function usualScale(key: Key | string, chords: readonly ChordSpan[]): Scale {
  const { tonic, mode } = keyOf(key);
  checkOnce(chordsSchema, chords, "line/argument");
  return parseScale(`${tonic} ${mode === "major" && hasBluesTonic(tonic, chords) ? "mixolydian" : mode}`);
}
