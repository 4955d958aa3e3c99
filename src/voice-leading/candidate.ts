import type { NoteName, Pitch } from "../pitch/index.ts";

/** One way to play a chord, among which a path chooses; a `Voicing` is one. */
export interface VoicingCandidate {
  readonly pitches: readonly Pitch[];
  /**
   * The notes whose motion counts, where a bass note moves by a rule of its own.
   *
   * @defaultValue `pitches`
   */
  readonly upper?: readonly Pitch[] | undefined;
  /** Name of its form, for `first`, `last` and `forbid`. */
  readonly form?: string | undefined;
  /** `"A"`, `"B"` or another layout, for `alternate`. */
  readonly label?: string | undefined;
  /**
   * Semitones from the middle of its register, counted by halves.
   *
   * @defaultValue `0`
   */
  readonly offMiddle?: number | undefined;
  /** Semitones beyond the comfortable part of its register. @defaultValue `0` */
  readonly outside?: number | undefined;
  /** How many of its intervals lie below their low-interval limit. @defaultValue `0` */
  readonly mud?: number | undefined;
  /** The chord it plays: its symbol for messages, its bass for contrary motion. */
  readonly chord?: { readonly symbol: string; readonly bass?: NoteName | undefined } | undefined;
}

/** The notes of a candidate whose motion counts. */
export const moving = (candidate: VoicingCandidate): readonly Pitch[] => candidate.upper ?? candidate.pitches;
