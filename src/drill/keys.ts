import { degreeOver } from "../chord/index.ts";
import type { NoteName } from "../pitch/index.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { KeyOrderOptions, ScaleRow } from "../scale/index.ts";
import { parseScale, twelveKeys } from "../scale/index.ts";
import { scaleRow } from "../scale/inner.ts";

/**
 * The twelve keys of a drill in an order of practice, each named so that its scale and all its chords together read best.
 *
 * @param changes - the progression of the drill
 * @param scale - the scale of the right hand, without its tonic
 * @throws MusicError what `parseProgression` and `parseScale` throw
 *
 * @example
 * ```ts
 * import { drillKeys } from "hands-together";
 *
 * drillKeys("turnaround", "major blues"); // => ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"]
 * ```
 */
export function drillKeys(
  changes: string | ProgressionRow | Progression,
  scale: string | ScaleRow,
  options: KeyOrderOptions = {},
): readonly NoteName[] {
  const { chords, key } = progressionOf(changes);
  const chordNotes = chords.flatMap((span) => span.chord?.tones.map((tone) => tone.note) ?? []);
  return twelveKeys({
    ...options,
    degrees: [
      ...(typeof scale === "string" ? parseScale(`C ${scale}`) : scaleRow(scale)).degrees,
      ...chordNotes.map((note) => degreeOver(key.tonic, note)),
    ],
  });
}
