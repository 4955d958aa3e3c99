import { MusicError } from "../errors.ts";
import type { NoteName, Letter } from "./names.ts";
import { LETTERS, accidentalText, readNoteHead } from "./names.ts";
import type { Interval } from "./interval.ts";
import { asInterval } from "./interval.ts";
import type { Pitch } from "./pitch.ts";
import { asPitch, modulo } from "./pitch.ts";

/** Major or minor: the two modes that key signatures tell apart by name. */
export type KeyMode = "major" | "minor";

/** A key with a key signature. */
export interface Key {
  readonly kind: "key";
  readonly tonic: NoteName;
  readonly mode: KeyMode;
  /** Sharps (positive) or flats (negative) in the signature, -7 to 7. */
  readonly fifths: number;
}

// Line of fifths: F is -1, C 0, G 1 … B 5; each sharp adds seven.
const FIFTHS_OF_LETTER: Readonly<Record<Letter, number>> = { F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5 };
const LETTERS_BY_FIFTHS: readonly Letter[] = ["F", "C", "G", "D", "A", "E", "B"];

/**
 * The place of a note name on the line of fifths, C at 0, G at 1, F at -1.
 *
 * @throws MusicError `pitch/name` when the text is no note name
 *
 * @example
 * ```ts
 * import { fifthsOf } from "hands-together";
 *
 * fifthsOf("Eb"); // => -3
 * ```
 */
export function fifthsOf(note: NoteName): number {
  const { letter, alteration } = requireNote(note);
  return FIFTHS_OF_LETTER[LETTERS[letter] as Letter] + 7 * alteration;
}

const noteAtFifths = (fifths: number): NoteName => {
  const letter = LETTERS_BY_FIFTHS[modulo(fifths + 1, 7)] as Letter;
  return `${letter}${accidentalText(Math.floor((fifths + 1) / 7))}`;
};

const requireNote = (text: string): { letter: number; alteration: number } => {
  const head = typeof text === "string" ? readNoteHead(text) : undefined;
  if (head === undefined || head.rest !== "") {
    const raised = typeof text === "string" ? text.charAt(0).toUpperCase() + text.slice(1) : "";
    const works = head === undefined && readNoteHead(raised)?.rest === "";
    throw new MusicError({
      code: "pitch/name",
      input: text,
      expected: "a note name: a letter A to G in upper case, then accidentals",
      ...(works ? { hint: `did you mean ${raised}?` } : {}),
    });
  }
  return head;
};

/**
 * Reads a note name without octave, from ASCII or printed signs, to its ASCII form.
 *
 * @throws MusicError `pitch/name` when the text is no note name
 *
 * @example
 * ```ts
 * import { parseNote } from "hands-together";
 *
 * parseNote("B♭"); // => "Bb"
 * ```
 */
export function parseNote(text: string): NoteName {
  const { letter, alteration } = requireNote(text);
  return `${LETTERS[letter] as Letter}${accidentalText(alteration)}`;
}

/**
 * A note name moved by an interval, octave left aside.
 *
 * @throws MusicError `pitch/name` for no note name, `pitch/unspellable` when the result needs more than three accidentals
 *
 * @example
 * ```ts
 * import { interval, transposeNote } from "hands-together";
 *
 * transposeNote("Gb", interval("d5")); // => "Dbb"
 * ```
 */
export function transposeNote(note: NoteName, by: Interval): NoteName {
  const fifths = fifthsOf(note) + intervalFifths(by);
  if (Math.abs(Math.floor((fifths + 1) / 7)) > 3) {
    throw new MusicError({
      code: "pitch/unspellable",
      input: note,
      expected: "a note that stays within three accidentals",
      hint: "respell the root",
      reason: "cannot-be-done",
    });
  }
  return noteAtFifths(fifths);
}

// An interval's place on the line of fifths: f fifths make 4f steps and 7f semitones but for octaves, so
// f = 12·steps - 7·semitones recovers it exactly (12·4 - 7·7 = -1, with the sign turned).
const intervalFifths = (i: Interval): number => 7 * i.semitones - 12 * i.steps;

/**
 * The rising interval within an octave from one note name to another.
 *
 * @throws MusicError `pitch/name` when either is no note name
 *
 * @example
 * ```ts
 * import { intervalName, noteInterval } from "hands-together";
 *
 * intervalName(noteInterval("G", "Db")); // => "d5"
 * ```
 */
export function noteInterval(from: NoteName, to: NoteName): Interval {
  const a = notePitch(from);
  const b = notePitch(to);
  const steps = modulo(b.steps - a.steps, 7);
  const octaves = (steps - (b.steps - a.steps)) / 7;
  return asInterval(steps, b.semitones - a.semitones + 12 * octaves);
}

