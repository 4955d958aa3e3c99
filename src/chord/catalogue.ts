/**
 * A sign that opens a chord symbol after its root. The three alterations are counted against the major scale.
 */
export interface QualitySign {
  readonly id: string;
  /** Every way to write it, the library's own first. */
  readonly signs: readonly string[];
  /** 0 for a major third, -1 for a minor one. */
  readonly third: 0 | -1;
  readonly fifth: 0 | -1 | 1;
  /** The seventh that a figure of 7 or more brings: 0 major, -1 minor, -2 diminished. */
  readonly seventh: 0 | -1 | -2;
  /** Whether the bare sign, without a figure, already means a seventh chord. */
  readonly bareSeventh: boolean;
}

/**
 * The quality signs of lead sheets. A new way to write a quality is one more string, a new quality one row.
 *
 * Source: common practice, no source; Garcia, A. J., "Clear Chord Symbols" (banddirector.com) notes that no
 * universal agreement on symbols exists, so every current sign is read and one is written.
 */
export const QUALITY_SIGNS: readonly QualitySign[] = [
  { id: "major", signs: ["maj", "ma", "M", "Maj", "Ma", "MAJ", "MA", "major", "Major"], third: 0, fifth: 0, seventh: 0, bareSeventh: false },
  { id: "triangle", signs: ["Δ", "∆", "△"], third: 0, fifth: 0, seventh: 0, bareSeventh: true },
  { id: "minor", signs: ["m", "mi", "min", "-", "−", "–", "Mi", "Min", "MI", "MIN", "minor", "Minor"], third: -1, fifth: 0, seventh: -1, bareSeventh: false },
  { id: "dominant", signs: ["dom"], third: 0, fifth: 0, seventh: -1, bareSeventh: true },
  { id: "diminished", signs: ["dim", "o", "°", "º", "˚", "Dim", "DIM"], third: -1, fifth: -1, seventh: -2, bareSeventh: false },
  { id: "half-diminished", signs: ["ø", "Ø", "∅"], third: -1, fifth: -1, seventh: -1, bareSeventh: true },
  { id: "augmented", signs: ["aug", "+", "Aug", "AUG"], third: 0, fifth: 1, seventh: -1, bareSeventh: false },
];

/** What a chord without a sign is: a major triad, and a minor seventh once a figure asks for one. */
export const PLAIN: QualitySign = { id: "plain", signs: [""], third: 0, fifth: 0, seventh: -1, bareSeventh: false };

/** What a word in the tail of a symbol does. */
export type TailWord = "sus" | "add" | "omit" | "alt";

/** The words of a symbol's tail, in every way to write them. */
export const TAIL_WORDS: readonly { readonly word: TailWord; readonly signs: readonly string[] }[] = [
  { word: "sus", signs: ["sus", "Sus", "SUS"] },
  { word: "add", signs: ["add", "Add", "ADD"] },
  { word: "omit", signs: ["no", "omit"] },
  { word: "alt", signs: ["alt", "Alt", "ALT"] },
];

/**
 * Where two words overlap, the shorter first word stands: "Cmadd9" is C minor with an added ninth, not "Cma"
 * and a rest that means nothing. The longest match wins, so "Cminomit5" needs a row of its own beside "Cmino5".
 */
export const SPLIT_BEFORE: readonly { readonly sign: string; readonly before: string }[] = [
  { sign: "m", before: "add" },
  { sign: "M", before: "add" },
  { sign: "mi", before: "no" },
  { sign: "Mi", before: "no" },
  { sign: "min", before: "om" },
  { sign: "Min", before: "om" },
];

/** A degree that a figure or an alteration may name, and the alterations that may stand before it. */
export interface FigureRow {
  readonly number: 1 | 2 | 3 | 4 | 5 | 6 | 7 | 9 | 11 | 13;
  /** Alterations allowed in a stack such as `7(b9,#11)`. */
  readonly altered: readonly (-2 | -1 | 1)[];
  /** Whether the bare number may stand in brackets or after a stroke: `7(13)`, `7/9`. */
  readonly bare: boolean;
}

/** The degrees of a symbol's tail. Common practice, no source. */
export const FIGURES: readonly FigureRow[] = [
  { number: 1, altered: [], bare: false },
  { number: 2, altered: [-1, 1], bare: true },
  { number: 3, altered: [], bare: false },
  { number: 4, altered: [-1, 1], bare: true },
  { number: 5, altered: [-1, 1], bare: false },
  { number: 6, altered: [-1, 1], bare: true },
  { number: 7, altered: [-2, -1, 1], bare: true },
  { number: 9, altered: [-1, 1], bare: true },
  { number: 11, altered: [-1, 1], bare: true },
  { number: 13, altered: [-1, 1], bare: true },
];

/** Suffixes in common use, the likeliest first: where a hint looks for the nearest valid symbol. */
export const COMMON_SUFFIXES: readonly string[] = [
  "7", "maj7", "m7", "m", "6", "m6", "9", "maj9", "m9", "13", "m7b5", "dim7", "7alt", "7b9", "7sus4", "maj", "6/9", "m6/9", "dim", "aug",
  "sus4", "sus2", "11", "m11", "maj13", "m13", "13sus4", "9sus4", "7#9", "7#11", "7b13", "7#5", "7b5", "maj7#11", "13b9", "13#11", "mMaj7",
  "add9", "m(add9)", "7(b9,b13)", "7(#9,b13)", "7susb9", "9#11", "maj9#11", "mMaj9", "aug7", "maj7#5", "5", "no3",
];
