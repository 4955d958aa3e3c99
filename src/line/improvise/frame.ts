import type { NoteEvent } from "../../event/index.ts";
import type { Grid } from "../grid.ts";
import type { PhraseRuleRow } from "../rules/rule.ts";
import type { Idiom, VocabularyRow } from "../vocabulary.ts";
import type { Grade } from "./grades.ts";
import type { Model } from "./model.ts";
import type { PlannedPhrase } from "./plan.ts";
import type { Settings } from "./setting.ts";

/** The vocabulary of a line, ready to be looked up. */
export interface Figures {
  readonly rows: readonly VocabularyRow[];
  /** The intervals of each. */
  readonly steps: readonly (readonly number[])[];
}

/** What a line is composed in. */
export interface Frame {
  readonly model: Model;
  readonly settings: Settings;
  readonly grid: Grid;
  /** Quarter notes a minute. */
  readonly tempo: number;
  readonly level: 1 | 2 | 3 | 4 | 5;
  readonly grade: Grade;
  /** MIDI notes. */
  readonly low: number;
  readonly high: number;
  /** Pitch class of the scale's tonic. */
  readonly tonic: number;
  readonly voicings: readonly NoteEvent[];
  readonly rules: readonly PhraseRuleRow[];
  readonly figures: Figures;
  /** Whether the likeliest line is wanted, instead of one drawn by chance. */
  readonly likeliest: boolean;
}

/** A phrase with what the seed has settled of it. */
export interface Brief {
  readonly phrase: PlannedPhrase;
  readonly idiom: Idiom;
  /** By pitch class: whether it is one of the notes that the phrase is made from, besides those of the chords; undefined for any. */
  readonly palette: Uint8Array | undefined;
  /** Whether its dominants may go without their thirds. */
  readonly bare: boolean;
  /** Whether it is the last of all. */
  readonly closes: boolean;
}
