import type { CompingId, CompingRow } from "../comping/index.ts";
import type { ExerciseRow } from "../line/index.ts";
import type { RecipeForAnyKey, RightHandId } from "../recipe/index.ts";

/** The paths of the curriculum, in the order in which they are shown. */
export const PATHS = [
  "shells",
  "rootless",
  "comping",
  "scale",
  "triplets",
  "slides",
  "lines",
  "keys",
  "feels",
  "charts",
] as const;

/** A path of the curriculum. */
export type SkillPath = (typeof PATHS)[number];

/** Something that a student can learn: what comes before it, its drill, and what varies from week to week. */
export interface SkillRow {
  readonly id: string;
  readonly title: string;
  readonly path: SkillPath;
  /** 1 for first lessons to 5 for the advanced: who begins at a higher level is taken to know it. */
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** What it is for, in a teacher's words. */
  readonly aim: string;
  /** Ids of the skills that are learnt before it. */
  readonly after: readonly string[];
  /** Ids of `findingCatalogue`: what was found in takes that this skill is a remedy for. */
  readonly helps: readonly string[];
  /** What every drill of it has in common. */
  readonly drill: Omit<RecipeForAnyKey, "changes" | "right" | "comping">;
  /** What it is practised over, by turns: named progressions, numerals or charts; empty for the student's own charts. */
  readonly changes: readonly string[];
  /** What the right hand plays, by turns. */
  readonly right: readonly (RightHandId | ExerciseRow)[];
  /** Patterns of the left hand, by turns. @defaultValue the left hand's usual one */
  readonly comping?: readonly (CompingId | CompingRow)[] | undefined;
  /** The tonics that it is about. @defaultValue whichever the student knows */
  readonly keys?: readonly string[] | undefined;
  /** Where it begins, and where it counts as known, in beats a minute; the caution applies. */
  readonly tempo: readonly [start: number, goal: number];
  readonly source: string;
}

// Which progressions go together, easiest first as far as harmony goes; within a skill the measured difficulty decides.
const FIRST = ["turnaround", "two-five-one-long", "blues", "turnaround-two-bars", "eight-bar-blues"];
const TURNAROUNDS = ["turnaround", "turnaround-dominant", "turnaround-from-three", "turnaround-passing", "walk-up"];
const COLOURED = ["turnaround-dominants", "turnaround-diminished", "turnaround-stepwise", "turnaround-tritone"];
const SUBSTITUTES = ["turnaround-tritone-dominants", "turnaround-flat-side", "two-five-one-tritone", "backdoor"];
const TWO_FIVES = ["two-five-one", "two-five-one-long", "two-five-one-short", "two-five-one-suspended"];
const MINOR = ["minor-turnaround", "minor-two-five-one", "minor-two-five-one-long", "minor-line", "minor-descent"];
const MORE_MINOR = ["minor-turnaround-flat-six", "minor-two-five-one-short", "minor-cycle", "minor-blues"];
const BLUES = ["blues", "blues-quick-change", "blues-turnaround", "jazz-blues", "eight-bar-blues"];
const CYCLES = ["diatonic-cycle", "cycle-of-fourths", "cycle-of-fifths", "descending-two-fives"];
const FAR = ["tonics-by-major-thirds", "descending-two-fives-by-tone", "two-five-one-altered", "cycle-of-fifths"];
const PEDALS = ["tonic-pedal", "dominant-pedal", "suspended-resolving", "minor-subdominant"];
const VAMPS = ["major-vamp", "dorian-vamp", "montuno", "minor-montuno"];
const FORMS = ["tag-ending", "relative-minor-and-back", "dominant-bridge", "aaba"];

const SOURCE = "our choice after common practice, no source";

const row = (
  id: string,
  path: SkillRow["path"],
  level: SkillRow["level"],
  title: string,
  aim: string,
  rest: Omit<SkillRow, "id" | "path" | "level" | "title" | "aim" | "source" | "tempo" | "helps"> &
    Partial<Pick<SkillRow, "tempo" | "helps">>,
): SkillRow => ({ id, path, level, title, aim, helps: [], tempo: [60, 76], ...rest, source: SOURCE });

/**
 * The skills of the curriculum, path by path. A new one is one more row: what comes before it, its drill, and what varies from week to week.
 *
 * @example
 * ```ts
 * import { skillCatalogue } from "hands-together/notebook";
 *
 * skillCatalogue[0]?.id; // => "shells-alone"
 * skillCatalogue.filter((row) => row.path === "slides").map((row) => row.id); // => ["slides-down", "slides-into-thirds"]
 * ```
 */
