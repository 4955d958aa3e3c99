import type { Degree } from "../pitch/index.ts";
import type { ChordPattern, ChordRole, HandGroup, Register, VoicingRow, VoicingStyle } from "./form.ts";
import { formatDegree } from "../chord/index.ts";
import { ANY, COMMON, TRIAD, oneHand, twoHands } from "./form.ts";

const LEFT_REGISTER: Register = { of: "top", from: "C4", to: "C5", width: 10 };
const BOTH_REGISTER: Register = { of: "top", from: "G4", to: "G5", width: 19 };
const SPREAD_REGISTER: Register = { of: "lowest", from: "E2", to: "Eb3", width: 0 };

const NO_THIRD: readonly ChordPattern[] = [{ not: ["3", "b3", "7"] }];
const MINOR_SEVENTH: readonly ChordPattern[] = [{ not: ["6", "b5"] }];
const NO_FLAT_7: readonly ChordPattern[] = [{ not: ["b7", "4"] }];

const row = (
  style: VoicingStyle, id: string, title: string, label: string, degrees: readonly (Degree | ChordRole)[], tensions: readonly Degree[],
  groups: readonly HandGroup[], serves: readonly ChordPattern[] = ANY,
): VoicingRow => ({
  id: `${style}-${id}`,
  title,
  style,
  label,
  degrees,
  serves,
  tensions,
  groups,
  register: style === "spread" ? SPREAD_REGISTER : groups.length === 1 ? LEFT_REGISTER : BOTH_REGISTER,
  source: COMMON,
});

/** Stacked fourths, one of them augmented in a dominant; the two-hand ones end in a third. */
export const FOURTHS: readonly VoicingRow[] = [
  row("fourths", "6-3", "3 6 9 in fourths", "3-6-9", ["3", "6", "9"], ["6", "9"], oneHand(3), NO_FLAT_7),
  row("fourths", "6-6", "6 9 5 in fourths", "6-9-5", ["6", "9", "5"], ["6", "9"], oneHand(3), [{ has: ["3"], not: ["b7"] }]),
  row("fourths", "maj7", "7 3 13 in fourths", "7-3-13", ["7", "3", "13"], ["13"], oneHand(3)),
  row("fourths", "m7-11", "11 ♭7 ♭3 in fourths", "11-7-3", ["11", "b7", "b3"], ["11", "b7"], oneHand(3), MINOR_SEVENTH),
  row("fourths", "m7-5", "5 1 11 in fourths", "5-1-11", ["5", "1", "11"], ["11"], oneHand(3), [{ has: ["b3"], not: ["6", "7"] }]),
  row("fourths", "7", "♭7 3 13, tritone and fourth", "7-3-13", ["b7", "3", "13"], ["13"], oneHand(3)),
  row("fourths", "7#9", "3 ♭7 ♯9, tritone and fourth", "3-7-9", ["3", "b7", "#9"], [], oneHand(3)),
  row("fourths", "7sus", "1 4 ♭7 in fourths", "1-4-7", ["1", "4", "b7"], ["b7"], oneHand(3), NO_THIRD),
  row("fourths", "7sus-5", "5 1 4 in fourths", "5-1-4", ["5", "1", "4"], [], oneHand(3), NO_THIRD),
  row("fourths", "69-wide", "3 6 9 5 1, five notes in fourths", "3-6-9-5-1", ["3", "6", "9", "5", "1"], ["6", "9"], twoHands(2, 3), NO_FLAT_7),
  row("fourths", "m11-wide", "1 11 ♭7 ♭3 5, three fourths and a third", "1-11-7-3-5",
    ["1", "11", "b7", "b3", "5"], ["11", "b7"], twoHands(2, 3), MINOR_SEVENTH),
  row("fourths", "13-wide", "♭7 3 13 9 5, fourths with a tritone below", "7-3-13-9-5", ["b7", "3", "13", "9", "5"], ["13", "9"], twoHands(2, 3)),
  row("fourths", "13sus-wide", "1 4 ♭7 9 13, fourths below a third and a fifth", "1-4-7-9-13",
    ["1", "4", "b7", "9", "13"], ["b7", "9", "13"], twoHands(2, 3), NO_THIRD),
];

