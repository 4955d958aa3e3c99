import { nth } from "../ground/list.ts";
import type { Key, Pitch } from "../pitch/index.ts";
import { alterationOf, letterOf, signatureNotes } from "../pitch/index.ts";
import type { LaidOutNote, LaidOutVoice } from "../score/index.ts";
import { compareBeats } from "../time/index.ts";

/** An accidental to print: its name in MusicXML 4.0 (`accidental-value`), and whether it only reminds. */
export interface PrintedAccidental {
  readonly value: string;
  readonly cautionary: boolean;
}

/** Accidentals of one printed note: one entry a grace note and one a pitch, undefined for none. */
export interface NoteAccidentals {
  readonly graces: readonly (PrintedAccidental | undefined)[];
  readonly pitches: readonly (PrintedAccidental | undefined)[];
}

/** The lines and spaces of a staff (diatonic steps above C0) that a bar left altered against the signature. */
export type StaffMemory = ReadonlyMap<number, number>;

const VALUES = ["triple-flat", "flat-flat", "flat", "natural", "sharp", "double-sharp", "triple-sharp"] as const;

/** Letters altered by a signature, in semitones. */
export const signatureOf = (key: Key): ReadonlyMap<string, number> =>
  new Map(signatureNotes(key).map((note) => [note.charAt(0), key.fifths > 0 ? 1 : -1]));

/**
 * Which accidentals one bar of a staff needs.
 *
 * An accidental holds for its line to the end of the bar, in all voices; a note tied over a bar line needs none. A reminder is printed
 * where the line was altered in the bar before, or the same letter is altered otherwise in another octave of this bar. Source: common
 * practice, as in Gould, E. (2011), Behind Bars, "Accidentals" (cited from memory).
 */
export const accidentalsOf = (
  voices: readonly LaidOutVoice[],
  signature: ReadonlyMap<string, number>,
  before: StaffMemory,
): { readonly marks: ReadonlyMap<LaidOutNote, NoteAccidentals>; readonly after: StaffMemory } => {
  const inForce = new Map<number, number>();
  const seen = new Map<number, number>();
  const mark = (p: Pitch, tied: boolean): PrintedAccidental | undefined => {
    const alter = alterationOf(p);
    const plain = signature.get(letterOf(p)) ?? 0;
    const current = inForce.get(p.steps) ?? plain;
    const value = nth(VALUES, alter + 3);
    if (tied) return undefined;
    const first = !seen.has(p.steps);
    seen.set(p.steps, alter);
    if (alter !== current) {
      inForce.set(p.steps, alter);
      return { value, cautionary: false };
    }
    const lately = before.get(p.steps);
    const otherOctave = [...seen].some(
      ([steps, other]) => steps !== p.steps && (steps - p.steps) % 7 === 0 && other !== alter,
    );
    return first && ((lately !== undefined && lately !== alter) || otherOctave)
      ? { value, cautionary: true }
      : undefined;
  };
  const notes = voices
    .flat()
    .filter((piece) => piece.kind === "note")
    .sort((a, b) => compareBeats(a.at, b.at));
  const marks = new Map<LaidOutNote, NoteAccidentals>();
  for (const note of notes) {
    const graces = note.tiedFrom ? [] : (note.event.graces ?? []).map((grace) => mark(grace.pitch, false));
    marks.set(note, { graces, pitches: note.event.pitches.map((p) => mark(p, note.tiedFrom)) });
  }
  const after = new Map([...seen].filter(([steps, alter]) => alter !== (signature.get(letterAt(steps)) ?? 0)));
  return { marks, after };
};

const letterAt = (steps: number): string => "CDEFGAB".charAt(((steps % 7) + 7) % 7);
