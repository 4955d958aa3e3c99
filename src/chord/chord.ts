import type { Degree, NoteName } from "../pitch/index.ts";

/** One tone of a chord: its degree against the root and its spelled name. */
export interface ChordTone {
  readonly degree: Degree;
  readonly note: NoteName;
}

/** A chord symbol that has been read and spelled. */
export interface Chord {
  readonly kind: "chord";
  /** The symbol as it was written. */
  readonly symbol: string;
  /** The same chord in the library's own ASCII spelling, such as `"Dm7"` or `"G7(b9)/B"`. */
  readonly canonical: string;
  readonly root: NoteName;
  /** The lowest note: the root unless a slash names another. */
  readonly bass: NoteName;
  /** Every tone, by rising degree from the root; a slash bass that is no chord tone is not among them. */
  readonly tones: readonly ChordTone[];
}
