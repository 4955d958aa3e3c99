import type { Interval, IntervalName } from "./interval.ts";
import { asInterval, intervalOf } from "./interval.ts";
import type { Letter, NoteHead, NoteName, PitchName } from "./names.ts";
import {
  asPair,
  capitalised,
  given,
  headName,
  isPair,
  LETTER_SEMITONES,
  LETTERS,
  meant,
  modulo,
  oneOf,
  readNote,
  readNoteHead,
  refusal,
} from "./names.ts";

/**
 * A spelled pitch: two integers above C0, so that E♭4 is not D♯4.
 *
 * Source: Meredith, D. (2006), The ps13 pitch spelling algorithm, Journal of New Music Research 35(2),
 * 121–159, whose morphetic and chromatic pitch these are (there counted from A0).
 */
export interface Pitch {
  readonly kind: "pitch";
  /** Diatonic steps (letters and octaves) above C0: D0 is 1, C1 is 7. */
  readonly steps: number;
  /** Semitones above C0: C4 is 48 (MIDI 60). */
  readonly semitones: number;
}

/** The key that a pitch is played on. */
export type KeyColour = "black" | "white";

const MIDI_OF_C0 = 12;

/** Builds a pitch from its two integers; the ground that every other maker stands on. */
export const asPitch = (steps: number, semitones: number): Pitch => asPair("pitch", steps, semitones);

// Beyond the ends of any keyboard, and small enough that no sum of pitches grows past what is exact.
const FARTHEST = 1000;

/** Whether a value is a pitch that a reader of music can be asked about. */
export const isPitch = (value: unknown): value is Pitch =>
  isPair("pitch", value) && Math.abs(value.steps) <= FARTHEST && Math.abs(value.semitones) <= FARTHEST;

/** The pitch that an argument is, or whose name it is. */
export const pitchOf = (p: Pitch | PitchName): Pitch => given("pitch", p, parsePitch);

/**
 * The pitch of a name that the type checker has read.
 *
 * @param name - letter, accidentals (up to three), octave from -1 to 9; C4 is middle C
 * @returns the spelled pitch
 * @throws MusicError `pitch/name` when the name can't be read (only possible past the type checker)
 *
 * @example
 * ```ts
 * import { pitch } from "hands-together";
 *
 * pitch("Eb4"); // => { kind: "pitch", steps: 30, semitones: 51 }
 * // @ts-expect-error H is no letter of the English note names
 * const wrong = () => pitch("H4");
 * ```
 */
export function pitch(name: PitchName): Pitch {
  return parsePitch(name);
}

/**
 * Reads a pitch name from any text: ASCII (`Eb4`, `F##3`) or signs (`E♭4`, `F𝄪3`).
 *
 * @param text - letter in upper case, accidentals, octave from -1 to 9
 * @returns the spelled pitch
 * @throws MusicError `pitch/name` when the text is not a pitch
 *
 * @example
 * ```ts
 * import { parsePitch, pitchName } from "hands-together";
 *
 * pitchName(parsePitch("B𝄫3")); // => "Bbb3"
 * ```
 */
export function parsePitch(text: string): Pitch {
  const read = readPitch(text);
  if (read !== undefined) return read;
  throw refusal(
    "name",
    text,
    "a pitch such as Eb4: a letter A to G in upper case, accidentals, an octave from -1 to 9",
    pitchHint(text),
  );
}

const readPitch = (text: unknown): Pitch | undefined => {
  const head = readNoteHead(text);
  return head !== undefined && /^(-1|\d)$/.test(head.rest) ? atOctave(head, Number(head.rest)) : undefined;
};

/** Whether a value is the name of a pitch. */
export const readsPitch = (value: unknown): value is PitchName =>
  typeof value === "string" && readPitch(value) !== undefined;

const pitchHint = (text: unknown): string | undefined => {
  const raised = capitalised(text);
  return readNoteHead(raised)?.rest === ""
    ? `did you mean ${raised}4?`
    : raised.startsWith("H")
      ? "the English name of H is B"
      : meant(text, (name) => readPitch(name) !== undefined);
};

/** A letter with accidentals in an octave. */
export const atOctave = ({ letter, alteration }: NoteHead, octave: number): Pitch =>
  asPitch(octave * 7 + letter, octave * 12 + (LETTER_SEMITONES[letter] ?? 0) + alteration);

/** A pitch moved up or down by octaves to the lowest that sounds at or above a floor, in semitones above C0. */
export const atOrAbove = (p: Pitch, floor: number): Pitch => {
  const octaves = Math.ceil((floor - p.semitones) / 12);
  return asPitch(p.steps + 7 * octaves, p.semitones + 12 * octaves);
};

/**
 * The letter of a pitch.
 *
 * @example
 * ```ts
 * import { pitch } from "hands-together";
 * import { letterOf } from "hands-together/pitch";
 *
 * letterOf(pitch("Eb4")); // => "E"
 * ```
 */
export function letterOf(p: Pitch | PitchName): Letter {
  return LETTERS[modulo(pitchOf(p).steps, 7)] ?? "C";
}

