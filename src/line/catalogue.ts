import * as v from "valibot";
import { shapeOf } from "../ground/check.ts";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";
import { brokenThirds, groupsOf, octaveShifts, turns } from "./patterns/cells.ts";
import {
  approachNotes,
  chordTones,
  enclosedGuideTones,
  enclosures,
  guideToneTargets,
  slidesIntoThirds,
} from "./patterns/chord-targets.ts";
import type { Pattern } from "./patterns/context.ts";
import { bebopScales, rhythmAlone } from "./patterns/drills.ts";
import type { Figure } from "./patterns/figure.ts";
import { figureSchema } from "./patterns/figure.ts";
import { callAndResponse, restOnABeat } from "./patterns/phrasing.ts";
import { displacedAccents, eachDegree, offTheBeat, slides, upAndDown } from "./patterns/scale-runs.ts";

/** A right-hand exercise. */
export interface ExerciseRow {
  readonly id: string;
  readonly title: string;
  /** 1 for a beginner's first weeks to 5 for the advanced. */
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** What it is for, in a teacher's words. */
  readonly aim: string;
  /** Whether it follows the chords, so that it needs a progression. */
  readonly needsChords: boolean;
  /** The fewest octaves that it can be played over. */
  readonly leastOctaves: 1 | 2;
  /** Whether it is fingered as its scale is by itself; otherwise each figure is fingered as it lies best. */
  readonly scaleFingers: boolean;
  /** What is played: a figure, which is data and can stand in a JSON recipe, or a function that drafts the phrases of one round. */
  readonly pattern: Figure | Pattern;
  /**
   * What the left hand of a drill does with it: `"octave"` plays it too, an octave lower; `"alone"` plays it an octave lower while the right hand
   * rests; `"block"` doubles the melody below four-note chords of the right hand. @defaultValue chords, as the drill's recipe says
   */
  readonly left?: "octave" | "alone" | "block" | undefined;
  /** The id of the left hand's pattern, where the recipe names none and the metre has it. @defaultValue the left hand's usual one */
  readonly comping?: string | undefined;
  /**
   * Whether it is for a scale of a note to each letter: a drill whose recipe names no scale then takes the usual one of its key and chords.
   * @defaultValue `false`: the blues scale
   */
  readonly sevenNotes?: boolean | undefined;
  readonly source: string;
}

const COMMON = {
  needsChords: false,
  leastOctaves: 1,
  scaleFingers: false,
  source: "common practice, no source",
} as const;

