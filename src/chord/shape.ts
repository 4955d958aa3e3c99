import type { Degree } from "../pitch/index.ts";

/**
 * What a chord is apart from its root: a set of degrees. Each degree number has five bits, one for each
 * alteration from double flat to double sharp; numbers up to 6 lie in `low`, the others in `high`.
 */
export interface Shape {
  readonly low: number;
  readonly high: number;
}

/** Degree numbers in the order of their bit fields. */
export const LOW_NUMBERS = [1, 2, 3, 4, 5, 6] as const;
export const HIGH_NUMBERS = [7, 9, 11, 13] as const;

/** A number that chords use. */
export type ChordNumber = (typeof LOW_NUMBERS)[number] | (typeof HIGH_NUMBERS)[number];

const WIDTH = 5;
const FIELD = 31;
/** Place of the natural within a field. */
export const NATURAL = 2;

/** Field of a number: 0 to 5 in `low`, 6 to 9 in `high`; -1 for a number that chords don't use. */
export const FIELD_OF: readonly number[] = Array.from({ length: 16 }, (_, n) => {
  const low = (LOW_NUMBERS as readonly number[]).indexOf(n);
  const high = (HIGH_NUMBERS as readonly number[]).indexOf(n);
  return low >= 0 ? low : high >= 0 ? 6 + high : -1;
});

/** The bit of an alteration in a number's field. */
export const bitOf = (number: ChordNumber, alteration: number): number =>
  1 << (((FIELD_OF[number] as number) % 6) * WIDTH + NATURAL + alteration);
/** All five bits of a number. */
export const fieldOf = (number: ChordNumber): number => FIELD << (((FIELD_OF[number] as number) % 6) * WIDTH);
/** Whether a number's bits lie in `high`. */
export const isHigh = (number: number): boolean => number > 6;

/** Bits that the parser and the namer speak of by name. */
export const ROOT = bitOf(1, 0);
export const MAJOR_THIRD = bitOf(3, 0);
export const MINOR_THIRD = bitOf(3, -1);
export const FIFTH = bitOf(5, 0);
export const FLAT_FIFTH = bitOf(5, -1);
export const SHARP_FIFTH = bitOf(5, 1);
export const SECOND = bitOf(2, 0);
export const FOURTH = bitOf(4, 0);
export const SIXTH = bitOf(6, 0);
export const SEVENTH = bitOf(7, 0);
export const FLAT_SEVENTH = bitOf(7, -1);
export const DOUBLE_FLAT_SEVENTH = bitOf(7, -2);
export const NINTH = bitOf(9, 0);
export const ELEVENTH = bitOf(11, 0);
export const THIRTEENTH = bitOf(13, 0);
export const THIRDS = fieldOf(3);
export const FIFTHS = fieldOf(5);
export const SIXTHS = fieldOf(6);
export const SEVENTHS = fieldOf(7);
export const NINTHS = fieldOf(9);
/** The naturals of every field, in either half. */
const NATURALS = LOW_NUMBERS.reduce((bits, n) => bits | bitOf(n, 0), 0);
/** `7alt`: no fifth, since ♭13 (or ♯11) stands where it stood. */
export const ALTERED_TENSIONS = bitOf(9, -1) | bitOf(9, 1) | bitOf(11, 1) | bitOf(13, -1);

/** One half of a shape after its alterations: an altered tone takes the place of the natural of its number. */
export const replaceNaturals = (base: number, altered: number): number => {
  // Folds #, b and bb of each field onto its natural, so that only fields with an alteration lose theirs.
  const folded = ((altered >> 1) | (altered << 1) | (altered << 2)) & NATURALS;
  return (base & ~folded) | altered;
};

const SIGNS = ["bb", "b", "", "#", "##"] as const;
const degreeAt = (numbers: readonly ChordNumber[], bit: number): Degree =>
  `${SIGNS[bit % WIDTH] as ""}${numbers[Math.floor(bit / WIDTH)] as ChordNumber}`;

/** Degree names by bit. */
export const LOW_DEGREES: readonly Degree[] = Array.from({ length: 30 }, (_, bit) => degreeAt(LOW_NUMBERS, bit));
export const HIGH_DEGREES: readonly Degree[] = Array.from({ length: 20 }, (_, bit) => degreeAt(HIGH_NUMBERS, bit));
