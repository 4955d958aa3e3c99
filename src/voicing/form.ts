import type { Hand } from "../event/index.ts";
import type { Degree, PitchName } from "../pitch/index.ts";

/** The families in the order of the catalogue. */
export const STYLES = [
  "guide-tones",
  "shell",
  "two-note-shell",
  "rootless",
  "three-note-rootless",
  "close",
  "drop-2",
  "fourths",
  "tenth",
  "spread",
  "upper-structure",
  "locked-hands",
] as const;

/** The families of voicings; each groups rows of the catalogue. */
export type VoicingStyle = (typeof STYLES)[number];

/**
 * A tone by its part in the chord: `"third"` is the 3rd, or the 4th or 2nd of a suspended chord; `"fifth"` the
 * 5th, plain or altered, or the ♭13 that stands for it; `"seventh"` the 7th, or the 6th of a sixth chord.
 */
export type ChordRole = "third" | "fifth" | "seventh";

/** Which chords a form serves: those with all of `has` and none of `not`. */
export interface ChordPattern {
  /** Degrees that the chord must have. */
  readonly has?: readonly Degree[] | undefined;
  /** Degrees that the chord must not have. */
  readonly not?: readonly Degree[] | undefined;
}

/** Neighbouring notes of a form that one hand strikes together. */
export interface HandGroup {
  readonly hand: Hand;
  /** How many notes, counted on from the group below. */
  readonly notes: number;
  /** A bass note struck by itself, before or under the rest, and placed in the bass range. */
  readonly bass?: boolean | undefined;
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
   *
   * @defaultValue 10 for a window of the top note, 0 for one of the lowest
   */
  readonly width?: number | undefined;
}

/**
 * A voicing: one way to lay out a kind of chord. Plain data, so that it can stand in a recipe; a row of your own serves wherever one
 * that ships does.
 */
export interface VoicingRow {
  /** Unique name, such as `"rootless-m9-a"`. */
  readonly id: string;
  /** What a teacher would call it. */
  readonly title: string;
  /** Its family: rows of one family that are listed side by side are one choice. @defaultValue its id */
  readonly style?: string | undefined;
  /**
   * `"A"` with the 3rd at the bottom (of the notes over a bass), `"B"` with the 7th; other forms name their layout.
   *
   * @defaultValue its id
   */
  readonly label?: string | undefined;
  /** From low to high; each note is the nearest of its name above the one before. */
  readonly degrees: readonly (Degree | ChordRole)[];
  /**
   * The chords it is for: any of these. Beside them, each of its degrees must be a tone of the chord or a declared tension.
   *
   * @defaultValue every chord that has its degrees
   */
  readonly serves?: readonly ChordPattern[] | undefined;
  /** Degrees that it may add to a symbol that names no other alteration of them. @defaultValue none */
  readonly tensions?: readonly Degree[] | undefined;
  /** Which hand plays what, from low to high. @defaultValue all in the left hand */
  readonly groups?: readonly HandGroup[] | undefined;
  /** @defaultValue the top from C4 to C5; from G4 to G5 where the right hand has notes */
  readonly register?: Register | undefined;
  /** It sounds a note in two octaves on purpose. @defaultValue `false` */
  readonly doubled?: boolean | undefined;
  /** Its two lowest notes may lie a semitone apart. @defaultValue `false` */
  readonly semitoneAtBottom?: boolean | undefined;
  /** Left out of its style; used only when `forms` names it. @defaultValue `false` */
  readonly onRequest?: boolean | undefined;
  /** Where it is published, or "common practice, no source". */
  readonly source: string;
}

/** A voicing that leaves nothing to its defaults, as each that ships. */
export interface FullVoicing extends VoicingRow {
  readonly style: string;
  readonly label: string;
  readonly serves: readonly ChordPattern[];
  readonly tensions: readonly Degree[];
  readonly groups: readonly HandGroup[];
  readonly register: Register;
}

/** The left hand in the middle of the keyboard: the top note, the thumb's, between C4 and C5. */
export const LEFT_HAND: Register = { of: "top", from: "C4", to: "C5", width: 10 };
/** Both hands, the right one's top a fifth above. */
export const TWO_HANDS: Register = { of: "top", from: "G4", to: "G5", width: 14 };
/** Roots and struck basses: from E to the E♭ above; common practice, no source. */
export const BASS: Register = { of: "lowest", from: "E2", to: "Eb3", width: 0 };

/** Any chord that has the form's tones. */
export const ANY = "";

// No 7th and no 6th to put in its place: the 5th, so that no note comes in which the symbol doesn't name.
export const TRIAD = "not 7 b7 bb7 6";

export const COMMON = "common practice, no source";

/** What few rows of the catalogue say beyond name, degrees, register and chords. */
export type RowOptions = Partial<Pick<FullVoicing, "groups" | "doubled" | "semitoneAtBottom" | "onRequest" | "source">>;

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
): FullVoicing => {
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
      const [has = "", not = ""] = pattern.split("not");
      return { has: words(has), not: words(not) };
    }),
    tensions: [...degrees.matchAll(/\(([^)]*)\)/g)].flatMap(([, added = ""]) => words<Degree>(added)),
    groups: hands.map(({ length }, i) => ({ hand: i === 0 ? "left" : "right", notes: length })),
    register,
    source: COMMON,
    ...options,
  };
};
