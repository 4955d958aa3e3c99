import type { ChordQuality } from "../chord/index.ts";
import type { Degree } from "../pitch/index.ts";

/** A kind of MusicXML with the tones that it stands for and the chord families that it may print. */
export interface HarmonyKindRow {
  readonly kind: string;
  readonly degrees: readonly Degree[];
  readonly qualities: readonly ChordQuality[];
}

/**
 * The kinds of MusicXML that are built of degrees, the plainest first. The eight others (Neapolitan, Italian,
 * French, German, pedal, Tristan, other, none) name a function or no chord, and no chord symbol asks for them.
 *
 * Source: W3C Music Notation Community Group, MusicXML 4.0 (2021), `kind-value`.
 */
export const HARMONY_KINDS: readonly HarmonyKindRow[] = [
  { kind: "major", degrees: ["1", "3", "5"], qualities: ["major"] },
  { kind: "minor", degrees: ["1", "b3", "5"], qualities: ["minor"] },
  { kind: "augmented", degrees: ["1", "3", "#5"], qualities: ["augmented"] },
  { kind: "diminished", degrees: ["1", "b3", "b5"], qualities: ["diminished"] },
  { kind: "dominant", degrees: ["1", "3", "5", "b7"], qualities: ["dominant"] },
  { kind: "major-seventh", degrees: ["1", "3", "5", "7"], qualities: ["major", "augmented"] },
  { kind: "minor-seventh", degrees: ["1", "b3", "5", "b7"], qualities: ["minor"] },
  { kind: "diminished-seventh", degrees: ["1", "b3", "b5", "bb7"], qualities: ["diminished"] },
  { kind: "augmented-seventh", degrees: ["1", "3", "#5", "b7"], qualities: ["dominant"] },
  { kind: "half-diminished", degrees: ["1", "b3", "b5", "b7"], qualities: ["half-diminished"] },
  { kind: "major-minor", degrees: ["1", "b3", "5", "7"], qualities: ["minor-major"] },
  { kind: "major-sixth", degrees: ["1", "3", "5", "6"], qualities: ["major"] },
  { kind: "minor-sixth", degrees: ["1", "b3", "5", "6"], qualities: ["minor"] },
  { kind: "dominant-ninth", degrees: ["1", "3", "5", "b7", "9"], qualities: ["dominant"] },
  { kind: "major-ninth", degrees: ["1", "3", "5", "7", "9"], qualities: ["major", "augmented"] },
  { kind: "minor-ninth", degrees: ["1", "b3", "5", "b7", "9"], qualities: ["minor"] },
  { kind: "dominant-11th", degrees: ["1", "3", "5", "b7", "9", "11"], qualities: ["dominant"] },
  { kind: "major-11th", degrees: ["1", "3", "5", "7", "9", "11"], qualities: ["major", "augmented"] },
  { kind: "minor-11th", degrees: ["1", "b3", "5", "b7", "9", "11"], qualities: ["minor"] },
  { kind: "dominant-13th", degrees: ["1", "3", "5", "b7", "9", "11", "13"], qualities: ["dominant"] },
  { kind: "major-13th", degrees: ["1", "3", "5", "7", "9", "11", "13"], qualities: ["major", "augmented"] },
  { kind: "minor-13th", degrees: ["1", "b3", "5", "b7", "9", "11", "13"], qualities: ["minor"] },
  { kind: "suspended-second", degrees: ["1", "2", "5"], qualities: ["suspended"] },
  { kind: "suspended-fourth", degrees: ["1", "4", "5"], qualities: ["suspended"] },
  { kind: "power", degrees: ["1", "5"], qualities: ["power"] },
];
