import * as v from "valibot";
import { shapeOf } from "../ground/check.ts";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";
import type { PitchName } from "../pitch/index.ts";
import type { PitchRange } from "../voicing/index.ts";
import { placeSchema, placesRise } from "./place.ts";
/** What a bass player prefers, in points: of all lines that keep the rules, the one with the fewest is played. */
export interface BassTaste {
  /** By the size of a move in semitones, 0 to 12. Wider ones are never made; one of 0 only where {@link BassRow.repeats} allows it. */
  readonly moves: readonly number[];
  /** By the number of the degree, for chord tones where no chord enters: on the first beat of a bar, and elsewhere. */
  readonly downbeat: Readonly<Record<1 | 2 | 3 | 4 | 5 | 6 | 7, number>>;
  readonly degrees: Readonly<Record<1 | 2 | 3 | 4 | 5 | 6 | 7, number>>;
  /** For the note before a new chord, by how it leads to that chord's bass; `chromatic` is added outside the scale of the chord that sounds. */
  readonly approach: {
    readonly semitone: number;
    readonly step: number;
    readonly fifth: number;
    readonly chromatic: number;
  };
  /** For notes between two others by step: of the scale, or chromatic; `middle` is added in the middle of a bar of four. */
  readonly passing: { readonly scale: number; readonly chromatic: number; readonly middle: number };
  /** For a change of direction; for going on after a leap of a fourth or more; for coming back to the note before last. */
  readonly turn: number;
  readonly onAfterLeap: number;
  readonly back: number;
  /** For each semitone outside the comfortable middle of the range. */
  readonly register: number;
  /**
   * The player's mood: a seeded height wanders through the range, two bars from point to point, and each semitone away from it costs `shape`
   * tenths of a point; on top, each note at each place gets a seeded handicap from 0 to `whim`.
   */
  readonly mood: { readonly shape: number; readonly whim: number };
}

/**
 * What a place of the bar is for where no chord enters: the root or the fifth of the chord alone, either of them, or whatever the taste
 * prefers. Where a chord has no fifth, its root stands for it.
 */
export type BassPlay = "root" | "fifth" | "root-or-fifth" | "free";

/** Where a manner of playing the bass has its notes, in bars of one kind. */
export interface BassBar {
  /** The bar is as many pulses long, or a whole number of times as many. */
  readonly pulses: number;
  /** The places, in pulses from the start; a half is the offbeat, as `pulseTime` reads it. The first is the start. */
  readonly at: readonly string[];
  /** What each place is for. @defaultValue `"free"` everywhere */
  readonly play?: readonly BassPlay[] | undefined;
}

/** A manner of playing the bass. */
export interface BassRow {
  readonly id: string;
  readonly title: string;
  /** Bars of each kind that it can play; of those that fit a metre the first. */
  readonly bars: readonly BassBar[];
  /** The sounding range of the manner, both ends included. @defaultValue E1 to G3 */
  readonly range?: PitchRange | undefined;
  /** Whether the note before a new chord must lead to its bass by a step or a fifth, and passing notes are used. */
  readonly walks: boolean;
  /** Whether a note may be struck twice running. */
  readonly repeats: boolean;
  readonly taste: BassTaste;
  readonly source: string;
}

const WALKING: BassTaste = {
  moves: [40, 1, 0, 1, 2, 3, 12, 5, 12, 14, 26, 30, 10],
  downbeat: { 1: 0, 2: 9, 3: 4, 4: 6, 5: 4, 6: 8, 7: 10 },
  degrees: { 1: 5, 2: 3, 3: 0, 4: 1, 5: 0, 6: 1, 7: 3 },
  approach: { semitone: 0, step: 1, fifth: 2, chromatic: 3 },
  passing: { scale: 1, chromatic: 6, middle: 6 },
  turn: 2,
  onAfterLeap: 6,
  back: 12,
  register: 2,
  mood: { shape: 8, whim: 12 },
};

const TWO_BEAT: BassTaste = {
  ...WALKING,
  moves: [40, 4, 3, 5, 5, 0, 12, 0, 10, 10, 20, 24, 5],
  downbeat: { 1: 0, 2: 20, 3: 16, 4: 20, 5: 12, 6: 20, 7: 20 },
  degrees: { 1: 9, 2: 8, 3: 6, 4: 8, 5: 0, 6: 8, 7: 10 },
  approach: { semitone: 5, step: 8, fifth: 0, chromatic: 2 },
  turn: 0,
  onAfterLeap: 4,
  back: 0,
  mood: { shape: 4, whim: 8 },
};