export const skillCatalogue: readonly SkillRow[] = [
  row("shells-alone", "shells", 1, "Shells in the left hand", "Root, then 3rd and 7th: hear the chord in two notes.", {
    after: [],
    helps: ["left-out"],
    drill: { left: "shell", hands: "left" },
    changes: FIRST,
    right: ["up-and-down"],
  }),
  row(
    "shells-with-rhythm",
    "shells",
    1,
    "Shells and one note in time",
    "Keep the left hand going while the right has a rhythm.",
    {
      after: ["shells-alone"],
      helps: ["hands-apart", "unsteady-tempo", "pauses", "wrong-rhythm", "uneven-timing", "band-drift", "off-the-band"],
      drill: { left: "shell" },
      changes: FIRST,
      right: ["rhythm-alone"],
    },
  ),
  row("shells-with-scale", "shells", 1, "Shells under the scale", "Both hands at once, each sure of its own part.", {
    after: ["shells-alone", "scale-one-octave"],
    helps: ["hands-apart", "restarts", "balance", "detached"],
    drill: { left: "shell" },
    changes: TURNAROUNDS,
    right: ["up-and-down"],
  }),
  row("shells-in-minor", "shells", 2, "Shells in minor", "Half-diminished chords and the flat 9 by two notes each.", {
    after: ["shells-with-scale"],
    drill: { left: "shell" },
    changes: MINOR,
    right: ["up-and-down", "call-and-response"],
  }),
  row("shells-with-pickups", "shells", 2, "Shells with pickups", "Lead into the next chord by two notes in triplets.", {
    after: ["shells-with-scale", "triplets-first"],
    helps: ["uneven-triplets", "detached"],
    drill: { left: "shell", pickup: true },
    changes: [...FIRST, ...COLOURED],
    right: ["rhythm-alone", "up-and-down"],
  }),
  row(
    "shells-round-the-cycle",
    "shells",
    2,
    "Shells round the cycle",
    "3rd and 7th take each other's place: the hand hardly moves.",
    {
      after: ["shells-with-scale"],
      helps: ["held-short", "chord-spread"],
      drill: { left: "two-note-shell" },
      changes: CYCLES,
      right: ["rhythm-alone", "rest-on-a-beat"],
    },
  ),

  row(
    "rootless-guide-tones",
    "rootless",
    2,
    "Guide tones",
    "3rd and 7th alone, by the shortest way from chord to chord.",
    {
      after: ["shells-with-scale"],
      helps: ["chord-spread", "left-out"],
      drill: { left: "guide-tones", hands: "left" },
      changes: TWO_FIVES,
      right: ["up-and-down"],
    },
  ),
  row(
    "rootless-three-notes",
    "rootless",
    2,
    "Three notes without the root",
    "Guide tones and one colour; the bass has the root.",
    {
      after: ["rootless-guide-tones"],
      drill: { left: "three-note-rootless", hands: "left" },
      changes: [...TWO_FIVES, ...TURNAROUNDS],
      right: ["up-and-down"],
    },
  ),
  row(
    "rootless-four-notes",
    "rootless",
    3,
    "A and B forms",
    "Four notes without the root; A form, then B form, and the hand stays.",
    {
      after: ["rootless-three-notes"],
      helps: ["chord-spread"],
      drill: { left: "rootless", hands: "left" },
      changes: [...TWO_FIVES, ...TURNAROUNDS],
      right: ["up-and-down"],
    },
  ),
  row(
    "rootless-with-scale",
    "rootless",
    3,
    "Rootless chords under the scale",
    "Both hands at once, the left without its root.",
    {
      after: ["rootless-four-notes", "shells-with-scale"],
      helps: ["hands-apart", "balance"],
      drill: { left: "rootless" },
      changes: [...TWO_FIVES, ...COLOURED],
      right: ["up-and-down", "rest-on-a-beat"],
    },
  ),
  row(
    "rootless-in-minor",
    "rootless",
    3,
    "Rootless chords in minor",
    "Half-diminished and altered chords without the root.",
    {
      after: ["rootless-four-notes", "shells-in-minor"],
      drill: { left: "rootless" },
      changes: [...MINOR, ...MORE_MINOR],
      right: ["up-and-down", "rhythm-alone"],
    },
  ),
  row(
    "rootless-over-pedals",
    "rootless",
    4,
    "Chords over one bass",
    "What stays and what moves while the bass stands still.",
    {
      after: ["rootless-with-scale"],
      drill: { left: "rootless" },
      changes: PEDALS,
      right: ["up-and-down", "call-and-response"],
    },
  ),
  row(
    "rootless-far-away",
    "rootless",
    5,
    "Chords from far keys",
    "Substitutes and tonics a third apart, by the shortest way.",
    {
      after: ["rootless-in-minor", "rootless-with-scale"],
      drill: { left: "rootless" },
      changes: [...SUBSTITUTES, ...FAR],
      right: ["chord-tones", "up-and-down"],
    },
  ),
  row("rootless-wide", "rootless", 5, "Fourths and drop 2", "Open sounds: where the tones lie, the chord breathes.", {
    after: ["rootless-with-scale"],
    helps: ["chord-spread"],
    drill: { left: ["fourths", "drop-2"], span: 14 },
    changes: [...VAMPS.slice(0, 2), ...SUBSTITUTES, ...TWO_FIVES],
    right: ["fourths", "up-and-down"],
  }),

  row(
    "comping-quarters",
    "comping",
    2,
    "Chords on the beat",
    "Every beat alike, or two and four short: the time is in the left hand.",
    {
      after: ["shells-with-rhythm"],
      helps: [
        "unsteady-tempo",
        "tempo-drift",
        "held-short",
        "uneven-touch",
        "other-tempo",
        "off-the-band",
        "band-drift",
      ],
      drill: { left: "guide-tones" },
      changes: [...FIRST, ...BLUES],
      right: ["rhythm-alone", "up-and-down"],
      comping: ["every-beat", "short-beats", "backbeats"],
    },
  ),
  row(
    "comping-charleston",
    "comping",
    2,
    "The charleston and its turns",
    "One, and the and of two; then the same from other beats.",
    {
      after: ["comping-quarters"],
      helps: ["wrong-rhythm", "hands-apart"],
      drill: { left: "three-note-rootless" },
      changes: [...TWO_FIVES, ...BLUES],
      right: ["rhythm-alone", "call-and-response"],
      comping: ["charleston", "reverse-charleston", "charleston-from-two"],
    },
  ),
  row("comping-stride", "comping", 3, "Stride", "Root below, chord above; the leap is heard before it is made.", {
    after: ["shells-with-rhythm", "comping-quarters"],
    helps: ["wrong-notes", "trouble-spot"],
    drill: { left: "shell" },
    changes: [...FIRST, ...FORMS],
    right: ["rhythm-alone", "up-and-down"],
    comping: ["slow-stride", "stride-on-roots", "stride", "reversed-stride"],
  }),
  row("comping-broken", "comping", 3, "Broken chords", "The chord a note at a time, and every note in its place.", {
    after: ["rootless-three-notes"],
    helps: ["uneven-timing", "uneven-touch"],
    drill: { left: "rootless" },
    changes: [...TURNAROUNDS, ...MINOR],
    right: ["rhythm-alone", "rest-on-a-beat"],
    comping: ["broken-chord", "ballad"],
  }),
  row(
    "comping-ahead",
    "comping",
    4,
    "Ahead of the beat",
    "The next chord comes an eighth early, and time does not run.",
    {
      after: ["comping-charleston", "rootless-four-notes"],
      helps: ["tempo-drift"],
      drill: { left: "rootless" },
      changes: [...BLUES, ...TWO_FIVES],
      right: ["rhythm-alone", "off-the-beat"],
      comping: ["anticipated", "early-charleston", "syncopated", "offbeats"],
    },
  ),
  row(
    "comping-two-rhythms",
    "comping",
    4,
    "Two hands, two rhythms",
    "Fours above, the charleston below; neither hand gives way.",
    {
      after: ["comping-charleston", "scale-groups"],
      helps: ["hands-apart"],
      drill: { left: "rootless" },
      changes: [...TURNAROUNDS, ...TWO_FIVES],
      right: ["fours-over-charleston", "thirds-over-offbeats", "left-hand-alone"],
    },
  ),
  row(
    "comping-with-both-hands",
    "comping",
    4,
    "Comping with both hands",
    "Chords for a singer or a horn; the top notes are a second melody.",
    {
      after: ["rootless-four-notes", "comping-charleston"],
      helps: ["chord-spread", "uneven-touch"],
      drill: { left: "shell" },
      changes: [...BLUES, ...COLOURED],
      right: ["comping"],
      comping: ["charleston", "held", "anticipated"],
    },
  ),

  row(
    "scale-one-octave",
    "scale",
    1,
    "The blues scale, one octave",
    "Up to the top tonic and back, thumb under without a bump.",
    {
      after: [],
      helps: ["wrong-notes", "trouble-spot", "extra-notes"],
      drill: { hands: "right" },
      changes: FIRST,
      right: ["up-and-down"],
    },
  ),
  row("scale-from-each-degree", "scale", 2, "From each degree", "Begin anywhere in the scale and know where you are.", {
    after: ["scale-one-octave", "shells-with-scale"],
    helps: ["wrong-notes", "missed-notes"],
    drill: { left: "shell" },
    changes: [...TURNAROUNDS, ...BLUES],
    right: ["each-degree", "broken-thirds"],
  }),
  row("scale-groups", "scale", 2, "Threes and fours", "The scale in groups: every finger begins one.", {
    after: ["scale-from-each-degree"],
    helps: ["uneven-timing", "uneven-touch"],
    drill: { left: "shell" },
    changes: [...FIRST, ...TURNAROUNDS],
    right: ["threes", "fours"],
  }),
  row(
    "scale-crossings",
    "scale",
    3,
    "Two octaves and their crossings",
    "Thumb under and cross over, twice a turn, without an accent.",
    {
      after: ["scale-groups"],
      helps: ["trouble-spot", "uneven-touch", "wrong-notes"],
      drill: { left: "shell", octaves: 2 },
      changes: [...FIRST, ...COLOURED],
      right: ["up-and-down", "turns"],
    },
  ),
  row(
    "scale-in-octaves",
    "scale",
    3,
    "The left hand plays the scale too",
    "Both hands an octave apart, their crossings at different notes.",
    {
      after: ["scale-groups"],
      helps: ["hands-apart", "trouble-spot"],
      drill: {},
      changes: FIRST,
      right: ["hands-in-octaves", "left-hand-alone"],
    },
  ),
  row(
    "scale-wide-steps",
    "scale",
    4,
    "Fourths and sevenths",
    "Wide steps inside the scale: the hand opens before it moves.",
    {
      after: ["scale-crossings"],
      helps: ["trouble-spot"],
      drill: { left: "rootless" },
      changes: [...TWO_FIVES, ...VAMPS.slice(0, 2)],
      right: ["fourths", "diatonic-sevenths", "octave-shifts"],
    },
  ),

  row("triplets-first", "triplets", 2, "First triplets", "Three alike in the beat; count them before you play them.", {
    after: ["shells-with-rhythm", "scale-one-octave"],
    helps: ["uneven-triplets", "wrong-rhythm"],
    drill: { left: "shell", values: "triplets" },
    changes: FIRST,
    right: ["up-and-down"],
  }),
  row(
    "triplets-in-groups",
    "triplets",
    3,
    "Fours in triplets",
    "Groups of four over beats of three, and the beat still felt.",
    {
      after: ["triplets-first", "scale-groups"],
      helps: ["uneven-triplets", "uneven-timing"],
      drill: { left: "shell", values: "triplets" },
      changes: [...TURNAROUNDS, ...BLUES],
      right: ["threes", "fours", "turns"],
    },
  ),
  row(
    "triplets-in-the-left",
    "triplets",
    4,
    "Triplets in the left hand",
    "The left hand breaks its chords in threes under a calm right hand.",
    {
      after: ["triplets-in-groups", "comping-broken"],
      helps: ["uneven-triplets"],
      drill: { left: "rootless" },
      changes: [...MINOR, ...TURNAROUNDS],
      right: ["rhythm-alone", "rest-on-a-beat"],
      comping: ["broken-chord-in-triplets"],
    },
  ),

  row("slides-down", "slides", 2, "Slides", "One finger from the black key to the white one beside it.", {
    after: ["scale-one-octave", "shells-with-scale"],
    drill: { left: "shell" },
    changes: BLUES,
    right: ["slides"],
  }),
  row(
    "slides-into-thirds",
    "slides",
    3,
    "Slides into the third",
    "Slide where the chord turns major, and land with it.",
    {
      after: ["slides-down", "lines-to-the-third"],
      drill: { left: "rootless" },
      changes: [...BLUES, ...COLOURED],
      right: ["slides-into-thirds"],
    },
  ),

  row(
    "lines-question-and-answer",
    "lines",
    1,
    "Question and answer",
    "Five notes ask, the same rhythm answers, and between them is rest.",
    {
      after: ["shells-with-rhythm", "scale-one-octave"],
      helps: ["restarts", "pauses"],
      drill: { left: "shell" },
      changes: [...FIRST, ...BLUES],
      right: ["call-and-response", "rest-on-a-beat"],
    },
  ),
  row(
    "lines-to-the-third",
    "lines",
    2,
    "Lines that reach the third",
    "Arrive on the chord's third on the first beat.",
    {
      after: ["lines-question-and-answer", "shells-with-scale"],
      helps: ["wrong-notes"],
      drill: { left: "shell" },
      changes: [...TWO_FIVES, ...TURNAROUNDS],
      right: ["target-thirds", "guide-tone-line", "chord-tones"],
    },
  ),
  row(
    "lines-first-phrases",
    "lines",
    2,
    "First phrases",
    "Phrases that begin, end and breathe; then one of your own.",
    {
      after: ["lines-question-and-answer", "shells-with-scale"],
      drill: { left: "shell", level: 1 },
      changes: [...FIRST, ...TURNAROUNDS, ...BLUES],
      right: ["improvised"],
    },
  ),
  row("lines-in-cells", "lines", 3, "Four notes a chord", "1-2-3-5 and its turns, on every chord as it comes.", {
    after: ["lines-to-the-third"],
    drill: { left: "shell" },
    changes: [...TURNAROUNDS, ...COLOURED, ...TWO_FIVES],
    right: ["one-two-three-five", "five-three-two-one", "three-one-two-five"],
  }),
  row(
    "lines-from-beside",
    "lines",
    3,
    "From a half step beside",
    "Approach notes and enclosures: round the target, then on it.",
    {
      after: ["lines-to-the-third"],
      helps: ["extra-notes"],
      drill: { left: "rootless" },
      changes: [...TWO_FIVES, ...BLUES],
      right: ["approach-notes", "enclosures"],
    },
  ),
  row(
    "lines-over-two-fives",
    "lines",
    4,
    "Lines over ii–V–I",
    "Guide tones joined by cells, from the 3rd up to the 9th.",
    {
      after: ["lines-in-cells", "rootless-with-scale"],
      drill: { left: "rootless" },
      changes: [...TWO_FIVES, ...SUBSTITUTES],
      right: ["two-five-cells", "three-to-nine", "guide-tones"],
    },
  ),
  row(
    "lines-phrases",
    "lines",
    4,
    "Phrases over the changes",
    "Whole phrases with tension and release; learn one, answer it.",
    {
      after: ["lines-first-phrases", "lines-from-beside"],
      drill: { left: "rootless", level: 4 },
      changes: [...TWO_FIVES, ...MORE_MINOR, ...BLUES, ...FAR],
      right: ["improvised"],
    },
  ),
  row("lines-bebop", "lines", 5, "Bebop scales and block chords", "The extra note keeps chord tones on the beat.", {
    after: ["lines-over-two-fives", "lines-from-beside"],
    drill: { left: "rootless" },
    changes: [...TWO_FIVES, ...COLOURED],
    right: ["bebop-scales", "enclosed-guide-tones", "block-chords"],
  }),

  row("keys-first", "keys", 1, "F and G", "The same drill one step round the cycle, either way.", {
    after: ["shells-with-scale"],
    helps: ["other-key"],
    drill: { left: "shell" },
    keys: ["F", "G"],
    changes: FIRST,
    right: ["up-and-down"],
  }),
  row("keys-two-signs", "keys", 2, "B♭ and D", "Two flats, two sharps: other fingers take the black keys.", {
    after: ["keys-first"],
    helps: ["other-key"],
    drill: { left: "shell" },
    keys: ["Bb", "D"],
    changes: FIRST,
    right: ["up-and-down", "call-and-response"],
  }),
  row("keys-three-signs", "keys", 2, "E♭ and A", "Where horns live, and where guitars do.", {
    after: ["keys-two-signs"],
    drill: { left: "shell" },
    keys: ["Eb", "A"],
    changes: TURNAROUNDS,
    right: ["up-and-down", "each-degree"],
  }),
  row("keys-four-signs", "keys", 3, "A♭ and E", "More black keys, and the hand lies easier than it looks.", {
    after: ["keys-three-signs"],
    drill: { left: "shell" },
    keys: ["Ab", "E"],
    changes: TURNAROUNDS,
    right: ["up-and-down", "each-degree"],
  }),
  row("keys-far", "keys", 4, "D♭, B and F♯", "The last three: then every key is yours.", {
    after: ["keys-four-signs"],
    drill: { left: "shell" },
    keys: ["Db", "B", "F#"],
    changes: TURNAROUNDS,
    right: ["up-and-down", "each-degree"],
  }),
  row("keys-minor", "keys", 3, "Minor keys round the cycle", "C, G, D, F and A minor with the same shapes.", {
    after: ["shells-in-minor", "keys-two-signs"],
    drill: { left: "shell" },
    keys: ["C", "G", "D", "F", "A"],
    changes: [...MINOR, ...MORE_MINOR],
    right: ["up-and-down", "call-and-response"],
  }),

  row("feels-swing", "feels", 2, "Swing", "Long and short in each beat, the same from first bar to last.", {
    after: ["shells-alone", "scale-one-octave"],
    helps: ["swing-ratio", "uneven-swing", "stiff-accents"],
    drill: { left: "shell", feel: "swing", backing: "swing" },
    changes: [...BLUES, ...TURNAROUNDS],
    right: ["up-and-down", "off-the-beat"],
    tempo: [72, 88],
  }),
  row("feels-even", "feels", 2, "Even eighths", "Straight against the bass's pattern: no eighth leans.", {
    after: ["shells-alone", "scale-one-octave"],
    helps: ["uneven-timing"],
    drill: { left: "shell", feel: "straight", backing: "even" },
    changes: VAMPS,
    right: ["up-and-down", "call-and-response"],
    tempo: [72, 88],
  }),
  row("feels-in-three", "feels", 3, "In three", "One long bar of three; the second beat floats.", {
    after: ["feels-swing", "shells-in-minor"],
    drill: { left: "shell", metre: "3/4" },
    changes: ["waltz-blues", "turnaround", "two-five-one-long", "minor-line"],
    right: ["up-and-down", "chord-tones"],
    tempo: [80, 100],
  }),
  row(
    "feels-twelve-eight",
    "feels",
    3,
    "Slow blues in twelve-eight",
    "Three to every beat, and all the time in the world.",
    {
      after: ["triplets-first", "slides-down"],
      drill: { left: "shell", metre: "12/8" },
      changes: ["slow-blues", "turnaround", "two-five-one"],
      right: ["up-and-down", "chord-tones"],
      tempo: [48, 60],
    },
  ),
  row("feels-ballad", "feels", 3, "Ballad", "Slow is not late: let the notes sing to their end.", {
    after: ["feels-swing", "comping-broken"],
    helps: ["held-short", "pedal-blur"],
    drill: { left: "rootless", backing: "ballad" },
    changes: [...MINOR, ...SUBSTITUTES, ...PEDALS],
    right: ["rest-on-a-beat", "chord-tones"],
    tempo: [56, 66],
  }),
  row(
    "feels-displaced",
    "feels",
    4,
    "Accents that wander",
    "The same notes, the weight elsewhere; the foot stays where it is.",
    {
      after: ["feels-swing", "scale-groups"],
      helps: ["uneven-swing", "uneven-touch", "stiff-accents"],
      drill: { left: "shell", feel: "swing" },
      changes: [...BLUES, ...COLOURED],
      right: ["displaced-accents", "off-the-beat"],
    },
  ),

  row("charts-own", "charts", 2, "Your own charts", "Music of your choice, with what your hands know already.", {
    after: ["shells-with-scale"],
    drill: { left: "shell", level: 2 },
    changes: [],
    right: ["improvised"],
  }),
  row(
    "charts-whole-forms",
    "charts",
    3,
    "Whole forms",
    "Thirty-two bars without getting lost: hear the bridge coming.",
    {
      after: ["lines-first-phrases", "shells-round-the-cycle"],
      helps: ["left-out", "restarts", "band-elsewhere"],
      drill: { left: "shell", level: 2 },
      changes: [...FORMS, ...BLUES],
      right: ["improvised"],
    },
  ),
  row(
    "charts-rootless",
    "charts",
    4,
    "Whole forms without roots",
    "The same forms with four-note chords and longer phrases.",
    {
      after: ["charts-whole-forms", "rootless-with-scale"],
      drill: { left: "rootless", level: 3 },
      changes: [...FORMS, ...CYCLES, ...BLUES, ...MORE_MINOR],
      right: ["improvised"],
    },
  ),
];
