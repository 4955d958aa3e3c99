import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { check, isRecord, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { NoteName, Pitch, PitchName } from "../pitch/index.ts";
import { midiNumber, noteName, pitchFromMidi, pitchName } from "../pitch/index.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import { addBeats, compareBeats } from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import type { Voicing, VoicingRow } from "../voicing/index.ts";
import { voicingCatalogue, voicingsFor } from "../voicing/index.ts";
import { pitchesSchema } from "../voicing/inner.ts";

/** A note of a melody with the chord under it. */
export interface BlockChord extends TimeSpan {
  /** The chord of the progression there. */
  readonly chord: Chord;
  /** Whether the note belongs to it, as a tone or an extension, or passes: then it is the top of a diminished seventh. */
  readonly as: "chord" | "passing";
  /** Both hands; its highest note is the melody's. */
  readonly voicing: Voicing;
}

/** Options of {@link blockChords}. */
export interface BlockChordOptions {
  /**
   * `"locked-hands"`: four-way close, the left hand doubling the melody an octave below; `"drop-2"`: the second note from the top an octave lower.
   *
   * @defaultValue `"locked-hands"`
   */
  readonly style?: "locked-hands" | "drop-2" | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  style: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["locked-hands", "drop-2"])),
});

const MOST_NOTES = 20_000;

const isNote = (value: unknown): value is NoteEvent =>
  isRecord(value) &&
  isBeats(value.at) &&
  isBeats(value.duration) &&
  v.is(pitchesSchema, value.pitches) &&
  value.pitches.length > 0;

const melodySchema = /* @__PURE__ */ shapeOf(
  (value): value is NoteEvent[] => Array.isArray(value) && value.length <= MOST_NOTES && value.every(isNote),
  `at most ${MOST_NOTES} notes in time`,
);

/**
 * A melody in block chords: a chord for both hands under every note, the melody on top. A note that is a tone of its chord, or an extension that
 * the chord's forms add, has the chord under it; any other passes, and has a diminished seventh. Notes where no chord sounds are left out.
 *
 * Source: four-way close, drop 2 and passing diminished chords under a lead are common practice, no source.
 *
 * @param melody - notes in time; of several at once the highest leads
 * @param progression - a progression, a row of the catalogue, or a text for `parseProgression`
 * @throws MusicError the codes of `parseProgression`; `voice-leading/melody` for a melody none of whose notes has a chord
 *
 * @example
 * ```ts
 * import { beats, pitch, pitchName } from "hands-together";
 * import { blockChords } from "hands-together/voice-leading";
 *
 * const melody = (["G4", "A4", "B4"] as const).map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name)] }));
 * const chords = blockChords(melody, "C6");
 * chords.map(({ voicing }) => voicing.pitches.map(pitchName).join(" ")); // => ["G3 A3 C4 E4 G4", "A3 C4 E4 G4 A4", "B3 D4 F4 Ab4 B4"]
 * chords.map((chord) => chord.as); // => ["chord", "chord", "passing"]
 * ```
 */
export function blockChords(
  melody: readonly NoteEvent[],
  progression: string | Progression | ProgressionRow,
  options: BlockChordOptions = {},
): readonly BlockChord[] {
  check(melodySchema, melody, "voice-leading/argument");
  check(optionsSchema, options, "voice-leading/argument");
  const { style = "locked-hands" } = options;
  const { chords } = progressionOf(progression);
  const blocks = melody.flatMap(({ at, duration, pitches }): BlockChord[] => {
    const span = chords.find(
      (one) => compareBeats(one.at, at) <= 0 && compareBeats(at, addBeats(one.at, one.duration)) < 0,
    );
    if (span?.chord === undefined) return [];
    const lead = pitches.reduce((high, one) => (one.semitones > high.semitones ? one : high));
    const own = under(span.chord, lead, style);
    const voicing = led(own ?? passingUnder(lead, style), lead);
    return [{ at, duration, chord: span.chord, as: own === undefined ? "passing" : "chord", voicing }];
  });
  if (blocks.length === 0 && melody.length > 0) {
    throw new MusicError({
      code: "voice-leading/melody",
      input: melody.length,
      expected: "a melody with a note where a chord sounds",
    });
  }
  return blocks;
}

const SHARPS: readonly NoteName[] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

/** A diminished seventh from the note down, in the names that read most easily; the melody keeps its own. */
const passingUnder = (lead: Pitch, style: keyof typeof FORMS): Voicing => {
  const root = SHARPS[midiNumber(lead) % 12] ?? "C";
  const found = under(parseChord(`${root}dim7`), lead, style);
  if (found === undefined) {
    throw new MusicError({
      code: "voice-leading/melody",
      input: pitchName(lead),
      expected: "melody notes that have room for both hands below them",
      reason: "cannot-be-done",
    });
  }
  const read = (one: Pitch): Pitch => (noteName(one).length > 2 ? pitchFromMidi(midiNumber(one), "flats") : one);
  return { ...found, pitches: found.pitches.map(read), upper: found.upper.map(read) };
};

/** A voicing whose highest note is spelled as the melody has it. */
const led = (voicing: Voicing, lead: Pitch): Voicing => {
  const written = (one: Pitch): Pitch => (one.semitones === lead.semitones ? lead : one);
  return { ...voicing, pitches: voicing.pitches.map(written), upper: voicing.upper.map(written) };
};

const FORMS: Readonly<Record<"locked-hands" | "drop-2", readonly VoicingRow[]>> = {
  "locked-hands": /* @__PURE__ */ voicingCatalogue.filter(({ style }) => style === "locked-hands"),
  "drop-2": /* @__PURE__ */ voicingCatalogue.filter(({ style, onRequest }) => style === "drop-2" && onRequest === true),
};

/** A chord under its lead: in the forms that say most of what its symbol names, else in the first that has the note on top. */
const under = (chord: Chord, lead: Pitch, style: keyof typeof FORMS): Voicing | undefined => {
  const all = FORMS[style];
  return placedUnder(chord, lead, all) ?? placedUnder(chord, lead, ...all.map((form) => [form]));
};

const placedUnder = (chord: Chord, lead: Pitch, ...tries: readonly (readonly VoicingRow[])[]): Voicing | undefined => {
  // The form may spell the note otherwise.
  const name: PitchName = pitchName(pitchFromMidi(midiNumber(lead), "sharps"));
  for (const forms of tries) {
    try {
      for (const voicing of voicingsFor(chord, { forms, register: { from: name, to: name } })) return voicing;
    } catch (error) {
      if (!(error instanceof MusicError) || error.reason !== "cannot-be-done") throw error;
    }
  }
  return undefined;
};
