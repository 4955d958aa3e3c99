import type { FullVoicing, Register, RowOptions, VoicingStyle } from "./form.ts";
import { ANY, COMMON, printed, row, TWO_HANDS } from "./form.ts";
import { ROOTLESS } from "./rootless.ts";

// The right hand a third above where the left hand plays the same forms: common practice, no source.
const RIGHT_HAND: Register = { of: "top", from: "E4", to: "E5", width: 10 };

const LEVINE = "Levine, M. (1989), The Jazz Piano Book, on upper structures (cited from memory)";

/** The root in the left hand, by itself, and a rootless form in the right. */
const UNDER_ROOT: readonly FullVoicing[] = ROOTLESS.filter(
  // A triad on the 9th says more of a major 13♯11.
  ({ id, degrees, onRequest }) => onRequest !== true && degrees.length === 4 && !id.includes("maj13#11"),
).map((form) => ({
  ...form,
  id: form.id.replace("rootless", "upper-structure"),
  title: `${form.title}, over the root`,
  style: "upper-structure",
  degrees: ["1", ...form.degrees],
  groups: [
    { hand: "left", notes: 1, bass: true },
    { hand: "right", notes: form.degrees.length },
  ],
  register: RIGHT_HAND,
  ...(form.degrees.includes("1") && { doubled: true }),
}));

const on = (id: string, title: string, label: string, degrees: string, serves: string, doubled: boolean): FullVoicing =>
  row("upper-structure", id, title, label, degrees, TWO_HANDS, serves, {
    source: LEVINE,
    ...(doubled && { doubled: true }),
  });

/** A triad in the right hand over 3rd and 7th in the left: A has the 3rd at the bottom. */
const triad = (id: string, name: string, degrees: string, serves: string, doubled = false): readonly FullVoicing[] => [
  on(`${id}-a`, `${name} over 3rd and 7th`, "A", `3 b7 | ${degrees}`, serves, doubled),
  on(`${id}-b`, `${name} over 7th and 3rd`, "B", `b7 3 | ${degrees}`, serves, doubled),
];

const TRIADS: readonly FullVoicing[] = [
  ...triad("ii", "major triad on the 9th", "(9) #11 (13)", "not b9 #9 b13"),
  ...triad("v", "minor triad on the 5th", "5 b7 (9)", "not b9 #9 b13 13", true),
  ...triad("vi", "minor triad on the 13th", "(13) 1 3", "not b9 #9 b13 #11", true),
  ...triad("major-vi", "major triad on the 13th", "13 b9 3", ANY, true),
  ...triad("flat-vi", "major triad on the ♭13th", "b13 1 #9", ANY),
  ...triad("flat-ii", "minor triad on the ♭9th", "b9 3 b13", ANY, true),
  ...triad("flat-v", "major triad on the ♯11th", "#11 b7 b9", ANY, true),
  ...triad("i", "minor triad on the root", "5 1 #9", ANY),
  on("major-ii", "major triad on the 9th over a major seventh", "A", "3 7 | (9) #11 (13)", ANY, false),
];

/** The left hand's root or shell, the right hand's upper structure: what a pianist plays behind a singer. */
export const UPPER_STRUCTURES: readonly FullVoicing[] = [...UNDER_ROOT, ...TRIADS];

// "Four-way close", low to high, with the melody on top; the stroke stands where the left hand doubles it an octave below.
interface Block {
  readonly id: string;
  readonly degrees: string;
  readonly serves: string;
  /** The left hand takes the lowest note instead, a semitone above the note that it would double. */
  readonly grates?: true;
}

const PLAIN_MAJOR = "3 not 7 b7 or 3 7 not 9 #9 11 #11 13 #5";
const FOUR = "b7 or bb7";
const OTHER_TRIAD = "#5 not 7 b7 or b5 not b7 bb7 3 or 4 not b7 3 b3 or 2 not b7 3 b3";
const NINTH = "3 b7 not b9 #9 or b3 b7 not b5 b9";
const MINOR_SIXTH = "b3 not b7 7 b5 b13";

