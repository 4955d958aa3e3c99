import type { Hand } from "../event/index.ts";
import type { Degree, PitchName } from "../pitch/index.ts";

/** The families of voicings; each groups rows of the catalogue. */
export type VoicingStyle =
  | "guide-tones"
  | "shell"
  | "two-note-shell"
  | "rootless"
  | "three-note-rootless"
  | "close"
  | "drop-2"
  | "fourths"
  | "tenth"
  | "spread";

/**
 * A tone by its part in the chord: `"third"` is the 3rd, or the 4th or 2nd of a suspended chord; `"fifth"` the
 * 5th, plain or altered, or the ♭13 that stands for it; `"seventh"` the 7th, or the 6th of a sixth chord.
 */
export type ChordRole = "third" | "fifth" | "seventh";

/** Which chords a form serves: those with all of `has` and none of `not`. */
export interface ChordPattern {
  /** Degrees that the chord must have. */
  readonly has?: readonly Degree[];
  /** Degrees that the chord must not have. */
  readonly not?: readonly Degree[];
}

/** Neighbouring notes of a form that one hand strikes together. */
export interface HandGroup {
  readonly hand: Hand;
  /** How many notes, counted on from the group below. */
  readonly notes: number;
  /** A bass note struck by itself, before or under the rest, and placed in the bass range. */
  readonly bass?: true;
}

/** Where a form is placed: one of its notes lies from `from` to `to`, both included. */
export interface Register {
  /** The note that the window holds. The bass of a shell has a range of its own and doesn't count. */
  readonly of: "top" | "lowest";
  readonly from: PitchName;
  readonly to: PitchName;
  /**
   * Semitones from the lowest note to the one that the window holds in a usual voicing: the lowest note, a 3rd or 7th
   * more often than not, says how near the middle a voicing lies, so that a 13th on top is no farther off than a 9th.
   */
  readonly width: number;
}

/** A row of the voicing catalogue: one way to lay out a kind of chord. */
export interface VoicingRow {
  /** Unique name, such as `"rootless-m9-a"`. */
  readonly id: string;
  /** What a teacher would call it. */
  readonly title: string;
  readonly style: VoicingStyle;
  /** `"A"` with the 3rd at the bottom (of the notes over a bass), `"B"` with the 7th; other forms name their layout. */
  readonly label: string;
  /** From low to high; each note is the nearest of its name above the one before. */
  readonly degrees: readonly (Degree | ChordRole)[];
  /** The chords it is for: any of these. Beside them, each of its degrees must be a tone of the chord or a declared tension. */
  readonly serves: readonly ChordPattern[];
  /** Degrees that it may add to a symbol that names no other alteration of them. */
  readonly tensions: readonly Degree[];
  /** Which hand plays what, from low to high. */
  readonly groups: readonly HandGroup[];
  readonly register: Register;
  /** It sounds a note in two octaves on purpose. */
  readonly doubled?: true;
  /** Its two lowest notes may lie a semitone apart. */
  readonly semitoneAtBottom?: true;
  /** Left out of its style; used only when `forms` names it. */
  readonly onRequest?: true;
  /** Where it is published, or "common practice, no source". */
  readonly source: string;
}

/** The left hand in the middle of the keyboard: the top note, the thumb's, between C4 and C5. */
export const LEFT_HAND: Register = { of: "top", from: "C4", to: "C5", width: 10 };
/** Roots and struck basses: from E to the E♭ above; common practice, no source. */
export const BASS: Register = { of: "lowest", from: "E2", to: "Eb3", width: 0 };

/** Any chord that has the form's tones. */
export const ANY = "";

// No 7th and no 6th to put in its place: the 5th, so that no note comes in which the symbol doesn't name.
export const TRIAD = "not 7 b7 bb7 6";

export const COMMON = "common practice, no source";

/** What few rows of the catalogue say beyond name, degrees, register and chords. */
export type RowOptions = Partial<Pick<VoicingRow, "groups" | "doubled" | "semitoneAtBottom" | "onRequest" | "source">>;

const words = <T extends string>(text: string): readonly T[] =>
  text.split(" ").filter((word): word is T => word !== "");

/** A symbol or degrees as a title prints them. */
export const printed = (text: string): string => text.replace(/b(?=b?\d)/g, "♭").replaceAll("#", "♯");

/** Degrees without their brackets. */
export const bare = (degrees: string): string => degrees.replace(/[()]/g, "");

/**
 * A row of the catalogue; its id follows the style. Degrees run from low to high, those that the form may add in brackets, and a stroke parts the left
 * hand's from the right hand's: `"1 b7 | 3 5 (9)"`.
 */
export const row = (
  style: VoicingStyle,
  id: string,
  title: string,
  label: string,
  degrees: string,
  register: Register,
  serves = ANY,
  options: RowOptions = {},
): VoicingRow => {
  const hands = bare(degrees)
    .split("|")
    .map((held) => words<Degree | ChordRole>(held));
  return {
    // The three-note rootless forms are "three-note" for short.
    id: `${style.replace("-rootless", "")}-${id}`,
    title,
    style,
    label,
    degrees: hands.flat(),
    serves: serves.split("or").map((pattern) => {
      const [has, not = ""] = pattern.split("not") as [string, string?];
      return { has: words(has), not: words(not) };
    }),
    tensions: words<Degree>(degrees)
      .filter((degree) => degree.startsWith("("))
      .map((degree) => bare(degree) as Degree),
    groups: hands.map(({ length }, i) => ({ hand: i === 0 ? "left" : "right", notes: length })),
    register,
    source: COMMON,
    ...options,
  };
};
