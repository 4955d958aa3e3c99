import type { MusicErrorReason } from "../ground/errors.ts";
import { MusicError } from "../ground/errors.ts";

/** The seven letters of the English note names. */
export type Letter = "C" | "D" | "E" | "F" | "G" | "A" | "B";
/** Accidentals in ASCII; a third sign is needed by chords on roots such as F♭ (its diminished seventh is E𝄫♭). */
export type Accidental = "" | "b" | "bb" | "bbb" | "#" | "##" | "###";
/** A note name without octave, as in `"Eb"`. */
export type NoteName = `${Letter}${Accidental}`;
/** The octaves of scientific pitch names that MIDI covers. */
export type Octave = -1 | 0 | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9;
/** A pitch name with octave, as in `"Eb4"`; middle C is C4. */
export type PitchName = `${NoteName}${Octave}`;

/** Letters in the order of the white keys from C. */
export const LETTERS = ["C", "D", "E", "F", "G", "A", "B"] as const;

/** Semitones of the letters above C: the major scale. */
export const LETTER_SEMITONES: readonly number[] = [0, 2, 4, 5, 7, 9, 11];

/** Remainder that is never negative. */
export const modulo = (n: number, m: number): number => ((n % m) + m) % m;

/** An error of this folder. */
export const refusal = (
  what: string,
  input: unknown,
  expected: string,
  hint?: string,
  reason?: MusicErrorReason,
): MusicError => new MusicError({ code: `pitch/${what}`, input, expected, hint, reason });

/** The two integers of a pitch or an interval, with what they make. */
interface Pair<K extends "pitch" | "interval"> {
  readonly kind: K;
  readonly steps: number;
  readonly semitones: number;
}

/** Whether a value is a pitch, or an interval. */
export const isPair = <K extends "pitch" | "interval">(kind: K, value: unknown): value is Pair<K> => {
  if (typeof value !== "object" || value === null) return false;
  const pair: Partial<Pair<K>> = value;
  return pair.kind === kind && Number.isSafeInteger(pair.steps) && Number.isSafeInteger(pair.semitones);
};

/** A pitch or an interval of its two integers. */
export const asPair = <K extends "pitch" | "interval">(kind: K, steps: number, semitones: number): Pair<K> => {
  // A sum that is no longer exact; zero has one sign only.
  if (Number.isSafeInteger(steps) && Number.isSafeInteger(semitones))
    return { kind, steps: steps + 0, semitones: semitones + 0 };
  throw refusal("integer", { steps, semitones }, "whole numbers of steps and semitones");
};

/** The pitch or interval that an argument is, or that its text says. */
export const given = <K extends "pitch" | "interval">(
  kind: K,
  value: Pair<K> | string,
  read: (text: string) => Pair<K>,
): Pair<K> => {
  if (isPair(kind, value)) return value;
  if (typeof value === "string") return read(value);
  throw refusal("argument", value, `a spelled ${kind} or its name`);
};

/** The argument, if it is one of these words. */
export const oneOf = <T extends string>(words: readonly T[], value: T): T => {
  if (words.includes(value)) return value;
  throw refusal("argument", value, words.join(" or "));
};

/** A letter with accidentals. */
export interface NoteHead {
  /** Index of the letter from C. */
  readonly letter: number;
  readonly alteration: number;
}

const NATURAL = 3;
const SIGNS = ["bbb", "bb", "b", "", "#", "##", "###"] as const;

/** The ASCII name of a letter with accidentals, at most three. */
export const headName = ({ letter, alteration }: NoteHead): NoteName =>
  `${LETTERS[letter] ?? "C"}${SIGNS[alteration + NATURAL] ?? ""}`;

const ORDER: readonly string[] = LETTERS;

// One sign or a run of equal signs, or nothing, at the start of a text; a mixture such as "b#" is no accidental.
const HEAD = /^([A-G])((?:𝄫[♭b]?|♭𝄫|𝄪[♯#]?|♯𝄪|([♭♯b#])\3{0,2}|x|♮)?)/u;
const RAISES: Readonly<Record<string, number>> = { "𝄫": -2, "♭": -1, b: -1, "♯": 1, "#": 1, x: 2, "𝄪": 2 };

/** Whether a value is a note name in ASCII. */
export const isNoteName = (value: unknown): value is NoteName =>
  typeof value === "string" && /^[A-G](b{0,3}|#{0,3})$/.test(value);

/** Reads a letter with accidentals and leaves the rest; `undefined` where no letter A to G in upper case stands. */
export const readNoteHead = (text: unknown): (NoteHead & { readonly rest: string }) | undefined => {
  if (typeof text !== "string") return undefined;
  const [head = "", letter = "", sign = ""] = HEAD.exec(text) ?? [];
  let alteration = 0;
  for (const s of sign) alteration += RAISES[s] ?? 0;
  return head ? { letter: ORDER.indexOf(letter), alteration, rest: text.slice(head.length) } : undefined;
};

/** Reads a note name without octave. */
export const readNote = (text: string): NoteHead => {
  const head = readNoteHead(text);
  if (head?.rest === "") return head;
  throw refusal(
    "name",
    text,
    "a note name such as Eb, without an octave: a letter A to G in upper case, then accidentals",
    meant(text, (raised) => readNoteHead(raised)?.rest === ""),
  );
};

/** A text with its first letter in upper case; empty for what is no text. */
export const capitalised = (text: unknown): string =>
  typeof text === "string" ? text.charAt(0).toUpperCase() + text.slice(1) : "";

/** The hint for a refused name that only lacks its capital. */
export const meant = (text: unknown, reads: (name: string) => unknown): string | undefined => {
  const name = capitalised(text);
  return reads(name) ? `did you mean ${name}?` : undefined;
};
