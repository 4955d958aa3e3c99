import { checkOnce } from "../ground/check.ts";
import type { Key } from "../pitch/index.ts";
import { keyOf } from "../pitch/inner.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale } from "../scale/index.ts";
import { contextIn } from "./harmony.ts";
import { chordsSchema } from "./shape.ts";

/** Whether the key note carries a dominant seventh that is at rest, as in the blues. */
export const hasBluesTonic = (chords: readonly ChordSpan[], key: Key): boolean => {
  const { chords: context } = contextIn(chords, key);
  return chords.some(({ chord }, i) => chord?.root === key.tonic && context[i]?.function === "blues");
};

/**
 * The scale that a line is made from unless another is named: the key's major or minor scale, or its mixolydian scale where the key
 * note carries a dominant seventh that is at rest, as in the blues.
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
  const read = keyOf(key);
  checkOnce(chordsSchema, chords, "line/argument");
  const { tonic, mode } = read;
  return parseScale(`${tonic} ${mode === "major" && hasBluesTonic(chords, read) ? "mixolydian" : mode}`);
}
