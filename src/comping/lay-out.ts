import type { Chord } from "../chord/index.ts";
import type { TimeSpan } from "../event/index.ts";
import { check, checkOnce } from "../ground/check.ts";
import type { NoteName, Pitch, PitchName } from "../pitch/index.ts";
import { interval, parsePitch, pitchAtOrAbove, transpose, transposeNote } from "../pitch/index.ts";
import type { Voicing, VoicingOptions } from "../voicing/index.ts";
import { bassOf, bassOptionsSchema, voicingSchema } from "../voicing/inner.ts";
import { spanSchema } from "./shape.ts";

/** A chord laid out, for the left hand or for both: what a pattern strikes from the moment it enters until it leaves. */
export interface LaidOutChord extends TimeSpan {
  /** The bass root, in the bass's range. */
  readonly root: Pitch;
  /** The chord's fifth beside that root. */
  readonly fifth: Pitch;
  /** The voicing without a bass root, from low to high. */
  readonly chord: readonly Pitch[];
  /** The whole voicing as it lies under the hand, from low to high. */
  readonly all: readonly Pitch[];
  /** What the right hand strikes with the chord, from low to high. @defaultValue nothing */
  readonly right?: readonly Pitch[] | undefined;
  /** Other positions of the same chord, for comping that varies it where it lasts. @defaultValue none */
  readonly others?: readonly Pick<LaidOutChord, "chord" | "all">[] | undefined;
}

const BASS_FROM: PitchName = "E2";

/**
 * A voicing made ready for left-hand patterns: its bass root, the fifth beside it, and what is struck as a chord.
 *
 * The root is the voicing's own bass note, or the chord's (the note after the stroke, in a slash chord) in the bass range, an octave lower
 * where it would lie above the lowest note of the voicing. The fifth is that of the chord: perfect, ♭5 or ♯5, and perfect where the symbol has none; it lies
 * just below the root, or above it where that would fall more than a major third below the bass range (below C2, if nothing else is asked
 * for). A chord with its fifth in the bass has its root there instead. Of a voicing for two hands, the right hand's notes
 * stand by themselves.
 *
 * Common practice, no source.
 *
 * @param span - when the chord enters and how long it stays
 * @param options - the bass range, as for voicings
 * @throws MusicError `voicing/register` or `voicing/out-of-reach` for a bass range that misses the note
 *
 * @example
 * ```ts
 * import { beats, layOutChord, pitchName, voicingsFor } from "hands-together";
 *
 * const [voicing] = voicingsFor("Am7", { style: "shell" });
 * const { root, fifth, chord } = layOutChord({ at: beats(0), duration: beats(4) }, voicing!);
 * [root, fifth].map(pitchName); // => ["A2", "E2"]
 * chord.map(pitchName); // => ["C3", "G3"]
 * ```
 */
export function layOutChord(
  span: TimeSpan,
  voicing: Voicing,
  options: Pick<VoicingOptions, "bass" | "dropBass"> = {},
): LaidOutChord {
  check(spanSchema, span, "comping/argument");
  checkOnce(voicingSchema, voicing, "comping/argument");
  check(bassOptionsSchema, options, "comping/argument");
  return chordLaidOut(span, voicing, options);
}

/** As {@link layOutChord}, of what has been checked. */
export const chordLaidOut = (
  span: TimeSpan,
  voicing: Voicing,
  options: Pick<VoicingOptions, "bass" | "dropBass">,
): LaidOutChord => {
  const all = voicing.pitches.filter((_, i) => voicing.hands[i] === "left");
  const right = voicing.pitches.filter((_, i) => voicing.hands[i] === "right");
  // Where the left hand has nothing but the bass, that is its chord.
  const chord = voicing.bass === undefined || all.length === 1 ? all : all.slice(1);
  const found = voicing.bass ?? bassOf(voicing.chord, options);
  const above = chord[0] !== undefined && found.semitones > chord[0].semitones;
  const root = above ? transpose(found, interval("-P8")) : found;
  const bottom = transpose(
    parsePitch(options.bass?.from ?? BASS_FROM),
    interval(options.dropBass === true ? "-P8" : "P1"),
  );
  const lowest = transpose(bottom, interval("-M3"));
  return {
    at: span.at,
    duration: span.duration,
    root,
    fifth: besideRoot(companion(voicing.chord), root, lowest),
    chord,
    all,
    ...(right.length > 0 && { right }),
  };
};

// What alternates with the bass: the chord's fifth, or its root where the fifth is the bass.
const companion = (chord: Chord): NoteName => {
  const fifth =
    chord.tones.find((tone) => ["5", "b5", "#5"].includes(tone.degree))?.note ??
    transposeNote(chord.root, interval("P5"));
  return fifth === chord.bass ? chord.root : fifth;
};

const besideRoot = (note: NoteName, root: Pitch, lowest: Pitch): Pitch => {
  const above = pitchAtOrAbove(note, root);
  const below = transpose(above, interval("-P8"));
  return below.semitones >= lowest.semitones ? below : above;
};
