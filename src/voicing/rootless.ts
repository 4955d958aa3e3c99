import type { FullVoicing, RowOptions } from "./form.ts";
import { ANY, COMMON, LEFT_HAND, printed, row } from "./form.ts";

// MacDonald, E. (University of Connecticut), handout "Rootless Left Hand Piano Voicings": the top note, the left
// thumb's, between C4 and C5; A has the 3rd at the bottom, B the 7th.
const HANDOUT = "MacDonald, handout 'Rootless Left Hand Piano Voicings'";

const four = (symbol: string, label: "A" | "B", degrees: string, serves = ANY, options?: RowOptions): FullVoicing =>
  row(
    "rootless",
    `${symbol}-${label.toLowerCase()}`,
    `${printed(symbol)}, ${label} form`,
    label,
    degrees,
    LEFT_HAND,
    serves,
    options,
  );

// The two forms are inversions of each other: B takes the upper pair of A and puts it below.
const pair = (symbol: string, degrees: string, serves = ANY, options?: RowOptions): readonly FullVoicing[] => {
  const [first = "", second = "", third = "", fourth = ""] = degrees.split(" ");
  return [
    four(symbol, "A", degrees, serves, options),
    four(symbol, "B", `${third} ${fourth} ${first} ${second}`, serves, options),
  ];
};

const MAJOR: readonly FullVoicing[] = [
  ...pair("maj9", "3 5 7 (9)"),
  // A 6/9 may stand for a plain triad or sixth chord, and for a major seventh that names nothing above its 7th.
  ...pair("69", "3 5 (6) (9)", "not 7 b7 or 7 not 9 #9 11 #11 13"),
  ...pair("maj13", "3 13 7 (9)"),
  ...pair("maj7#11", "3 #11 7 (9)"),
  ...pair("maj7#5", "3 #5 7 (9)"),
  ...pair("69#11", "3 #11 6 9", "not 7 b7"),
  ...pair("maj7#9", "3 5 7 #9"),
  // All that such a symbol names, as in the dominant 13♯11 below.
  four("maj13#11", "A", "3 #11 13 7"),
  four("maj13#11", "B", "7 3 #11 13"),
  // The handout keeps the root in its B position of maj7; its degrees there could not be read, so these are ours.
  four("maj7", "A", "3 5 7 1", ANY, { onRequest: true }),
  four("maj7", "B", "7 1 3 5", ANY, { onRequest: true, semitoneAtBottom: true }),
  // The root for the 9th, where a sixth chord lasts and its top moves.
  ...pair("6", "3 5 (6) 1", "not 7 b7", { onRequest: true }),
];

// A 6th, plain or flat, speaks against adding a 7th; a ♭5 makes another chord.
const NATURAL_MINOR = "not 6 b13 b5";

const MINOR: readonly FullVoicing[] = [
  // The handout gives the A position. A minor triad takes the 7th too: it lies in the natural minor scale of its root.
  four("m9", "A", "b3 5 (b7) (9)", NATURAL_MINOR, { source: HANDOUT }),
  four("m9", "B", "(b7) (9) b3 5", NATURAL_MINOR),
  // The 11th in the 5th's place.
  ...pair("m11", "b3 11 b7 (9)", NATURAL_MINOR),
  ...pair("m13", "b3 13 b7 (9)"),
  ...pair("m69", "b3 5 6 (9)", "not b7 7"),
  ...pair("m-maj7", "b3 5 7 (9)"),
  ...pair("m9b13", "b3 b13 b7 (9)"),
  ...pair("m6-11", "b3 11 6 (9)", "not b7 7"),
  ...pair("m-maj13", "b3 13 7 (9)"),
  ...pair("m-maj9#11", "b3 #11 7 9"),
  ...pair("m7b9", "b3 5 b7 b9"),
  // Without a 9th, for places where it would be foreign to the key.
  four("m7", "A", "b3 5 b7 1", ANY, { onRequest: true }),
  four("m7", "B", "b7 1 b3 5", ANY, { onRequest: true }),
  ...pair("m7-11", "b3 (11) b7 1", NATURAL_MINOR, { onRequest: true }),
  ...pair("m6", "b3 5 6 1", "not b7 7", { onRequest: true }),
];

const FIVE = [
  { id: "13b9#11", a: "3 #11 13 b7 b9", b: "b7 b9 3 #11 13", serves: ANY },
  { id: "13#9#11", a: "3 #11 13 b7 #9", b: "b7 #9 3 #11 13", serves: ANY },
  { id: "7b9#11b13", a: "3 #11 b13 b7 b9", b: "b7 b9 3 #11 b13", serves: "not #9" },
  { id: "7#9#11b13", a: "3 #11 b13 b7 #9", b: "b7 #9 3 #11 b13", serves: "not b9" },
  { id: "7b9#9", a: "3 5 b7 b9 #9", b: "b7 b9 #9 3 5", serves: "not b13" },
] as const;

