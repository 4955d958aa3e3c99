import { nth } from "../ground/list.ts";
import type { FullVoicing, HandGroup, Register, RowOptions, VoicingStyle } from "./form.ts";
import { ANY, BASS, LEFT_HAND, row, TRIAD, TWO_HANDS } from "./form.ts";

// Hutchinson, R., sec. 31.7 (University of Puget Sound): the 6th replaces a missing 7th, the 4th of a sus chord its missing 3rd.
const source = "Hutchinson, Music Theory for the 21st-Century Classroom, 31.7";

// The upper pair ends at G4, the top of the range that the trade gives for bass shells (C2 to G4; common practice, no source).
const PAIR: Register = { of: "top", from: "G3", to: "G4", width: 6 };
// Roots from C3 keep a minor third, the closest interval here, at its low-interval limit.
const ROOT: Register = { of: "lowest", from: "C3", to: "B3", width: 0 };

// The root is struck by itself, then the pair: one hand never holds all three.
const groups: readonly HandGroup[] = [
  { hand: "left", notes: 1, bass: true },
  { hand: "left", notes: 2 },
];

// A has the first above the bass, if there is one, B the second.
const bothWays = (
  style: VoicingStyle,
  id: string,
  title: string,
  bass: string,
  [first, second]: readonly [string, string],
  serves: string,
  options: RowOptions,
): readonly FullVoicing[] => [
  row(style, `${id}a`, `${title}, ${first} below ${second}`, "A", `${bass}${first} ${second}`, PAIR, serves, options),
  row(style, `${id}b`, `${title}, ${second} below ${first}`, "B", `${bass}${second} ${first}`, PAIR, serves, options),
];

/** 3rd and 7th alone. */
export const GUIDE_TONES: readonly FullVoicing[] = bothWays(
  "guide-tones",
  "",
  "guide tones",
  "",
  ["third", "seventh"],
  ANY,
  { source },
);

/** Bass root, then 3rd and 7th in either order; and two-note shells in one hand. */
export const SHELLS: readonly FullVoicing[] = [
  ...bothWays("shell", "", "shell with bass root", "1 ", ["third", "seventh"], ANY, { groups, source }),
  ...bothWays("shell", "triad-", "shell of a triad", "1 ", ["third", "fifth"], TRIAD, { groups }),
  row("two-note-shell", "3", "root and 3rd", "1-3", "1 third", ROOT),
  row("two-note-shell", "7", "root and 7th", "1-7", "1 seventh", ROOT),
  row("two-note-shell", "5", "root and 5th of a triad", "1-5", "1 fifth", ROOT, TRIAD),
];

const INVERSIONS = ["root position", "first inversion", "second inversion", "third inversion"] as const;
const inversionsOf = (degrees: string): readonly (readonly string[])[] => {
  const steps = degrees.split(" ");
  return steps.map((_, i) => [...steps.slice(i), ...steps.slice(0, i)]);
};

const inversions = (id: string, title: string, degrees: string, serves: string): readonly FullVoicing[] =>
  inversionsOf(degrees).map((steps, i) => {
    const position = nth(INVERSIONS, i);
    return row(
      "close",
      `${id}-${i}`,
      `${title}, ${position}`,
      position,
      steps.join(" "),
      LEFT_HAND,
      // The third inversion of a major seventh has 7th and root side by side at the bottom.
      serves,
      i === 3 ? { semitoneAtBottom: true } : {},
    );
  });

const SEVENTH_CHORD = "1 third fifth seventh";

/** All tones within an octave, in root position and its inversions. */
export const CLOSE: readonly FullVoicing[] = [
  ...inversions("seventh", "seventh chord", SEVENTH_CHORD, ANY),
  ...inversions("triad", "triad", "1 third fifth", TRIAD),
  ...inversions("fifth", "bare fifth", "1 5", "not 3 b3 4 2 7 b7"),
];

/** Close positions of four notes with the second from the top an octave lower, two notes for each hand. */
export const DROP_2: readonly FullVoicing[] = inversionsOf(SEVENTH_CHORD).map(([lowest, second, third, top], i) =>
  row(
    "drop-2",
    `${i}`,
    `drop 2 of the ${nth(INVERSIONS, i)}`,
    nth(INVERSIONS, i),
    `${third} ${lowest} | ${second} ${top}`,
    TWO_HANDS,
  ),
);

/** Root and 10th with a 5th or 7th between, in one hand: only where the span allows a tenth. */
export const TENTHS: readonly FullVoicing[] = [
  row("tenth", "5", "root, 5th and 10th", "1-5-3", "1 fifth third", BASS, "3 or b3"),
  row("tenth", "7", "root, 7th and 10th", "1-7-3", "1 seventh third", BASS, "3 or b3"),
];
