import { degreeOver } from "../chord/index.ts";
import type { NoteName } from "../pitch/index.ts";
import type { Progression } from "../progression/index.ts";
import { parseProgression } from "../progression/index.ts";
import type { KeyOrderOptions } from "../scale/index.ts";
import { parseScale, twelveKeys } from "../scale/index.ts";

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
  changes: string | Progression,
  scale: string,
  options: KeyOrderOptions = {},
): readonly NoteName[] {
  const { chords, key } = typeof changes === "string" ? parseProgression(changes) : changes;
  const chordNotes = chords.flatMap((span) => span.chord?.tones.map((tone) => tone.note) ?? []);
  return twelveKeys({
    ...options,
    degrees: [...parseScale(`C ${scale}`).degrees, ...chordNotes.map((note) => degreeOver(key.tonic, note))],
  });
}