// What fills the 5th's place, and what the 9th's. The 13th comes first, so that it wins a tie over the plain 9th: from
// ii it is one note, a semitone away.
const DOMINANT: readonly FullVoicing[] = [
  ...pair("13", "3 (13) b7 (9)"),
  ...pair("9", "3 5 b7 (9)"),
  ...pair("7b9", "3 5 b7 b9"),
  ...pair("13b9", "3 13 b7 b9"),
  ...pair("7#9", "3 5 b7 #9"),
  ...pair("13#9", "3 13 b7 #9"),
  ...pair("9b13", "3 b13 b7 (9)"),
  ...pair("7b9b13", "3 b13 b7 b9"),
  // The altered chord.
  ...pair("7#9b13", "3 b13 b7 #9"),
  ...pair("9#11", "3 #11 b7 (9)", "not b13"),
  four("13#11", "A", "3 #11 (13) b7", "not b9 #9"),
  four("13#11", "B", "b7 3 #11 (13)", "not b9 #9"),
  ...pair("7b9#11", "3 #11 b7 b9", "not b13"),
  ...pair("7#9#11", "3 #11 b7 #9", "not b13"),
  // Five notes, for symbols that name three colours.
  ...FIVE.flatMap(({ id, a, b, serves }) => [four(id, "A", a, serves), four(id, "B", b, serves)]),
];

// A dominant 11 sounds its 4th without the 3rd. "A" has the 4th at the bottom, which stands for the 3rd. A plain sus4 takes the 7th, as the trade reads "sus".
const SUSPENDED: readonly FullVoicing[] = [
  ...pair("9sus", "4 5 (b7) (9)", "not 3 b3 7 or 3 b7 11"),
  ...pair("13sus", "4 (13) (b7) (9)", "not 3 b3 7"),
  ...pair("7susb9", "4 5 b7 b9", "not 3 b3"),
  ...pair("13susb9", "4 13 b7 b9", "not 3 b3"),
  ...pair("9susb13", "4 b13 b7 9", "not 3 b3"),
];

const DIMINISHED: readonly FullVoicing[] = [
  // The handout keeps the root in both of these; the A position is the ii of the usual minor ii-V-i.
  ...pair("m7b5", "b3 b5 b7 1", ANY, { source: `${HANDOUT}: the root stays; degrees ${COMMON}` }),
  ...pair("m9b5", "b3 b5 b7 9"),
  four("m11b5", "A", "b3 (11) b5 b7"),
  four("m11b5", "B", "b7 b3 (11) b5"),
  ...pair("dim7", "b3 b5 (bb7) 1", "not 6"),
  // The 9th in the root's place.
  ...pair("dim9", "b3 b5 bb7 (9)", ANY, { onRequest: true }),
];

/** Four-note left-hand voicings, the root left to the bass but where a row keeps it. */
export const ROOTLESS: readonly FullVoicing[] = [...MAJOR, ...MINOR, ...DOMINANT, ...SUSPENDED, ...DIMINISHED];

const three = (symbol: string, label: "A" | "B", degrees: string, serves = ANY, options?: RowOptions): FullVoicing =>
  row(
    "three-note-rootless",
    `${symbol}-${label.toLowerCase()}`,
    `${printed(symbol)} in three notes, ${label} form`,
    label,
    degrees,
    LEFT_HAND,
    serves,
    options,
  );

/** Three-note left-hand voicings: 3rd and 7th with one colour. */
export const THREE_NOTE: readonly FullVoicing[] = [
  three("maj9", "A", "3 7 (9)"),
  three("maj7", "B", "7 3 5"),
  three("maj13", "B", "7 3 13"),
  three("maj7#11", "B", "7 3 #11"),
  three("maj7#5", "B", "7 3 #5"),
  three("69", "A", "3 (6) (9)", "not 7 b7"),
  three("6", "B", "(6) 3 5", "not 7 b7"),
  three("m9", "A", "b3 (b7) (9)", NATURAL_MINOR),
  three("m7", "B", "(b7) b3 5", NATURAL_MINOR),
  three("m11", "B", "b7 b3 11", NATURAL_MINOR),
  three("m13", "B", "b7 b3 13"),
  three("m7b13", "B", "b7 b3 b13"),
  three("m69", "A", "b3 6 (9)", "not b7 7"),
  three("m6", "B", "6 b3 5", "not b7 7"),
  three("m-maj9", "A", "b3 7 (9)"),
  three("m-maj7", "B", "7 b3 5"),
  three("9", "A", "3 b7 (9)"),
  three("7b9", "A", "3 b7 b9"),
  three("7b9", "B", "b7 b9 3"),
  three("7#9", "A", "3 b7 #9"),
  three("7", "B", "b7 3 5"),
  three("13", "B", "b7 3 (13)"),
  three("7b13", "B", "b7 3 b13"),
  three("7#11", "B", "b7 3 #11"),
  three("9sus", "A", "4 (b7) (9)", "not 3 b3 7"),
  three("7susb9", "A", "4 b7 b9", "not 3 b3"),
  three("7sus", "B", "(b7) 4 5", "not 3 b3 7"),
  three("13sus", "B", "(b7) 4 (13)", "not 3 b3 7"),
  three("m7b5", "A", "b3 b5 b7"),
  three("m7b5", "B", "b7 b3 b5"),
  three("dim7", "A", "b3 b5 (bb7)", "not 6"),
  three("dim7", "B", "(bb7) b3 b5", "not 6"),
];
