/**
 * A sign that opens a chord symbol after its root.
 */
export interface QualitySign {
  /**
   * Every way to write it, the library's own first, with blanks between. A stroke says what must follow: `m|add` is the
   * "m" of "Cmadd9", which is C minor with an added ninth and not "Cma" with a rest that means nothing. The longest
   * match wins, so `min|om` is needed beside `mi|no`.
   */
  readonly signs: string;
  /** Third, fifth, and the seventh that a figure of 7 or more brings. */
  readonly degrees: string;
  /** Whether the bare sign, without a figure, already means a seventh chord. */
  readonly bareSeventh?: boolean;
}

/**
 * The quality signs of lead sheets. A new way to write a quality is one more word, a new quality one row.
 *
 * Source: common practice, no source; Garcia, A. J., "Clear Chord Symbols" (banddirector.com) notes that no
 * universal agreement on symbols exists, so every current sign is read and one is written.
 */
export const QUALITY_SIGNS: readonly QualitySign[] = [
  { signs: "maj ma M Maj Ma MAJ MA major Major M|add", degrees: "3 5 7" },
  { signs: "Δ ∆ △", degrees: "3 5 7", bareSeventh: true },
  { signs: "m mi min - − – Mi Min MI MIN minor Minor m|add mi|no min|om Mi|no Min|om", degrees: "b3 5 b7" },
  { signs: "dom", degrees: "3 5 b7", bareSeventh: true },
  { signs: "dim o ° º ˚ Dim DIM", degrees: "b3 b5 bb7" },
  { signs: "ø Ø ∅", degrees: "b3 b5 b7", bareSeventh: true },
  { signs: "aug + Aug AUG", degrees: "3 #5 b7" },
];

/** What a chord without a sign is: a major triad, and a minor seventh once a figure asks for one. */
export const PLAIN = "3 5 b7";

/** What a word in the tail of a symbol does. */
export type TailWord = "sus" | "add" | "omit" | "alt";

/** The words of a symbol's tail, in every way to write them. */
export const TAIL_WORDS: readonly (readonly [word: TailWord, signs: string])[] = [
  ["sus", "sus Sus SUS"],
  ["add", "add Add ADD"],
  ["omit", "no omit"],
  ["alt", "alt Alt ALT"],
];

/** Figures after the quality, and what they add; the 7 is that of the quality. */
export const FIGURES: readonly (readonly [degrees: string, signs: string])[] = [
  ["5", "5"],
  ["6", "6"],
  ["6 9", "69 6/9"],
  ["7", "7"],
  ["7 9", "9"],
  ["7 9 11", "11"],
  ["7 9 13", "13"],
];

/** Accidentals of roots, bass notes and degrees, in semitones. */
export const ACCIDENTALS: readonly (readonly [semitones: number, signs: string])[] = [
  [-3, "bbb ♭♭♭ 𝄫b 𝄫♭"],
  [-2, "bb ♭♭ 𝄫"],
  [-1, "b ♭"],
  [0, "♮"],
  [1, "# ♯"],
  [2, "## ♯♯ 𝄪 x"],
  [3, "### ♯♯♯ 𝄪# 𝄪♯"],
];

/** Signs that are ♭ and ♯ before a figure of the tail; not before 7, where they are read in more than one way. */
export const FIGURE_SIGNS: readonly (readonly [semitones: number, signs: string])[] = [
  [-1, "-|1 -|2 -|4 -|5 -|6 -|9 −|1 −|2 −|4 −|5 −|6 −|9"],
  [1, "+|1 +|2 +|4 +|5 +|6 +|9"],
];

/** Degrees that no stack such as `7(b9,#11)` may name, and those that need the word "add" before them. Common practice, no source. */
export const NEVER_STACKED = "b1 1 #1 #3";
export const ADDED_ONLY = "b3 3 5";

/** Suffixes in common use, the likeliest first: where a hint looks for the nearest valid symbol. */
export const COMMON_SUFFIXES: readonly string[] =
  "7 maj7 m7 m 6 m6 9 maj9 m9 13 m7b5 dim7 7alt 7b9 7sus4 maj 6/9 dim aug sus4 sus2 11 m11 maj13 m13 9sus4 7#9 7#11 7b13 7#5 7b5 13b9 mMaj7 add9 no3".split(
    " ",
  );
