import type { FullVoicing, Register, RowOptions } from "./form.ts";
import { ANY, BASS, bare, LEFT_HAND, printed, row, TRIAD } from "./form.ts";

const TWO_HANDS: Register = { of: "top", from: "G4", to: "G5", width: 19 };

const numbers = (degrees: string): string => degrees.replace(/[b#]/g, "").replaceAll(" ", "-");

const fourths = (id: string, degrees: string, serves = ANY, options?: RowOptions): FullVoicing => {
  const [left = "", right] = bare(degrees).split(" | ");
  const all = right === undefined ? left : `${left} ${right}`;
  return row(
    "fourths",
    id,
    `${printed(all)} in fourths`,
    numbers(all),
    degrees,
    right === undefined ? LEFT_HAND : TWO_HANDS,
    serves,
    options,
  );
};

const MINOR_SEVENTH = "not 6 b5";
const NO_FLAT_7 = "not b7 4";
const NO_THIRD = "not 3 b3 7";

/** Stacked fourths, one of them augmented in a dominant; the two-hand ones end in a third. */
export const FOURTHS: readonly FullVoicing[] = [
  fourths("6-3", "3 (6) (9)", NO_FLAT_7),
  fourths("6-6", "(6) (9) 5", "3 not b7"),
  fourths("maj7", "7 3 (13)"),
  fourths("m7-11", "(11) (b7) b3", MINOR_SEVENTH),
  fourths("m7-5", "5 1 (11)", "b3 not 6 7"),
  fourths("7", "b7 3 (13)"),
  fourths("7#9", "3 b7 #9"),
  // Fourths by their names: an altered note makes one of them a diminished fourth.
  fourths("7b13", "b7 3 b13"),
  fourths("7#11", "#11 b7 3", "not 7 b13"),
  fourths("13b9", "3 (13) b9", "b7"),
  fourths("7b9b13", "3 b13 b9", "b7"),
  fourths("m7b5-5", "b5 1 (11)", "b3 b7"),
  fourths("7sus", "1 4 (b7)", NO_THIRD),
  fourths("7sus-5", "5 1 4", NO_THIRD),
  fourths("69-wide", "3 (6) | (9) 5 1", NO_FLAT_7),
  fourths("m11-wide", "1 (11) | (b7) b3 5", MINOR_SEVENTH),
  fourths("13-wide", "b7 3 | (13) (9) 5"),
  fourths("13b9-wide", "b7 3 | (13) b9 5"),
  fourths("9#11-wide", "b7 3 | (13) (9) #11", "not b13"),
  fourths("9b13-wide", "b7 3 | b13 (9)", "not b9 #9"),
  fourths("7b9b13-wide", "b7 3 | b13 b9"),
  fourths("7alt-wide", "b7 3 | b13 b9 #11"),
  fourths("7#9-wide", "3 b7 | #9 5 1"),
  fourths("7#9b13-wide", "3 b7 | #9 b13 1"),
  fourths("m11b5-wide", "1 (11) | b7 b3 b5"),
  fourths("13sus-wide", "1 4 | (b7) (9) (13)", NO_THIRD),
];

const spread = (id: string, degrees: string, serves = ANY, options?: RowOptions): FullVoicing => {
  const [left = "", right = ""] = bare(degrees).split(" | ");
  return row("spread", id, `${printed(left)} under ${printed(right)}`, numbers(left), degrees, BASS, serves, options);
};

// Between the 3rd and the 9th of a dominant stands its 5th, 13th, ♭13th or ♯11th.
const DOMINANT_SPREAD: readonly FullVoicing[] = ["5", "(13)", "b13", "#11"].flatMap((middle) =>
  ["(9)", "b9", "#9"].map((ninth) => spread(bare(`7-${middle}-${ninth}`), `1 b7 | 3 ${middle} ${ninth}`)),
);

/** Root and 5th or 7th in the left hand, the rest in the right. */
export const SPREAD: readonly FullVoicing[] = [
  spread("maj9-7", "1 7 | 3 5 (9)"),
  spread("maj9-5", "1 5 | 3 7 (9)"),
  spread("maj13-7", "1 7 | 3 13 (9)"),
  spread("maj7#11-7", "1 7 | 3 #11 (9)"),
  spread("maj7#5-7", "1 7 | 3 #5 (9)"),
  spread("69-5", "1 5 | 3 6 (9)", "6 not 7 b7"),
  spread("m9-7", "1 b7 | b3 5 (9)"),
  spread("m9-5", "1 5 | b3 b7 (9)"),
  spread("m11-5", "1 5 | b7 b3 11"),
  spread("m69-5", "1 5 | b3 6 (9)", "6 not 7 b7"),
  spread("m-maj9-5", "1 5 | b3 7 (9)"),
  ...DOMINANT_SPREAD,
  spread("9sus-5", "1 5 | (b7) (9) 4", NO_THIRD),
  spread("13sus-7", "1 (b7) | 4 (13) (9)", NO_THIRD),
  spread("7susb9-5", "1 5 | b7 b9 4", NO_THIRD),
  spread("m7b5", "1 b5 | b7 b3"),
  spread("m11b5", "1 b5 | b7 b3 (11)"),
  spread("dim7", "1 b5 | bb7 b3"),
  row("spread", "triad", "1 5 under 3 5 1", "1-5", "1 fifth | third fifth 1", BASS, TRIAD, { doubled: true }),
];
