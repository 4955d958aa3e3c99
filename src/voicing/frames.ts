import type { Degree } from "../pitch/index.ts";
import type { ChordPattern, ChordRole, HandGroup, Register, VoicingRow, VoicingStyle } from "./form.ts";
import { ANY, COMMON, TRIAD, oneHand, twoHands } from "./form.ts";

type Steps = readonly (Degree | ChordRole)[];

const HUTCHINSON =
  "Hutchinson, R., Music Theory for the 21st-Century Classroom, sec. 31.7, Univ. of Puget Sound: "
  + "the 6th replaces a missing 7th, the 4th of a sus chord its missing 3rd";

// The upper pair ends at G4, the top of the range that the trade gives for bass shells (C2 to G4; common practice, no source).
const PAIR_REGISTER: Register = { of: "top", from: "G3", to: "G4", width: 6 };
// Roots from C3 keep a minor third, the closest interval here, at its low-interval limit.
const ROOT_REGISTER: Register = { of: "lowest", from: "C3", to: "B3", width: 0 };
const CLOSE_REGISTER: Register = { of: "top", from: "C4", to: "C5", width: 10 };
const TENTH_REGISTER: Register = { of: "lowest", from: "E2", to: "Eb3", width: 0 };
const DROP_REGISTER: Register = { of: "top", from: "G4", to: "G5", width: 14 };

const row = (
  style: VoicingStyle, id: string, title: string, label: string, degrees: Steps, groups: readonly HandGroup[], register: Register,
  rest: Partial<Pick<VoicingRow, "serves" | "semitoneAtBottom" | "source">> = {},
): VoicingRow => ({ id, title, style, label, degrees, serves: ANY, tensions: [], groups, register, source: COMMON, ...rest });

const MAJOR_OR_MINOR: readonly ChordPattern[] = [{ has: ["3"] }, { has: ["b3"] }];
const BARE: readonly ChordPattern[] = [{ not: ["3", "b3", "4", "2", "7", "b7"] }];

// The root is struck by itself, then the pair: one hand never holds all three.
const BASS_AND_PAIR: readonly HandGroup[] = [{ hand: "left", notes: 1, bass: true }, { hand: "left", notes: 2 }];

/** 3rd and 7th alone. */
export const GUIDE_TONES: readonly VoicingRow[] = [
  row("guide-tones", "guide-tones-a", "guide tones, 3rd below 7th", "A", ["third", "seventh"], oneHand(2), PAIR_REGISTER, { source: HUTCHINSON }),
  row("guide-tones", "guide-tones-b", "guide tones, 7th below 3rd", "B", ["seventh", "third"], oneHand(2), PAIR_REGISTER, { source: HUTCHINSON }),
];

/** Bass root, then 3rd and 7th in either order; and two-note shells in one hand. */
export const SHELLS: readonly VoicingRow[] = [
  row("shell", "shell-a", "shell with bass root, 3rd below 7th", "A", ["1", "third", "seventh"], BASS_AND_PAIR, PAIR_REGISTER, { source: HUTCHINSON }),
  row("shell", "shell-b", "shell with bass root, 7th below 3rd", "B", ["1", "seventh", "third"], BASS_AND_PAIR, PAIR_REGISTER, { source: HUTCHINSON }),
  row("shell", "shell-triad-a", "shell of a triad, 3rd below 5th", "A", ["1", "third", "fifth"], BASS_AND_PAIR, PAIR_REGISTER, { serves: TRIAD }),
  row("shell", "shell-triad-b", "shell of a triad, 5th below 3rd", "B", ["1", "fifth", "third"], BASS_AND_PAIR, PAIR_REGISTER, { serves: TRIAD }),
  row("two-note-shell", "two-note-shell-3", "root and 3rd", "1-3", ["1", "third"], oneHand(2), ROOT_REGISTER),
  row("two-note-shell", "two-note-shell-7", "root and 7th", "1-7", ["1", "seventh"], oneHand(2), ROOT_REGISTER),
  row("two-note-shell", "two-note-shell-5", "root and 5th of a triad", "1-5", ["1", "fifth"], oneHand(2), ROOT_REGISTER, { serves: TRIAD }),
];

const INVERSIONS = ["root position", "first inversion", "second inversion", "third inversion"] as const;
const rotate = (steps: Steps, by: number): Steps => [...steps.slice(by), ...steps.slice(0, by)];

const inversions = (id: string, title: string, steps: Steps, serves: readonly ChordPattern[]): readonly VoicingRow[] =>
  steps.map((_, i) =>
    row("close", `close-${id}-${i}`, `${title}, ${INVERSIONS[i] as string}`, INVERSIONS[i] as string, rotate(steps, i), oneHand(steps.length), CLOSE_REGISTER,
      // The third inversion of a major seventh has 7th and root side by side at the bottom.
      { serves, ...(steps.length === 4 && i === 3 ? { semitoneAtBottom: true as const } : {}) }));

/** All tones within an octave, in root position and its inversions. */
export const CLOSE: readonly VoicingRow[] = [
  ...inversions("seventh", "seventh chord", ["1", "third", "fifth", "seventh"], ANY),
  ...inversions("triad", "triad", ["1", "third", "fifth"], TRIAD),
  ...inversions("fifth", "bare fifth", ["1", "5"], BARE),
];

// A close position's second note from the top, dropped an octave.
const dropped = (close: Steps): Steps => [close[2] as Degree, close[0] as Degree, close[1] as Degree, close[3] as Degree];

/** Close positions of four notes with the second from the top an octave lower, two notes for each hand. */
export const DROP_2: readonly VoicingRow[] = INVERSIONS.map((name, i) =>
  row("drop-2", `drop-2-${i}`, `drop 2 of the ${name}`, name, dropped(rotate(["1", "third", "fifth", "seventh"], i)), twoHands(2, 2), DROP_REGISTER));

/** Root and 10th with a 5th or 7th between, in one hand: only where the span allows a tenth. */
export const TENTHS: readonly VoicingRow[] = [
  row("tenth", "tenth-5", "root, 5th and 10th", "1-5-3", ["1", "fifth", "third"], oneHand(3), TENTH_REGISTER, { serves: MAJOR_OR_MINOR }),
  row("tenth", "tenth-7", "root, 7th and 10th", "1-7-3", ["1", "seventh", "third"], oneHand(3), TENTH_REGISTER, { serves: MAJOR_OR_MINOR }),
];