/**
 * The octave in a pitch's name; it changes at C, so B♯3 sounds above B3 and C♭4 sounds as B3.
 *
 * @example
 * ```ts
 * import { pitch } from "hands-together";
 * import { octaveOf } from "hands-together/pitch";
 *
 * octaveOf(pitch("Cb4")); // => 4
 * ```
 */
export function octaveOf(p: Pitch | PitchName): number {
  return octaveIn(pitchOf(p));
}

/**
 * How far a pitch is raised (positive) or lowered (negative) from its plain letter, in semitones.
 *
 * @example
 * ```ts
 * import { pitch } from "hands-together";
 * import { alterationOf } from "hands-together/pitch";
 *
 * alterationOf(pitch("Bbb3")); // => -2
 * ```
 */
export function alterationOf(p: Pitch | PitchName): number {
  return alterationIn(pitchOf(p));
}

/**
 * The ASCII name of a pitch, as the command line's JSON writes it.
 *
 * @throws MusicError `pitch/unspellable` when the pitch needs more than three accidentals or lies outside octaves -1 to 9
 *
 * @example
 * ```ts
 * import { interval, pitch, pitchName, transpose } from "hands-together";
 *
 * pitchName(transpose(pitch("Gb3"), interval("d5"))); // => "Dbb4"
 * ```
 */
export function pitchName(p: Pitch | PitchName): PitchName {
  const own = pitchOf(p);
  const octave = OCTAVES.find((o) => o === octaveIn(own));
  if (octave === undefined) throw unspellable(own, "octaves -1 to 9");
  return `${noteName(own)}${octave}`;
}

/**
 * The ASCII name of a pitch without its octave.
 *
 * @throws MusicError `pitch/unspellable` when the pitch needs more than three accidentals
 *
 * @example
 * ```ts
 * import { noteName, pitch } from "hands-together";
 *
 * noteName(pitch("F#2")); // => "F#"
 * ```
 */
export function noteName(p: Pitch | PitchName): NoteName {
  const own = pitchOf(p);
  const alteration = alterationIn(own);
  if (Math.abs(alteration) > 3) throw unspellable(own, "at most three accidentals");
  return headName({ letter: modulo(own.steps, 7), alteration });
}

const OCTAVES = [-1, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9] as const;

const octaveIn = (p: Pitch): number => Math.floor(p.steps / 7);

const alterationIn = (p: Pitch): number => p.semitones - 12 * octaveIn(p) - (LETTER_SEMITONES[modulo(p.steps, 7)] ?? 0);

const unspellable = (p: Pitch, expected: string): Error =>
  refusal("unspellable", p, `a pitch that can be written with ${expected}`, "respell it", "cannot-be-done");

/**
 * The printed name of a pitch or of a note name, with ♯ and ♭, twice for double accidentals: their own signs are missing in many fonts.
 *
 * @param p - a pitch, or the name of a note or pitch in ASCII
 * @throws MusicError `pitch/unspellable` when the pitch needs more than three accidentals
 *
 * @example
 * ```ts
 * import { formatPitch, pitch } from "hands-together";
 *
 * formatPitch(pitch("Eb4")); // => "E♭4"
 * formatPitch("F##"); // => "F♯♯"
 * ```
 */
