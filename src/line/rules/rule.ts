import type { HeardLine, HeardNote } from "../heard.ts";

/** Where a rule is broken, and what to try. */
export interface Breach {
  /** The note that is told of. */
  readonly note: HeardNote;
  readonly message: string;
  /** What to try instead. */
  readonly suggestion: string;
  /** How many of a hundred phrases of the corpus are less unusual, where that was counted. */
  readonly percentile?: number | undefined;
}

/** A note of a generated line whose pitch is still open, as a rule sees it. */
export interface OpenNote {
  /** Start and length in quarter notes. */
  readonly at: number;
  readonly duration: number;
  /** Whether it is the first or the last of its phrase. */
  readonly first: boolean;
  readonly last: boolean;
  /** Whether it lasts a beat or more. */
  readonly held: boolean;
  /** Whether it starts on a beat. */
  readonly onBeat: boolean;
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** By pitch class: 2 for a tone of the chord, 1 for a note of the phrase's scale, 0 for others. */
  readonly belongs: Uint8Array;
  /** As `belongs`, over the chord that the note is held into. */
  readonly later: Uint8Array;
  /** By pitch class: 1 where a note that is held would rub against the chord, or against the one that it is held into. */
  readonly sour: Uint8Array;
  /** By pitch class: 1 for the major seventh over a dominant. */
  readonly foreign: Uint8Array;
  /** MIDI notes of the voicings that sound for a beat or more while it does. */
  readonly against: readonly number[];
}

/** A rule of phrasing, in words, as a check, and as what a generated line is held to. */
export interface PhraseRuleRow {
  readonly id: string;
  /** What the rule asks, in a teacher's words. */
  readonly title: string;
  /** `"must"`: what no competent player does; `"unusual"`: what is rare in the corpus, to be heard again on purpose. */
  readonly severity: "must" | "unusual";
  readonly source: string;
  /** Where a line breaks it. */
  readonly check: (line: HeardLine) => readonly Breach[];
  /** What every note of a generated line must be; undefined where anything goes. Pitches are MIDI notes. @defaultValue nothing is asked */
  readonly keep?: ((note: OpenNote) => ((pitch: number) => boolean) | undefined) | undefined;
  /** What must hold from each note of a generated phrase to the next. @defaultValue nothing is asked */
  readonly lead?:
    | ((note: OpenNote, next: OpenNote) => ((pitch: number, next: number) => boolean) | undefined)
    | undefined;
}

export const COMMON = "common practice, no source";

/** The corpus that figures come from, where a rule states some. */
export const CORPUS =
  "Weimar Jazz Database (115 solos in 4/4 up to hard bop; Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat), computed from its note lists";
