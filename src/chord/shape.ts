import type { Degree } from "../pitch/index.ts";
import { isDegree } from "../pitch/inner.ts";

/**
 * What a chord is apart from its root: a set of degrees, as the bits of one number. Each degree number has three bits:
 * flat, plain and sharp; the seventh has double flat, flat and plain.
 */
export type Shape = number;

/** The numbers that chords use, in the order of their bits. */
export const NUMBERS: readonly number[] = [1, 2, 3, 4, 5, 6, 7, 9, 11, 13];

/** Degree names by place of their bit. */
export const DEGREES: readonly Degree[] = NUMBERS.flatMap((number) =>
  (number === 7 ? ["bb", "b", ""] : ["b", "", "#"]).map((sign) => sign + number).filter(isDegree),
);

const PLACES: readonly string[] = DEGREES;

/** The bit of a degree; 0 for one that chords don't use. */
export const bitOf = (number: number, alteration: number): Shape => {
  const place = alteration + (number === 7 ? 2 : 1);
  return place < 0 || place > 2 ? 0 : 1 << (3 * NUMBERS.indexOf(number) + place);
};
/** All three bits of a number. */
export const fieldOf = (number: number): Shape => 7 << (3 * NUMBERS.indexOf(number));
/** The shape of degrees in a row. */
export const shapeOf = (degrees: string): Shape =>
  degrees.split(" ").reduce((shape, degree) => shape | (1 << PLACES.indexOf(degree)), 0);

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
/** `7alt`: no fifth, since ♭13 (or ♯11) stands where it stood. */
export const ALTERED = shapeOf("1 3 b9 #9 #11 b13");

const FLATS = NUMBERS.reduce((bits, number) => bits | (fieldOf(number) & -fieldOf(number)), 0);

/** A shape after its alterations: an altered tone takes the place of the plain one of its number. */
export const replacePlain = (base: Shape, altered: Shape): Shape => {
  // Every field with an alteration, folded onto its lowest bit.
  const folded = (altered | (altered >> 1) | (altered >> 2)) & FLATS;
  const plain = ((folded << 1) & ~SEVENTHS) | ((folded << 2) & SEVENTH);
  return (base & ~plain) | altered;
};

/** Sixths, as the thirteenths above them. */
export const thirteenths = (sixths: Shape): Shape => sixths << (3 * (NUMBERS.indexOf(13) - NUMBERS.indexOf(6)));