// A 9th stands for the root, a 13th for the 5th of a dominant; a 6th for the 7th under the root of a major chord, where the two would grate.
const BLOCKS: readonly Block[] = [
  { id: "6-on-1", degrees: "3 5 (6) 1", serves: PLAIN_MAJOR },
  { id: "6-on-3", degrees: "5 (6) 1 3", serves: PLAIN_MAJOR },
  { id: "6-on-5", degrees: "(6) 1 3 5", serves: PLAIN_MAJOR },
  { id: "6-on-6", degrees: "1 3 5 (6)", serves: PLAIN_MAJOR },
  { id: "6-on-9", degrees: "3 5 (6) (9)", serves: PLAIN_MAJOR },
  { id: "maj7-on-3", degrees: "5 7 (9) 3", serves: "3 7 not #5" },
  { id: "maj7-on-5", degrees: "7 (9) 3 5", serves: "3 7 not #5" },
  { id: "maj7-on-7", degrees: "(9) 3 5 7", serves: "3 7 not #5" },
  { id: "maj7-on-9", degrees: "3 5 7 (9)", serves: "3 7 not #5" },
  { id: "m6-on-1", degrees: "b3 5 (6) 1", serves: MINOR_SIXTH },
  { id: "m6-on-3", degrees: "5 (6) 1 b3", serves: MINOR_SIXTH },
  { id: "m6-on-5", degrees: "(6) 1 b3 5", serves: MINOR_SIXTH },
  { id: "m6-on-6", degrees: "1 b3 5 (6)", serves: MINOR_SIXTH },
  { id: "m6-on-9", degrees: "b3 5 (6) (9)", serves: MINOR_SIXTH, grates: true },
  { id: "m-maj7-on-1", degrees: "b3 5 (6) 1", serves: "b3 7" },
  { id: "m-maj7-on-3", degrees: "5 7 (9) b3", serves: "b3 7" },
  { id: "m-maj7-on-5", degrees: "7 (9) b3 5", serves: "b3 7" },
  { id: "m-maj7-on-7", degrees: "(9) b3 5 7", serves: "b3 7" },
  { id: "7-on-1", degrees: "third fifth seventh 1", serves: FOUR },
  { id: "7-on-3", degrees: "fifth seventh 1 third", serves: FOUR },
  { id: "7-on-5", degrees: "seventh 1 third fifth", serves: FOUR },
  { id: "7-on-7", degrees: "1 third fifth seventh", serves: FOUR },
  { id: "9-on-3", degrees: "fifth b7 (9) third", serves: NINTH },
  { id: "9-on-5", degrees: "b7 (9) third fifth", serves: NINTH },
  { id: "9-on-7", degrees: "(9) third fifth b7", serves: NINTH },
  { id: "9-on-9", degrees: "3 fifth b7 (9)", serves: NINTH },
  { id: "m9-on-9", degrees: "b3 5 b7 (9)", serves: NINTH, grates: true },
  { id: "13-on-3", degrees: "(13) b7 (9) 3", serves: "3 b7 not b9 #9 b13 #5" },
  { id: "13-on-9", degrees: "3 (13) b7 (9)", serves: "3 b7 not b9 #9 b13 #5" },
  { id: "13-on-13", degrees: "b7 (9) 3 (13)", serves: "3 b7 not b9 #9 b13 #5", grates: true },
  { id: "11-on-11", degrees: "5 b7 (9) (11)", serves: "b3 b7 not b5" },
  { id: "7b9-on-3", degrees: "fifth b7 b9 3", serves: ANY },
  { id: "7b9-on-5", degrees: "b7 b9 3 fifth", serves: ANY },
  { id: "7b9-on-7", degrees: "b9 3 fifth b7", serves: ANY },
  { id: "7b9-on-9", degrees: "3 fifth b7 b9", serves: ANY },
  { id: "triad-on-1", degrees: "third fifth 1", serves: OTHER_TRIAD },
  { id: "triad-on-3", degrees: "fifth 1 third", serves: OTHER_TRIAD },
  { id: "triad-on-5", degrees: "1 third fifth", serves: OTHER_TRIAD },
  { id: "7#9-on-5", degrees: "b7 #9 3 fifth", serves: ANY },
  { id: "7#9-on-7", degrees: "#9 3 fifth b7", serves: ANY },
  { id: "7#9-on-9", degrees: "3 fifth b7 #9", serves: ANY, grates: true },
];

const BLOCK_SOURCE = `four-way close, its lead doubled an octave below, and drop 2: ${COMMON}`;

const block = (style: VoicingStyle, { id, serves }: Block, degrees: string, options: RowOptions): FullVoicing => {
  const top = id.split("-").at(-1) ?? id;
  const name = style === "drop-2" ? "drop 2" : "four-way close";
  return row(style, id, `${name}, ${printed(id.replaceAll("-", " "))}`, top, degrees, TWO_HANDS, serves, {
    source: BLOCK_SOURCE,
    ...options,
  });
};

/** Four-way close in the right hand, the left hand with its top note an octave below: block chords, locked hands. */
export const LOCKED: readonly FullVoicing[] = BLOCKS.map((one) => {
  const notes = one.degrees.split(" ");
  const [low = "", lead = ""] = [notes[0], notes.at(-1)];
  return one.grates === true
    ? block("locked-hands", one, `${low} | ${notes.slice(1).join(" ")}`, {})
    : block("locked-hands", one, `${lead} | ${one.degrees}`, { doubled: true });
});

/** The same with the second from the top an octave lower, in the left hand; only under a melody, since drop 2 has rows of its own. */
export const DROPPED: readonly FullVoicing[] = BLOCKS.filter(({ degrees }) => degrees.split(" ").length === 4).map(
  (one) => {
    const [low = "", second = "", dropped = "", lead = ""] = one.degrees.split(" ");
    return block("drop-2", { ...one, id: `under-${one.id}` }, `${dropped} | ${low} ${second} ${lead}`, {
      onRequest: true,
    });
  },
);