/** The exercises with the patterns that make them, easiest first; a new one is one more row. */
export const EXERCISES = [
  {
    id: "up-and-down",
    title: "Up and down",
    level: 1,
    aim: "Know the scale under the fingers: up to the top tonic and hold it, back down and hold it.",
    ...COMMON,
    scaleFingers: true,
    pattern: upAndDown,
  },
  {
    id: "call-and-response",
    title: "Call and response",
    level: 1,
    aim: "Hear five notes as a question, and answer it in the same rhythm.",
    ...COMMON,
    pattern: callAndResponse,
  },
  {
    id: "rhythm-alone",
    title: "Rhythm alone",
    level: 1,
    aim: "Play one note in time: on the beat, against it, and across the bar line.",
    ...COMMON,
    pattern: rhythmAlone,
  },
  {
    id: "left-hand-alone",
    title: "Left hand alone",
    level: 1,
    aim: "Give the left hand the scale that the right hand knows, with its own fingers.",
    ...COMMON,
    scaleFingers: true,
    pattern: upAndDown,
    left: "alone",
  },
  {
    id: "slides",
    title: "Up and down with slides",
    level: 2,
    aim: "Put the blue note before its target as a grace note, one finger where the keys allow it.",
    ...COMMON,
    scaleFingers: true,
    pattern: slides,
  },
  {
    id: "each-degree",
    title: "From each degree",
    level: 2,
    aim: "Start the scale anywhere: from each note up to the top and down to the tonic.",
    ...COMMON,
    scaleFingers: true,
    pattern: eachDegree,
  },
  {
    id: "threes",
    title: "Groups of three",
    level: 2,
    aim: "Turn the scale into overlapping threes; in eighths they cross the beat.",
    ...COMMON,
    pattern: groupsOf(3),
  },
  {
    id: "fours",
    title: "Groups of four",
    level: 2,
    aim: "Turn the scale into overlapping fours; in triplets they cross the beat.",
    ...COMMON,
    pattern: groupsOf(4),
  },
  {
    id: "broken-thirds",
    title: "Broken thirds",
    level: 2,
    aim: "Skip every other note of the scale and come back for it.",
    ...COMMON,
    pattern: brokenThirds,
  },
  {
    id: "rest-on-a-beat",
    title: "A rest in each bar",
    level: 2,
    aim: "Count through a silent beat, on each beat of the bar in turn.",
    ...COMMON,
    scaleFingers: true,
    pattern: restOnABeat,
  },
  {
    id: "fourths",
    title: "Fourths",
    level: 2,
    aim: "Climb the scale in leaps of a fourth.",
    ...COMMON,
    sevenNotes: true,
    pattern: { over: "scale", steps: [0, 3] },
  },
  {
    id: "target-thirds",
    title: "Target thirds",
    level: 2,
    aim: "Hear the third of each chord as the place to aim at, for as long as the chord lasts.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: { over: "chords", degrees: [3], long: true },
  },
  {
    id: "guide-tone-line",
    title: "Guide-tone line",
    level: 2,
    aim: "Join the chords by their thirds and sevenths in long notes: each seventh falls to the next third.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: { over: "chords", degrees: [3, 7], long: true },
  },
  {
    id: "hands-in-octaves",
    title: "Both hands in octaves",
    level: 2,
    aim: "Play the same notes with both hands an octave apart, each with its own crossings.",
    ...COMMON,
    scaleFingers: true,
    pattern: upAndDown,
    left: "octave",
  },
  {
    id: "turns",
    title: "Turns",
    level: 3,
    aim: "Circle each note of the scale from above and below.",
    ...COMMON,
    pattern: turns,
  },
  {
    id: "displaced-accents",
    title: "Displaced accents",
    level: 3,
    aim: "Lean on notes that do not fall on the beat: every third of the eighths, every second of the triplets.",
    ...COMMON,
    scaleFingers: true,
    pattern: displacedAccents,
  },
  {
    id: "off-the-beat",
    title: "Off the beat",
    level: 3,
    aim: "Start and land between the beats, and hold the anticipation.",
    ...COMMON,
    scaleFingers: true,
    pattern: offTheBeat,
  },
  {
    id: "chord-tones",
    title: "Chord tones",
    level: 3,
    aim: "Spell each chord through the range and move to the nearest tone of the next.",
    ...COMMON,
    needsChords: true,
    pattern: chordTones,
  },
  {
    id: "approach-notes",
    title: "Approach notes",
    level: 3,
    aim: "Lead into a chord tone on every beat by semitones.",
    ...COMMON,
    needsChords: true,
    pattern: approachNotes,
  },
  {
    id: "diatonic-sevenths",
    title: "Diatonic sevenths",
    level: 3,
    aim: "Spell the seventh chord on each note of the scale.",
    ...COMMON,
    leastOctaves: 2,
    sevenNotes: true,
    pattern: { over: "scale", steps: [0, 2, 4, 6] },
  },
  {
    id: "one-two-three-five",
    title: "1 2 3 5",
    level: 3,
    aim: "Give each chord the four notes that say it soonest.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: { over: "chords", degrees: [1, 2, 3, 5] },
  },
  {
    id: "five-three-two-one",
    title: "5 3 2 1",
    level: 3,
    aim: "The same four notes, falling.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: { over: "chords", degrees: [5, 3, 2, 1] },
  },
  {
    id: "three-one-two-five",
    title: "3 1 2 5",
    level: 3,
    aim: "The same four notes from the third, turning twice.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: { over: "chords", degrees: [3, 1, 2, 5] },
  },
  {
    id: "fours-over-charleston",
    title: "Eighths over the Charleston",
    level: 3,
    aim: "Keep the eighths even while the left hand strikes on one and after two; then take another figure.",
    ...COMMON,
    pattern: groupsOf(4),
    comping: "charleston",
  },
  {
    id: "octave-shifts",
    title: "Octave shifts",
    level: 4,
    aim: "Leap an octave and turn back at once, the hand moving as one.",
    ...COMMON,
    leastOctaves: 2,
    pattern: octaveShifts,
  },
  {
    id: "slides-into-thirds",
    title: "Slides into thirds",
    level: 4,
    aim: "Slide into the major third of each chord on the way through its tones.",
    ...COMMON,
    needsChords: true,
    pattern: slidesIntoThirds,
  },
  {
    id: "guide-tones",
    title: "Guide-tone targets",
    level: 4,
    aim: "Arrive on the third or seventh of each chord as it enters, by step.",
    ...COMMON,
    needsChords: true,
    pattern: guideToneTargets,
  },
  {
    id: "three-to-nine",
    title: "3 5 7 9",
    level: 4,
    aim: "Leave the root to the left hand: up from the third to the ninth.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: { over: "chords", degrees: [3, 5, 7, 9] },
  },
  {
    id: "two-five-cells",
    title: "Two-five cells",
    level: 4,
    aim: "1 2 3 5 on the ii, and on the V from the third down through the seventh.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: { over: "chords", degrees: [1, 2, 3, 5], then: [10, 8, 7, 5] },
  },
  {
    id: "bebop-scales",
    title: "Eight-note scales",
    level: 4,
    aim: "Add one note between two beats, so that the chord's tones fall on them.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: bebopScales,
  },
  {
    id: "thirds-over-offbeats",
    title: "Broken thirds over offbeats",
    level: 4,
    aim: "Keep the eighths even while every chord falls between the beats.",
    ...COMMON,
    pattern: brokenThirds,
    comping: "offbeats",
  },
  {
    id: "enclosures",
    title: "Enclosures",
    level: 4,
    aim: "Play the notes above and below before each chord tone.",
    ...COMMON,
    needsChords: true,
    pattern: enclosures,
  },
  {
    id: "enclosed-guide-tones",
    title: "Enclosed guide tones",
    level: 5,
    aim: "Lead a line through the changes and close in on each guide tone from both sides.",
    ...COMMON,
    needsChords: true,
    pattern: enclosedGuideTones,
  },
  {
    id: "block-chords",
    title: "Block chords",
    level: 5,
    aim: "Move four notes under each note of the melody as one hand would, the left hand doubling it below: the chord's own notes, and diminished sevenths between them.",
    ...COMMON,
    needsChords: true,
    leastOctaves: 2,
    pattern: bebopScales,
    left: "block",
  },
] as const satisfies readonly ExerciseRow[];