const ROOTS_ONLY = { 1: 0, 2: 99, 3: 99, 4: 99, 5: 99, 6: 99, 7: 99 } as const;

const FREE = "common practice, no source";

// Roots and fifths carry such styles; what leads to the next chord is a matter of taste.
const ROOT_AND_FIFTH: BassTaste = {
  ...TWO_BEAT,
  moves: [2, 4, 3, 5, 5, 0, 12, 0, 10, 10, 20, 24, 5],
  approach: { semitone: 3, step: 6, fifth: 0, chromatic: 3 },
  mood: { shape: 3, whim: 6 },
};

// The last note of the bar leads on; a note struck again says nothing there.
const LEADING_ON: BassTaste = {
  ...ROOT_AND_FIFTH,
  moves: [9, 1, 1, 4, 4, 0, 12, 0, 10, 10, 20, 24, 5],
  degrees: { ...ROOT_AND_FIFTH.degrees, 5: 2 },
  approach: { semitone: 0, step: 0, fifth: 2, chromatic: 5 },
  mood: { shape: 3, whim: 9 },
};

/**
 * The manners of playing the bass; a new one is one more row. The points are our own, set by reading the lines that came out.
 *
 * @example
 * ```ts
 * import { bassCatalogue } from "hands-together/backing";
 *
 * bassCatalogue.map((row) => row.id); // => ["walking", "two-beat", "long-notes", "ballad", "waltz", "bossa", "even-eighths", "five-four", "six-eight"]
 * ```
 */
export const bassCatalogue = [
  {
    id: "walking",
    title: "Walking: a note on every beat",
    bars: [{ pulses: 1, at: ["0"] }],
    walks: true,
    repeats: false,
    taste: WALKING,
    source: "common practice, no source: root on the first beat of a new chord, approach on the beat before",
  },
  {
    id: "two-beat",
    title: "Two-beat: root and fifth, two notes in the bar",
    bars: [
      { pulses: 4, at: ["0", "2"] },
      { pulses: 7, at: ["0", "4"] },
      { pulses: 5, at: ["0", "3"] },
      { pulses: 3, at: ["0"], play: ["root-or-fifth"] },
      { pulses: 2, at: ["0", "1"] },
    ],
    walks: false,
    repeats: false,
    taste: TWO_BEAT,
    source: FREE,
  },
  {
    id: "long-notes",
    title: "Long notes: the root on every chord and bar",
    bars: [4, 7, 5, 3, 2].map((pulses) => ({ pulses, at: ["0"] })),
    walks: false,
    repeats: true,
    taste: {
      ...TWO_BEAT,
      downbeat: ROOTS_ONLY,
      degrees: ROOTS_ONLY,
      approach: { semitone: 99, step: 99, fifth: 99, chromatic: 0 },
      moves: [0, 2, 2, 2, 2, 2, 4, 3, 6, 6, 8, 8, 8],
      mood: { shape: 4, whim: 2 },
    },
    source: FREE,
  },
  {
    id: "ballad",
    title: "Ballad: two long notes in the bar and a light pickup into the next",
    bars: [
      { pulses: 4, at: ["0", "2", "7/2"], play: ["root-or-fifth", "free", "free"] },
      { pulses: 3, at: ["0", "5/2"], play: ["root-or-fifth", "free"] },
      { pulses: 2, at: ["0", "3/2"], play: ["root-or-fifth", "free"] },
    ],
    range: { from: "E1", to: "E3" },
    walks: false,
    repeats: false,
    taste: { ...TWO_BEAT, approach: { semitone: 0, step: 2, fifth: 3, chromatic: 2 } },
    source: FREE,
  },
  {
    id: "waltz",
    title: "Waltz: root or fifth on 1, a note on 3 that leads on",
    bars: [{ pulses: 3, at: ["0", "2"], play: ["root-or-fifth", "free"] }],
    range: { from: "G1", to: "G3" },
    walks: false,
    repeats: false,
    // The note on 3 leads on rather than coming back to the fifth.
    taste: {
      ...TWO_BEAT,
      degrees: { ...TWO_BEAT.degrees, 3: 3, 5: 3 },
      approach: { semitone: 0, step: 0, fifth: 3, chromatic: 2 },
    },
    source: FREE,
  },
  {
    id: "bossa",
    title: "Bossa nova: root on 1, fifth on 3, each with an eighth before it",
    bars: [
      { pulses: 4, at: ["0", "3/2", "2", "7/2"], play: ["root", "fifth", "fifth", "root"] },
      { pulses: 2, at: ["0", "3/2"], play: ["root", "fifth"] },
    ],
    range: { from: "E1", to: "D3" },
    walks: false,
    repeats: true,
    taste: { ...ROOT_AND_FIFTH, approach: { semitone: 9, step: 9, fifth: 0, chromatic: 6 } },
    source: "common practice, no source: root and fifth in dotted quarters and eighths",
  },
  {
    id: "even-eighths",
    title: "Even eighths: root, root before the middle, fifth, and a note that leads on",
    bars: [
      { pulses: 4, at: ["0", "3/2", "5/2", "7/2"], play: ["root", "root", "root-or-fifth", "free"] },
      { pulses: 3, at: ["0", "3/2", "5/2"], play: ["root", "root-or-fifth", "free"] },
      { pulses: 5, at: ["0", "3/2", "3", "9/2"], play: ["root", "root", "fifth", "free"] },
      { pulses: 7, at: ["0", "3/2", "4", "13/2"], play: ["root", "root", "fifth", "free"] },
      { pulses: 2, at: ["0", "3/2"], play: ["root", "root-or-fifth"] },
    ],
    range: { from: "E1", to: "E3" },
    walks: false,
    repeats: true,
    taste: LEADING_ON,
    source: FREE,
  },
  {
    id: "five-four",
    title: "Five-four as three and two: root, a note on the and of 2, then a half bar that leads on",
    bars: [{ pulses: 5, at: ["0", "3/2", "3", "4"], play: ["root", "root-or-fifth", "root-or-fifth", "free"] }],
    range: { from: "E1", to: "E3" },
    walks: false,
    repeats: true,
    taste: LEADING_ON,
    source: FREE,
  },
  {
    id: "six-eight",
    title: "Six-eight: root, root or fifth on the second beat, and a last eighth that leads on",
    bars: [
      { pulses: 2, at: ["0", "1", "5/3"], play: ["root", "root-or-fifth", "free"] },
      { pulses: 3, at: ["0", "1", "2", "8/3"], play: ["root", "root-or-fifth", "root-or-fifth", "free"] },
    ],
    range: { from: "E1", to: "E3" },
    walks: false,
    repeats: true,
    taste: LEADING_ON,
    source: FREE,
  },
] as const satisfies readonly BassRow[];

