import type { Shape } from "./shape.ts";
import {
  ALTERED,
  bitOf,
  DEGREES,
  DOUBLE_FLAT_SEVENTH,
  ELEVENTH,
  FIFTH,
  FIFTHS,
  FLAT_FIFTH,
  FLAT_SEVENTH,
  FOURTH,
  fieldOf,
  MAJOR_THIRD,
  MINOR_THIRD,
  NINTH,
  NINTHS,
  NUMBERS,
  ROOT,
  SECOND,
  SEVENTH,
  SEVENTHS,
  SHARP_FIFTH,
  SIXTH,
  THIRDS,
  THIRTEENTH,
} from "./shape.ts";

/**
 * The family of a chord, told from its tones: what third, fifth and seventh make of it.
 *
 * - `dominant`: major third (or none) and minor seventh, whatever the fifth (7, 9, 13, 7♭5, 7♯5, alt);
 * - `major`: major third without minor seventh (triad, 6, 6/9, maj7, also maj7♭5);
 * - `augmented`: major third and sharp fifth without minor seventh (aug, maj7♯5);
 * - `minor`: minor third (m, m6, m7, m9, m11);
 * - `minor-major`: minor third and major seventh;
 * - `half-diminished`: minor third, flat fifth, minor seventh;
 * - `diminished`: minor third and flat fifth, with a diminished or major seventh or none;
 * - `suspended`: a second or fourth in place of the third;
 * - `power`: root and fifth without third or seventh.
 */
export type ChordQuality =
  | "major"
  | "dominant"
  | "augmented"
  | "minor"
  | "minor-major"
  | "half-diminished"
  | "diminished"
  | "suspended"
  | "power";

/** A shape's canonical suffix and family. */
export interface ShapeName {
  readonly suffix: string;
  readonly quality: ChordQuality;
}

const ALT = ALTERED | FLAT_SEVENTH;

/** Names a shape: the same tones always get the same suffix, and the suffix reads back as the same tones. */
export const nameShape = (shape: Shape): ShapeName => {
  if (shape === ALT) return { suffix: "7alt", quality: "dominant" };
  const minor = (shape & THIRDS) === MINOR_THIRD;
  const thirdless = !(shape & THIRDS);
  const suspended = thirdless ? shape & (SECOND | FOURTH) : 0;
  const fifths = shape & FIFTHS;
  const flatFifth = minor && fifths === FLAT_FIFTH;
  // A diminished triad's own seventh is diminished, the others' is minor.
  const seventh = shape & SEVENTH || shape & FLAT_SEVENTH || (flatFifth ? shape & DOUBLE_FLAT_SEVENTH : 0);
  const sixth = seventh ? 0 : shape & SIXTH;
  const diminished = flatFifth && seventh !== FLAT_SEVENTH && !(shape & SIXTH);
  const power = thirdless && !suspended && !seventh && !sixth && (shape & FIFTH) !== 0;
  const augmented = !minor && !thirdless && !seventh && !sixth && fifths === SHARP_FIFTH;

  // What the suffix so far stands for; the rest is stacked behind it.
  let base = ROOT | sixth | seventh;
  base |= augmented ? SHARP_FIFTH : diminished ? FLAT_FIFTH : FIFTH;
  base |= power ? 0 : suspended || (minor ? MINOR_THIRD : MAJOR_THIRD);
  let suffix = diminished ? "dim" : minor ? "m" : augmented ? "aug" : power ? "5" : "";
  if (seventh) {
    const figure = extension(shape, suspended);
    suffix += (seventh === SEVENTH ? (suffix === "" ? "maj" : "Maj") : "") + figure;
    if (figure >= 9) base |= NINTH;
    if (figure === 11) base |= ELEVENTH;
    if (figure === 13) base |= THIRTEENTH;
  } else if (sixth) {
    const ninth = suspended & SECOND ? 0 : shape & NINTH;
    suffix += ninth ? "6/9" : "6";
    base |= ninth;
  }
  if (suspended & SECOND) suffix += "sus2";
  if (suspended & FOURTH) suffix += "sus4";
  if (shape !== base) suffix += `(${stack(shape, base)})`;
  const quality = suspended
    ? "suspended"
    : flatFifth
      ? shape & FLAT_SEVENTH
        ? "half-diminished"
        : "diminished"
      : minor
        ? shape & SEVENTH
          ? "minor-major"
          : "minor"
        : (shape & (FLAT_SEVENTH | SEVENTH)) === FLAT_SEVENTH
          ? "dominant"
          : power || (thirdless && !(shape & SEVENTHS))
            ? "power"
            : fifths === SHARP_FIFTH
              ? "augmented"
              : "major";
  return { suffix, quality };
};

// The highest figure whose implied ninth is there, altered or not.
const extension = (shape: Shape, suspended: Shape): 7 | 9 | 11 | 13 => {
  if (!(shape & NINTHS) || suspended & SECOND) return 7;
  if (shape & THIRTEENTH) return 13;
  if (shape & ELEVENTH && !(suspended & FOURTH)) return 11;
  return shape & NINTH ? 9 : 7;
};

// The items that turn a base into the wanted tones.
const stack = (wanted: Shape, base: Shape): string => {
  const items: string[] = [];
  for (const number of NUMBERS) {
    const field = fieldOf(number);
    if (!((wanted ^ base) & field)) continue;
    const target = wanted & field;
    if (!target) items.push(`no${number}`);
    const word = target & bitOf(number, 0) ? "add" : "";
    for (let rest = target & ~base; rest; rest &= rest - 1) items.push(word + DEGREES[31 - Math.clz32(rest & -rest)]);
  }
  return items.join();
};