const notePitch = (note: NoteName): Pitch => {
  const { letter, alteration } = requireNote(note);
  return asPitch(letter, [0, 2, 4, 5, 7, 9, 11][letter] as number + alteration);
};

/**
 * The pitch class of a note name: semitones above C, 0 to 11.
 *
 * @throws MusicError `pitch/name` when the text is no note name
 *
 * @example
 * ```ts
 * import { pitchClassOf } from "hands-together";
 *
 * pitchClassOf("Cb"); // => 11
 * ```
 */
export function pitchClassOf(note: NoteName): number {
  return modulo(notePitch(note).semitones, 12);
}

/**
 * Reads a key: `"Eb"`, `"Eb major"`, `"C minor"` or `"Cm"`.
 *
 * Fifteen major and fifteen minor keys have a signature; the others (G♯ major, say) are refused with their
 * enharmonic twin as a hint.
 *
 * @throws MusicError `pitch/key` when the text is no key, or the key would need double accidentals in its signature
 *
 * @example
 * ```ts
 * import { parseKey } from "hands-together";
 *
 * parseKey("Eb"); // => { kind: "key", tonic: "Eb", mode: "major", fifths: -3 }
 * parseKey("F# minor").fifths; // => 3
 * ```
 */
export function parseKey(text: string): Key {
  const head = typeof text === "string" ? readNoteHead(text.trim()) : undefined;
  const mode = head === undefined ? undefined : readMode(head.rest);
  if (head === undefined || mode === undefined) {
    const raised = typeof text === "string" ? text.trim().charAt(0).toUpperCase() + text.trim().slice(1) : "";
    const raisedHead = readNoteHead(raised);
    const works = head === undefined && raisedHead !== undefined && readMode(raisedHead.rest) !== undefined;
    throw new MusicError({
      code: "pitch/key",
      input: text,
      expected: "a key such as Eb, F# or C minor",
      ...(works ? { hint: `did you mean ${raised}?` } : {}),
    });
  }
  const tonic: NoteName = `${LETTERS[head.letter] as Letter}${accidentalText(head.alteration)}`;
  const fifths = fifthsOf(tonic) - (mode === "minor" ? 3 : 0);
  if (Math.abs(fifths) > 7) {
    const twin = noteAtFifths(fifthsOf(tonic) + (fifths > 0 ? -12 : 12));
    throw new MusicError({
      code: "pitch/key",
      input: text,
      expected: "a key with at most seven sharps or flats",
      hint: `its twin is ${twin} ${mode}`,
    });
  }
  return { kind: "key", tonic, mode, fifths };
}

const readMode = (rest: string): KeyMode | undefined =>
  /^\s*(?:|major|maj)$/i.test(rest) ? "major" : /^(?:m|\s*(?:minor|min))$/.test(rest) ? "minor" : undefined;

/**
 * The notes that a key signature alters, in the order in which they are printed.
 *
 * @example
 * ```ts
 * import { parseKey, signatureNotes } from "hands-together";
 *
 * signatureNotes(parseKey("Eb")); // => ["Bb", "Eb", "Ab"]
 * ```
 */
export function signatureNotes(key: Key): readonly NoteName[] {
  return Array.from({ length: Math.abs(key.fifths) }, (_, i) => noteAtFifths(key.fifths > 0 ? 6 + i : -2 - i));
}

/**
 * The spelling of a MIDI note that lies nearest to a key on the line of fifths; ties go to the flat side.
 *
 * Source: the line-of-fifths preference of Temperley, D. (2001), The Cognition of Basic Musical Structures,
 * ch. 5, reduced to a fixed centre two fifths above the signature (the middle of the key's seven notes).
 *
 * @param number - MIDI note, 0 to 127
 * @throws MusicError `pitch/midi-range` when the number is no MIDI note
 *
 * @example
 * ```ts
 * import { parseKey, pitchName, spellInKey } from "hands-together";
 *
 * pitchName(spellInKey(61, parseKey("Ab"))); // => "Db4"
 * pitchName(spellInKey(61, parseKey("A"))); // => "C#4"
 * ```
 */
export function spellInKey(number: number, key: Key): Pitch {
  if (!Number.isInteger(number) || number < 0 || number > 127) {
    throw new MusicError({ code: "pitch/midi-range", input: number, expected: "a MIDI note number from 0 to 127" });
  }
  const centre = key.fifths + 2;
  const fifths = modulo(7 * number, 12);
  const nearest = fifths + 12 * Math.ceil((centre - fifths) / 12 - 0.5);
  const note = notePitch(noteAtFifths(nearest));
  const octaves = (number - 12 - note.semitones) / 12;
  return asPitch(note.steps + 7 * octaves, note.semitones + 12 * octaves);
}