/** The ids of {@link bassCatalogue}. */
export type BassId = (typeof bassCatalogue)[number]["id"];

const points = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(999));
const byDegree = /* @__PURE__ */ v.strictObject({
  1: points,
  2: points,
  3: points,
  4: points,
  5: points,
  6: points,
  7: points,
});
const pulses = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(64));
const note = /* @__PURE__ */ shapeOf(
  (value): value is PitchName => typeof value === "string" && /^[A-G](#{0,2}|b{0,2})[0-8]$/.test(value),
  "a pitch such as E1",
);

/** A range of pitches, by their names. */
export const rangeSchema: v.GenericSchema<PitchRange> = /* @__PURE__ */ v.strictObject({ from: note, to: note });

/** What a row for the bass must be. */
export const bassRowSchema: v.GenericSchema<BassRow> = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  bars: v.pipe(
    v.array(
      v.pipe(
        v.strictObject({
          pulses,
          at: v.pipe(v.array(placeSchema), v.minLength(1), v.maxLength(64)),
          play: v.optional(v.array(v.picklist(["root", "fifth", "root-or-fifth", "free"]))),
        }),
        v.check((bar) => placesRise(bar.at, bar.pulses) && bar.at[0] === "0", "places that rise from 0 within the bar"),
        v.check(
          (bar) => bar.play === undefined || bar.play.length === bar.at.length,
          "as many words at play as places",
        ),
      ),
    ),
    v.minLength(1),
    v.maxLength(16),
  ),
  range: v.optional(rangeSchema),
  walks: v.boolean(),
  repeats: v.boolean(),
  taste: v.strictObject({
    moves: v.pipe(v.array(points), v.length(13)),
    downbeat: byDegree,
    degrees: byDegree,
    approach: v.strictObject({ semitone: points, step: points, fifth: points, chromatic: points }),
    passing: v.strictObject({ scale: points, chromatic: points, middle: points }),
    turn: points,
    onAfterLeap: points,
    back: points,
    register: points,
    mood: v.strictObject({ shape: points, whim: points }),
  }),
});

/** Manners of playing the bass, shipped and brought. */
export const bassRow: Door<BassRow> = /* @__PURE__ */ door<BassRow>(
  bassCatalogue,
  bassRowSchema,
  "backing/bass",
  "a manner of playing the bass",
);
