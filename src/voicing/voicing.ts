import type { Chord } from "../chord/index.ts";
import type { Hand } from "../event/index.ts";
import type { Degree, Pitch } from "../pitch/index.ts";

/** Something to know about a voicing that was kept all the same. */
export interface VoicingWarning {
  /** A low-interval limit that is bent, a span beyond an octave, or a slash bass that the form leaves to someone else. */
  readonly kind: "low-interval" | "wide-span" | "slash-bass";
  readonly message: string;
}

/** A chord laid out on the keyboard. */
export interface Voicing {
  readonly kind: "voicing";
  readonly chord: Chord;
  /** Id of its row. */
  readonly form: string;
  /** The family of its row. */
  readonly style: string;
  /** `"A"`, `"B"`, or the name of another layout. */
  readonly label: string;
  /** One a pitch, in the same order. */
  readonly degrees: readonly Degree[];
  /** All notes from low to high, a bass note first. */
  readonly pitches: readonly Pitch[];
  /** The bass note that is struck by itself, in forms that have one. */
  readonly bass?: Pitch;
  /** What is struck as a chord: all notes but the bass. */
  readonly upper: readonly Pitch[];
  /** One a pitch, in the same order. */
  readonly hands: readonly Hand[];
  /** How far its lowest note but the bass lies from its place in the middle of the register, in semitones by halves. */
  readonly offMiddle: number;
  /**
   * Semitones beyond the comfortable part of its register, which leaves out the upper third of a window for the top note: for rootless
   * forms, whose top lies from C4 to C5, it ends at A4.
   */
  readonly outside: number;
  /** How many of its intervals lie below their low-interval limit. */
  readonly mud: number;
  readonly warnings: readonly VoicingWarning[];
  /** Degrees that the symbol names and its form has no room for; none in a rootless form of a chord that names one or two. */
  readonly leftOut: readonly Degree[];
}
