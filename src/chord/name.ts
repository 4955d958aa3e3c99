import type { Degree } from "../pitch/index.ts";
import type { Shape } from "./shape.ts";
import {
  ALTERED_TENSIONS, DOUBLE_FLAT_SEVENTH, ELEVENTH, FIFTH, FIFTHS, FLAT_FIFTH, FLAT_SEVENTH, FOURTH, HIGH_DEGREES, LOW_DEGREES, MAJOR_THIRD,
  MINOR_THIRD, NATURAL, NINTH, NINTHS, ROOT, SECOND, SEVENTH, SEVENTHS, SHARP_FIFTH, SIXTH, THIRTEENTH,
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
  | "major" | "dominant" | "augmented" | "minor" | "minor-major" | "half-diminished" | "diminished" | "suspended" | "power";

/** A shape's canonical suffix and family. */
export interface ShapeName {
  readonly suffix: string;
  readonly quality: ChordQuality;
}

const ALT_LOW = ROOT | MAJOR_THIRD;
const ALT_HIGH = FLAT_SEVENTH | ALTERED_TENSIONS;
// By triad and seventh, then figure 7, 9, 11, 13; a diminished triad's own seventh is diminished, the others' minor.
const SEVENTH_SUFFIXES: readonly string[] = ["", "maj", "m", "mMaj", "dim", "dimMaj"].flatMap((stem) => [7, 9, 11, 13].map((figure) => stem + figure));
// By bit: the first bit of its number's field.
const FIELD_START: readonly number[] = Array.from({ length: 30 }, (_, bit) => bit - (bit % 5));

/** Names a shape: the same tones always get the same suffix, and the suffix reads back as the same tones. */
export const nameShape = ({ low, high }: Shape): ShapeName => {
  const minor = (low & (MAJOR_THIRD | MINOR_THIRD)) === MINOR_THIRD;
  const thirdless = (low & (MAJOR_THIRD | MINOR_THIRD)) === 0;
  const sus = thirdless ? low & (SECOND | FOURTH) : 0;
  const fifths = low & FIFTHS;
  const flatFifth = minor && fifths === FLAT_FIFTH;
  const seventh =
    (high & SEVENTH) !== 0 ? SEVENTH
    : (high & FLAT_SEVENTH) !== 0 ? FLAT_SEVENTH
    : flatFifth ? high & DOUBLE_FLAT_SEVENTH
    : 0;
  if (low === ALT_LOW && high === ALT_HIGH) return { suffix: "7alt", quality: "dominant" };

  const diminished = flatFifth && seventh !== FLAT_SEVENTH && (low & SIXTH) === 0;
  const sixth = seventh === 0 ? low & SIXTH : 0;
  const power = thirdless && sus === 0 && seventh === 0 && sixth === 0 && (low & FIFTH) !== 0;
  const augmented = !minor && !thirdless && seventh === 0 && sixth === 0 && fifths === SHARP_FIFTH;

  // What the suffix so far stands for; the rest is stacked behind it.
  let baseLow = ROOT | sixth;
  baseLow |= power ? FIFTH : augmented ? SHARP_FIFTH : diminished ? FLAT_FIFTH : FIFTH;
  baseLow |= power ? 0 : sus !== 0 ? sus : minor ? MINOR_THIRD : MAJOR_THIRD;
  let baseHigh = seventh;
  let suffix = diminished ? "dim" : minor ? "m" : augmented ? "aug" : power ? "5" : "";
  if (seventh !== 0) {
    const figure = extension(high, sus);
    const row = (diminished ? 4 : minor ? 2 : 0) + (seventh === SEVENTH ? 1 : 0);
    suffix = SEVENTH_SUFFIXES[row * 4 + (figure - 7) / 2] as string;
    if (figure >= 9) baseHigh |= NINTH;
    if (figure === 11) baseHigh |= ELEVENTH;
    if (figure === 13) baseHigh |= THIRTEENTH;
  } else if (sixth !== 0) {
    const nine = (sus & SECOND) !== 0 ? 0 : high & NINTH;
    suffix = nine === 0 ? (minor ? "m6" : "6") : minor ? "m6/9" : "6/9";
    baseHigh |= nine;
  }
  if (sus !== 0) suffix += sus === SECOND ? "sus2" : sus === FOURTH ? "sus4" : "sus2sus4";
  if (low !== baseLow || high !== baseHigh) {
    suffix += `(${stack(HIGH_DEGREES, high, baseHigh, stack(LOW_DEGREES, low, baseLow, ""))})`;
  }
  return { suffix, quality: family(minor, thirdless, sus, flatFifth, fifths, high, power) };
};

// The highest figure whose implied ninth is there, altered or not.
const extension = (high: number, sus: number): 7 | 9 | 11 | 13 => {
  if ((high & NINTHS) === 0 || (sus & SECOND) !== 0) return 7;
  if ((high & THIRTEENTH) !== 0) return 13;
  if ((high & ELEVENTH) !== 0 && (sus & FOURTH) === 0) return 11;
  return (high & NINTH) !== 0 ? 9 : 7;
};

// The items that turn one half of a base into the wanted tones, behind those of the other half.
const stack = (degrees: readonly Degree[], wanted: number, base: number, before: string): string => {
  let items = before;
  for (let rest = wanted ^ base; rest !== 0; ) {
    const first = FIELD_START[31 - Math.clz32(rest & -rest)] as number;
    const field = 31 << first;
    rest &= ~field;
    const target = wanted & field;
    if (target === 0) items += `${items === "" ? "no" : ",no"}${degrees[first + NATURAL] as Degree}`;
    const word = (target >> (first + NATURAL)) % 2 === 1 ? "add" : "";
    for (let extra = target & ~base; extra !== 0; extra &= extra - 1) {
      items += `${items === "" ? "" : ","}${word}${degrees[31 - Math.clz32(extra & -extra)] as Degree}`;
    }
  }
  return items;
};

const family = (
  minor: boolean, thirdless: boolean, sus: number, flatFifth: boolean, fifths: number, high: number, power: boolean,
): ChordQuality => {
  const sevenths = high & SEVENTHS;
  if (sus !== 0) return "suspended";
  if (flatFifth) return (sevenths & FLAT_SEVENTH) !== 0 ? "half-diminished" : "diminished";
  if (minor) return (sevenths & SEVENTH) !== 0 ? "minor-major" : "minor";
  if ((sevenths & FLAT_SEVENTH) !== 0 && (sevenths & SEVENTH) === 0) return "dominant";
  if (power || (thirdless && sevenths === 0)) return "power";
  return fifths === SHARP_FIFTH ? "augmented" : "major";
};