export function formatPitch(p: Pitch | PitchName | NoteName): string {
  const head = readNoteHead(p);
  const name = head?.rest === "" ? headName(head) : pitchName(typeof p === "string" ? parsePitch(p) : p);
  return name.replace(/b/g, "♭").replace(/#/g, "♯");
}

/**
 * The MIDI note number of a pitch; C4 is 60.
 *
 * Source: MIDI 1.0 Detailed Specification (MIDI Manufacturers Association), middle C = note 60; the octave
 * number 4 for middle C is the scientific one.
 *
 * @throws MusicError `pitch/midi-range` outside 0 to 127
 *
 * @example
 * ```ts
 * import { midiNumber, pitch } from "hands-together";
 *
 * midiNumber(pitch("C4")); // => 60
 * ```
 */
export function midiNumber(p: Pitch | PitchName): number {
  const number = pitchOf(p).semitones + MIDI_OF_C0;
  if (number < 0 || number > 127)
    throw refusal("midi-range", p, "a pitch from MIDI note 0 (C-1) to 127 (G9)", undefined, "cannot-be-done");
  return number;
}

/**
 * The colour of the piano key that a pitch is played on.
 *
 * @example
 * ```ts
 * import { pitch } from "hands-together";
 * import { keyColour } from "hands-together/pitch";
 *
 * keyColour(pitch("Eb4")); // => "black"
 * keyColour(pitch("Fb4")); // => "white"
 * ```
 */
export function keyColour(p: Pitch | PitchName): KeyColour {
  return [1, 3, 6, 8, 10].includes(modulo(pitchOf(p).semitones, 12)) ? "black" : "white";
}

/**
 * A pitch moved by an interval, spelled: vector addition of steps and semitones.
 *
 * @example
 * ```ts
 * import { interval, pitch, pitchName, transpose } from "hands-together";
 *
 * pitchName(transpose(pitch("Bb3"), interval("M9"))); // => "C5"
 * pitchName(transpose(pitch("C4"), interval("-m3"))); // => "A3"
 * ```
 */
export function transpose(p: Pitch | PitchName, by: Interval | IntervalName): Pitch {
  const [from, way] = [pitchOf(p), intervalOf(by)];
  return asPitch(from.steps + way.steps, from.semitones + way.semitones);
}

/**
 * The interval that leads from one pitch to another; `transpose(from, intervalBetween(from, to))` is `to`.
 *
 * @example
 * ```ts
 * import { pitch } from "hands-together";
 * import { intervalBetween, intervalName } from "hands-together/pitch";
 *
 * intervalName(intervalBetween(pitch("C4"), pitch("Ab4"))); // => "m6"
 * ```
 */
export function intervalBetween(from: Pitch | PitchName, to: Pitch | PitchName): Interval {
  const [low, high] = [pitchOf(from), pitchOf(to)];
  return asInterval(high.steps - low.steps, high.semitones - low.semitones);
}

/**
 * The same key under the neighbouring letter, `"up"` (C♯ becomes D♭) or `"down"` (D♭ becomes C♯).
 *
 * @example
 * ```ts
 * import { pitch, pitchName } from "hands-together";
 * import { respell } from "hands-together/pitch";
 *
 * pitchName(respell(pitch("B3"), "up")); // => "Cb4"
 * ```
 */
export function respell(p: Pitch | PitchName, direction: "up" | "down"): Pitch {
  const { steps, semitones } = pitchOf(p);
  return asPitch(steps + (oneOf(["up", "down"], direction) === "up" ? 1 : -1), semitones);
}

/**
 * Spells a MIDI note with one plain letter, sharp or flat.
 *
 * @param number - MIDI note, 0 to 127
 * @param prefer - how black keys are named
 * @throws MusicError `pitch/midi-range` when the number is no MIDI note
 *
 * @example
 * ```ts
 * import { pitchFromMidi, pitchName } from "hands-together";
 *
 * pitchName(pitchFromMidi(63, "flats")); // => "Eb4"
 * ```
 */
export function pitchFromMidi(number: number, prefer: "sharps" | "flats"): Pitch {
  return spellFrom(number, oneOf(["sharps", "flats"], prefer) === "sharps" ? -1 : -6);
}

/** Spells a MIDI note by the twelve names that start at a place on the line of fifths. */
export const spellFrom = (number: number, lowest: number): Pitch => {
  if (!Number.isInteger(number) || number < 0 || number > 127)
    throw refusal("midi-range", number, "a MIDI note number from 0 to 127");
  return atOrAbove(atOctave(headAtFifths(modulo(7 * number - lowest, 12) + lowest), 0), number - MIDI_OF_C0);
};

/** The letter and accidentals at a place on the line of fifths, C at 0; each sharp adds seven. */
export const headAtFifths = (fifths: number): NoteHead => ({
  letter: modulo(4 * fifths, 7),
  alteration: Math.floor((fifths + 1) / 7),
});

/**
 * The pitch of a note name that lies in a given named octave.
 *
 * @param note - a note name without octave
 * @param octave - the octave of its letter, -1 to 9
 * @throws MusicError `pitch/name` when the name or octave can't be read
 *
 * @example
 * ```ts
 * import { pitchName } from "hands-together";
 * import { pitchInOctave } from "hands-together/pitch";
 *
 * pitchName(pitchInOctave("Bb", 2)); // => "Bb2"
 * ```
 */
export function pitchInOctave(note: NoteName, octave: number): Pitch {
  const head = readNote(note);
  if (OCTAVES.some((o) => o === octave)) return atOctave(head, octave);
  throw refusal("name", octave, "an octave from -1 to 9");
}

/**
 * The lowest pitch of a given name that sounds at or above a floor.
 *
 * @example
 * ```ts
 * import { pitch, pitchName } from "hands-together";
 * import { pitchAtOrAbove } from "hands-together/pitch";
 *
 * pitchName(pitchAtOrAbove("D", pitch("E2"))); // => "D3"
 * ```
 */
export function pitchAtOrAbove(note: NoteName, floor: Pitch | PitchName): Pitch {
  return atOrAbove(atOctave(readNote(note), 0), pitchOf(floor).semitones);
}

/**
 * Orders pitches from low to high by key, then by letter; for `Array.prototype.sort`.
 *
 * @example
 * ```ts
 * import { pitch, pitchName } from "hands-together";
 * import { comparePitches } from "hands-together/pitch";
 *
 * [pitch("G4"), pitch("E4")].sort(comparePitches).map(pitchName); // => ["E4", "G4"]
 * ```
 */
export function comparePitches(a: Pitch | PitchName, b: Pitch | PitchName): number {
  const [one, other] = [pitchOf(a), pitchOf(b)];
  return one.semitones - other.semitones || one.steps - other.steps;
}
