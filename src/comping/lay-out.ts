import type { Chord } from "../chord/index.ts";
import type { Span } from "../event/index.ts";
import type { NoteName, Pitch } from "../pitch/index.ts";
import { interval, parsePitch, pitchAtOrAbove, transpose, transposeNote } from "../pitch/index.ts";
import type { Voicing, VoicingOptions } from "../voicing/index.ts";
import { bassNote } from "../voicing/index.ts";
import type { LaidOutChord } from "./comp.ts";

const LOWEST_FIFTH = parsePitch("C2");

/**
 * A voicing with the bass notes that a left-hand pattern needs beside it.
 *
 * The root is the voicing's own bass note, or the chord's in the bass range; the fifth is the chord's fifth (the plain one
 * where it has none) just below that root, or above it where that would fall below C2.
 *
 * @param span - when the chord enters and how long it stays
 * @param options - the bass range, as for voicings
 * @throws MusicError `voicing/register` or `voicing/unreachable` when the bass range can't hold the root
 *
 * @example
 * ```ts
 * import { beats, layOutChord, pitchName, voiceProgression } from "hands-together";
 *
 * const { voicings } = voiceProgression(["Dm9"], { style: "rootless" });
 * const chord = layOutChord({ at: beats(0), duration: beats(4) }, voicings[0]!);
 * pitchName(chord.root); // => "D3"
 * pitchName(chord.fifth); // => "A2"
 * ```
 */
export function layOutChord(span: Span, voicing: Voicing, options: Pick<VoicingOptions, "bass" | "dropBass"> = {}): LaidOutChord {
  const root = voicing.bass ?? bassNote(voicing.chord, options);
  const above = pitchAtOrAbove(fifthOf(voicing.chord), root);
  const below = transpose(above, interval("-P8"));
  return {
    at: span.at,
    duration: span.duration,
    root,
    fifth: below.semitones >= LOWEST_FIFTH.semitones || root.semitones < LOWEST_FIFTH.semitones ? below : above,
    chord: voicing.upper,
    all: voicing.pitches,
  };
}

const fifthOf = ({ root, tones }: Chord): NoteName =>
  tones.find(({ degree }) => /^[b#]*5$/.test(degree))?.note ?? transposeNote(root, interval("P5"));
