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
export const LETTERS: readonly Letter[] = ["C", "D", "E", "F", "G", "A", "B"];

const ACCIDENTALS: readonly Accidental[] = ["bbb", "bb", "b", "", "#", "##", "###"];

/** The ASCII accidental of an alteration from -3 to 3. */
export const accidentalText = (alteration: number): Accidental => ACCIDENTALS[alteration + 3] as Accidental;

/** A letter with accidentals at the start of a text, and what follows it. */
export interface NoteHead {
  /** Index of the letter from C. */
  readonly letter: number;
  readonly alteration: number;
  readonly rest: string;
}

// One sign or a run of equal signs; a mixture such as "b#" is no accidental.
const ACCIDENTAL = /^(?:𝄫♭|♭𝄫|𝄪♯|♯𝄪|𝄫b|𝄪#|𝄫|𝄪|♭{1,3}|♯{1,3}|b{1,3}|#{1,3}|x|♮)?/u;

/** Reads the accidentals at the start of a text: the alteration in semitones and the characters used. */
export const readAccidental = (text: string): { readonly alteration: number; readonly length: number } => {
  const sign = ACCIDENTAL.exec(text)?.[0] ?? "";
  let alteration = 0;
  for (const s of sign) {
    if (s === "b" || s === "♭") alteration -= 1;
    else if (s === "#" || s === "♯") alteration += 1;
    else if (s === "𝄫") alteration -= 2;
    else if (s === "𝄪" || s === "x") alteration += 2;
  }
  return { alteration, length: sign.length };
};

/** Reads a letter with accidentals; `undefined` where no letter A to G in upper case stands. */
export const readNoteHead = (text: string): NoteHead | undefined => {
  const letter = LETTERS.indexOf(text.charAt(0) as Letter);
  if (letter < 0) return undefined;
  const { alteration, length } = readAccidental(text.slice(1, 8));
  return { letter, alteration, rest: text.slice(1 + length) };
};