/** The ids of {@link exerciseCatalogue}. */
export type ExerciseId = (typeof EXERCISES)[number]["id"];

/** The exercises, easiest first. */
export const exerciseCatalogue: readonly (ExerciseRow & { readonly id: ExerciseId })[] = EXERCISES;

const exerciseFields = {
  ...rowFields,
  level: /* @__PURE__ */ v.picklist([1, 2, 3, 4, 5]),
  aim: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(1000)),
  needsChords: /* @__PURE__ */ v.boolean(),
  leastOctaves: /* @__PURE__ */ v.picklist([1, 2]),
  scaleFingers: /* @__PURE__ */ v.boolean(),
  left: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["octave", "alone", "block"])),
  comping: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(60)),
  ),
  sevenNotes: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
} as const;

const FOLLOWS = "needsChords where the figure goes over the chords, and not where it goes over the scale";
const follows = ({ needsChords, pattern }: Pick<ExerciseRow, "needsChords" | "pattern">): boolean =>
  typeof pattern === "function" || needsChords === (pattern.over !== "scale");

/** An exercise that is data: what a JSON recipe may hold. */
export const exerciseDataSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({ ...exerciseFields, pattern: figureSchema }),
  /* @__PURE__ */ v.check((row) => follows(row), FOLLOWS),
);

/** An exercise: its pattern is a figure or a function. */
export const exerciseRowSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({
    ...exerciseFields,
    pattern: /* @__PURE__ */ v.union([
      figureSchema,
      /* @__PURE__ */ shapeOf((value): value is Pattern => typeof value === "function", "a function"),
    ]),
  }),
  /* @__PURE__ */ v.check((row) => follows(row), FOLLOWS),
);

/** Exercises, shipped and brought. */
export const exerciseRow: Door<ExerciseRow> = /* @__PURE__ */ door<ExerciseRow>(
  exerciseCatalogue,
  exerciseRowSchema,
  "line/exercise",
  "an exercise",
);
