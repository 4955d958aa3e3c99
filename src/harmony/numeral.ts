import type { Chord } from "../chord/index.ts";
import type { Key } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import type { Family } from "./family.ts";

const ROMANS = ["I", "bII", "II", "bIII", "III", "IV", "#IV", "V", "bVI", "VI", "bVII", "VII"] as const;
// Diminished chords lead upwards, but for those that fall a semitone.
const RAISED: Readonly<Partial<Record<number, string>>> = { 1: "#I", 3: "#II", 6: "#IV", 8: "#V", 10: "#VI" };

/** Semitones from a key's tonic up to a note. */
export const semitonesIn = (key: Key, root: Chord["root"]): number =>
  (pitchClassOf(root) - pitchClassOf(key.tonic) + 12) % 12;

/** A numeral without its quality, in the case of the chord's third. */
export const romanOf = (semitones: number, family: Family, falls = false): string => {
  const roman = (family === "o" && !falls ? RAISED[semitones] : undefined) ?? ROMANS[semitones] ?? "I";
  return ["m", "n", "h", "o"].includes(family)
    ? roman.replace(/[IV]+/, (letters) => letters.toLowerCase())
    : semitones === 6 && family !== "h"
      ? "bV"
      : roman;
};

/** A chord's quality behind its numeral, which says whether its third is minor. */
const suffixOf = ({ canonical, root, bass }: Chord, family: Family): string => {
  const end = bass === root ? canonical.length : canonical.length - bass.length - 1;
  const suffix = canonical.slice(root.length, end);
  if (family === "h") return suffix.replace(/^m(\d+)\(?b5\)?/, "ø$1");
  if (family === "o") return suffix.replace(/^(?:dim|o|m\(b5\))/, "°");
  return family === "m" || family === "n" ? suffix.replace(/^m/, "") : suffix;
};

/**
 * A chord as a Roman numeral in a key: degrees count against the major scale of the tonic, lower case has a minor third.
 */
export const numeralIn = (key: Key, chord: Chord, family: Family, falls: boolean): string =>
  romanOf(semitonesIn(key, chord.root), family, falls) + suffixOf(chord, family);

/** A numeral as it is printed, without what its symbol names in brackets. */
export const formatNumeral = (numeral: string): string =>
  numeral
    .replace(/\([^)]*\)/g, "")
    .replace(/(?<![a-z])b(?=[IViv\d])/g, "♭")
    .replace(/#(?=[IViv\d])/g, "♯");
