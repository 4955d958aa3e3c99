import { degreeOver } from "../chord/index.ts";
import { fingerDifficulty, fingerScale } from "../fingering/index.ts";
import type { NoteName } from "../pitch/index.ts";
import { degreeInterval, pitchAtOrAbove, pitchInOctave, transpose } from "../pitch/index.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { KeyOrder, KeyOrderOptions, ScaleRow } from "../scale/index.ts";
import { parseScale, twelveKeys } from "../scale/index.ts";
import { scaleRow } from "../scale/inner.ts";

/** An order of keys: one of {@link KeyOrder}, or those first whose scale lies best under the right hand. */
export type DrillKeyOrder = KeyOrder | "easiest";

/** Options of {@link drillKeys}. */
export interface DrillKeysOptions {
  /** @defaultValue `"fourths"` */
  readonly order?: DrillKeyOrder | undefined;
}

/**
 * The twelve keys of a drill in an order of practice, each named so that its scale and all its chords together read best.
 *
 * @param changes - the progression of the drill
 * In the order `"easiest"` those come first whose scale costs the right hand least, an octave up and down (see `fingerDifficulty`); keys that cost
 * the same follow each other by fourths.
 *
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
  options: DrillKeysOptions = {},
): readonly NoteName[] {
  if (options.order !== "easiest") return keysBy(changes, scale, { order: options.order });
  return keysBy(changes, scale, { order: "fourths" })
    .map((key) => [costOf(key, scale), key] as const)
    .sort(([a], [b]) => a - b)
    .map(([, key]) => key);
}

const costOf = (key: NoteName, scale: string | ScaleRow): number => {
  const degrees = typeof scale === "string" ? parseScale(`C ${scale}`).degrees : scaleRow(scale).degrees;
  const tonic = pitchAtOrAbove(key, pitchInOctave("C", 4));
  const octave = degrees.map((degree) => transpose(tonic, degreeInterval(degree)));
  const { pitches } = fingerScale(octave, { hand: "right" });
  return fingerDifficulty(pitches, { hand: "right" }).difficulty;
};

const keysBy = (
  changes: string | ProgressionRow | Progression,
  scale: string | ScaleRow,
  options: KeyOrderOptions,
): readonly NoteName[] => {
  const { chords, key } = progressionOf(changes);
  const chordNotes = chords.flatMap((span) => span.chord?.tones.map((tone) => tone.note) ?? []);
  return twelveKeys({
    ...options,
    degrees: [
      ...(typeof scale === "string" ? parseScale(`C ${scale}`) : scaleRow(scale)).degrees,
      ...chordNotes.map((note) => degreeOver(key.tonic, note)),
    ],
  });
};