// Between the 3rd and the 9th of a dominant stands its 5th, 13th, ♭13th or ♯11th.
const DOMINANT_SPREAD: readonly VoicingRow[] = (["5", "13", "b13", "#11"] as const).flatMap((middle) =>
  (["9", "b9", "#9"] as const).map((ninth) =>
    row("spread", `7-${middle}-${ninth}`, `1 ♭7 under 3 ${formatDegree(middle)} ${formatDegree(ninth)}`, "1-7", ["1", "b7", "3", middle, ninth],
      [...(middle === "13" ? ["13" as const] : []), ...(ninth === "9" ? ["9" as const] : [])], twoHands(2, 3))));

/** Root and 5th or 7th in the left hand, the rest in the right. */
export const SPREAD: readonly VoicingRow[] = [
  row("spread", "maj9-7", "1 7 under 3 5 9", "1-7", ["1", "7", "3", "5", "9"], ["9"], twoHands(2, 3)),
  row("spread", "maj9-5", "1 5 under 3 7 9", "1-5", ["1", "5", "3", "7", "9"], ["9"], twoHands(2, 3)),
  row("spread", "maj13-7", "1 7 under 3 13 9", "1-7", ["1", "7", "3", "13", "9"], ["9"], twoHands(2, 3)),
  row("spread", "maj7#11-7", "1 7 under 3 ♯11 9", "1-7", ["1", "7", "3", "#11", "9"], ["9"], twoHands(2, 3)),
  row("spread", "maj7#5-7", "1 7 under 3 ♯5 9", "1-7", ["1", "7", "3", "#5", "9"], ["9"], twoHands(2, 3)),
  row("spread", "69-5", "1 5 under 3 6 9", "1-5", ["1", "5", "3", "6", "9"], ["9"], twoHands(2, 3), [{ has: ["6"], not: ["7", "b7"] }]),
  row("spread", "m9-7", "1 ♭7 under ♭3 5 9", "1-7", ["1", "b7", "b3", "5", "9"], ["9"], twoHands(2, 3)),
  row("spread", "m9-5", "1 5 under ♭3 ♭7 9", "1-5", ["1", "5", "b3", "b7", "9"], ["9"], twoHands(2, 3)),
  row("spread", "m11-5", "1 5 under ♭7 ♭3 11", "1-5", ["1", "5", "b7", "b3", "11"], [], twoHands(2, 3)),
  row("spread", "m69-5", "1 5 under ♭3 6 9", "1-5", ["1", "5", "b3", "6", "9"], ["9"], twoHands(2, 3), [{ has: ["6"], not: ["7", "b7"] }]),
  row("spread", "m-maj9-5", "1 5 under ♭3 7 9", "1-5", ["1", "5", "b3", "7", "9"], ["9"], twoHands(2, 3)),
  ...DOMINANT_SPREAD,
  row("spread", "9sus-5", "1 5 under ♭7 9 4", "1-5", ["1", "5", "b7", "9", "4"], ["b7", "9"], twoHands(2, 3), NO_THIRD),
  row("spread", "13sus-7", "1 ♭7 under 4 13 9", "1-7", ["1", "b7", "4", "13", "9"], ["b7", "9", "13"], twoHands(2, 3), NO_THIRD),
  row("spread", "7susb9-5", "1 5 under ♭7 ♭9 4", "1-5", ["1", "5", "b7", "b9", "4"], [], twoHands(2, 3), NO_THIRD),
  row("spread", "m7b5", "1 ♭5 under ♭7 ♭3", "1-5", ["1", "b5", "b7", "b3"], [], twoHands(2, 2)),
  row("spread", "m11b5", "1 ♭5 under ♭7 ♭3 11", "1-5", ["1", "b5", "b7", "b3", "11"], ["11"], twoHands(2, 3)),
  row("spread", "dim7", "1 ♭5 under 𝄫7 ♭3", "1-5", ["1", "b5", "bb7", "b3"], [], twoHands(2, 2)),
  { ...row("spread", "triad", "1 5 under 3 5 1", "1-5", ["1", "fifth", "third", "fifth", "1"], [], twoHands(2, 3), TRIAD), doubled: true },
];
