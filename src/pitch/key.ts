import type { Interval, IntervalName } from "./interval.ts";
import { asInterval, intervalOf } from "./interval.ts";
import type { NoteHead, NoteName } from "./names.ts";
import { headName, isNoteName, meant, modulo, readNote, readNoteHead, refusal } from "./names.ts";
import type { Pitch } from "./pitch.ts";
import { atOctave, headAtFifths, spellFrom } from "./pitch.ts";

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

/**
 * The place of a note name on the line of fifths, C at 0, G at 1, F at -1.
 *
 * @throws MusicError `pitch/name` when the text is no note name
 *
 * @example
 * ```ts
 * import { fifthsOf } from "hands-together/pitch";
 *
 * fifthsOf("Eb"); // => -3
 * ```
 */
export function fifthsOf(note: NoteName): number {
  return fifthsAway(notePitch(note));
}

// A fifth is 4 steps and 7 semitones, an octave 7 and 12: 7·7 - 12·4 = 1 and 7·12 - 12·7 = 0, so this counts fifths and no octaves.
const fifthsAway = (i: Interval | Pitch): number => 7 * i.semitones - 12 * i.steps;

const notePitch = (note: NoteName): Pitch => atOctave(readNote(note), 0);

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
  return headName(readNote(text));
}

/**
 * A note name moved by an interval, octave left aside.
 *
 * @throws MusicError `pitch/name` for no note name, `pitch/unspellable` when the result needs more than three accidentals
 *
 * @example
 * ```ts
 * import { interval } from "hands-together";
 * import { transposeNote } from "hands-together/pitch";
 *
 * transposeNote("Gb", interval("d5")); // => "Dbb"
 * ```
 */
export function transposeNote(note: NoteName, by: Interval | IntervalName): NoteName {
  const head = headAtFifths(fifthsOf(note) + fifthsAway(intervalOf(by)));
  if (Math.abs(head.alteration) > 3)
    throw refusal(
      "unspellable",
      note,
      "a note that stays within three accidentals",
      "respell the root",
      "cannot-be-done",
    );
  return headName(head);
}

/**
 * The rising interval within an octave from one note name to another.
 *
 * @throws MusicError `pitch/name` when either is no note name
 *
 * @example
 * ```ts
 * import { intervalName, noteInterval } from "hands-together/pitch";
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

/**
 * The pitch class of a note name: semitones above C, 0 to 11.
 *
 * @throws MusicError `pitch/name` when the text is no note name
 *
 * @example
 * ```ts
 * import { pitchClassOf } from "hands-together/pitch";
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
  const read = readKey(text);
  if (read === undefined)
    throw refusal(
      "key",
      text,
      "a key such as Eb, F# or C minor",
      meant(typeof text === "string" ? text.trim() : text, readKey),
    );
  const tonic = headName(read.head);
  const fifths = signatureOf(tonic, read.mode);
  if (Math.abs(fifths) > 7) {
    const twin = headName(headAtFifths(fifthsOf(tonic) - Math.sign(fifths) * 12));
    throw refusal("key", text, "a key with at most seven sharps or flats", `its twin is ${twin} ${read.mode}`);
  }
  return { kind: "key", tonic, mode: read.mode, fifths };
}

const signatureOf = (tonic: NoteName, mode: KeyMode): number => fifthsOf(tonic) - (mode === "minor" ? 3 : 0);

const readKey = (text: unknown): { head: NoteHead; mode: KeyMode } | undefined => {
  const head = readNoteHead(typeof text === "string" ? text.trim() : text);
  if (head === undefined) return undefined;
  const mode = /^\s*(maj(or)?)?$/i.test(head.rest)
    ? "major"
    : /^(m|\s*min(or)?)$/.test(head.rest)
      ? "minor"
      : undefined;
  return mode && { head, mode };
};

/** Whether a value is a key whose signature is that of its name. */
export const isKey = (value: unknown): value is Key => {
  const { kind, tonic, mode, fifths }: Partial<Key> = Object(value);
  return (
    kind === "key" &&
    isNoteName(tonic) &&
    (mode === "major" || mode === "minor") &&
    fifths === signatureOf(tonic, mode) &&
    Math.abs(fifths) <= 7
  );
};

/** The key that an argument is, or that its text names. */
export const keyOf = (key: Key | string): Key => {
  if (typeof key === "string") return parseKey(key);
  if (isKey(key)) return key;
  throw refusal("argument", key, "a key or its name");
};

/**
 * The name of a key in ASCII, as {@link parseKey} reads it.
 *
 * @throws MusicError `pitch/key` when a text is no key
 *
 * @example
 * ```ts
 * import { keyName, parseKey } from "hands-together/pitch";
 *
 * keyName(parseKey("Cm")); // => "C minor"
 * keyName(parseKey("E♭")); // => "Eb major"
 * ```
 */
export function keyName(key: Key | string): string {
  const { tonic, mode } = keyOf(key);
  return `${tonic} ${mode}`;
}

/**
 * The notes that a key signature alters, in the order in which they are printed.
 *
 * @example
 * ```ts
 * import { parseKey } from "hands-together";
 * import { signatureNotes } from "hands-together/pitch";
 *
 * signatureNotes(parseKey("Eb")); // => ["Bb", "Eb", "Ab"]
 * ```
 */
export function signatureNotes(key: Key | string): readonly NoteName[] {
  const { fifths } = keyOf(key);
  return Array.from({ length: Math.abs(fifths) }, (_, i) => headName(headAtFifths(fifths > 0 ? 6 + i : -2 - i)));
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
 * import { parseKey, pitchName } from "hands-together";
 * import { spellInKey } from "hands-together/pitch";
 *
 * pitchName(spellInKey(61, parseKey("Ab"))); // => "Db4"
 * pitchName(spellInKey(61, parseKey("A"))); // => "C#4"
 * ```
 */
export function spellInKey(number: number, key: Key | string): Pitch {
  return spellFrom(number, keyOf(key).fifths + 2 - 6);
}
