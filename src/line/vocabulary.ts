import * as v from "valibot";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";

/** A kind of chord that a figure of the vocabulary serves. */
export type ServedChord = "major" | "dominant" | "minor" | "diminished";

/** What an idea's notes are taken from first: blues scales and their slides, chord and scale, or the running line with its approach notes. */
export type Idiom = "blues" | "melodic" | "bebop";

/** A figure of the vocabulary that a generated line may take up. */
export interface VocabularyRow {
  readonly id: string;
  readonly title: string;
  /** The kinds of chord that it is played over. */
  readonly over: readonly ServedChord[];
  /** Its notes in semitones above the root of the chord that its last note falls on. */
  readonly tones: readonly number[];
  /** Whether its first note falls on a beat or halfway between two. */
  readonly starts: "on" | "off";
  readonly values: "eighths" | "triplets" | "sixteenths";
  /** `"two"`: it begins on the ii of the V that it ends on. @defaultValue all of it lies over one chord */
  readonly from?: "two" | undefined;
  readonly idioms: readonly Idiom[];
  /** From which level it is played. */
  readonly level: 1 | 2 | 3 | 4 | 5;
  readonly source: string;
}

const ANY: readonly Idiom[] = ["blues", "melodic", "bebop"];
const figure = (
  id: string,
  title: string,
  over: VocabularyRow["over"],
  tones: readonly number[],
  rest: Partial<VocabularyRow> = {},
): VocabularyRow => ({
  id,
  title,
  over,
  tones,
  starts: "on",
  values: "eighths",
  idioms: ANY,
  level: 3,
  source: "common practice, no source",
  ...rest,
});
const BEBOP = { idioms: ["bebop"] } as const satisfies Partial<VocabularyRow>;
const BLUES = { idioms: ["blues"], level: 1 } as const satisfies Partial<VocabularyRow>;
const EASY = { level: 1 } as const satisfies Partial<VocabularyRow>;

/**
 * Figures that generated lines take up where they fit, easiest first in each family.
 *
 * @example
 * ```ts
 * import { vocabularyCatalogue } from "hands-together/line";
 *
 * vocabularyCatalogue.find((row) => row.id === "one-two-three-five")?.tones; // => [0, 2, 4, 7]
 * ```
 */
export const vocabularyCatalogue: readonly VocabularyRow[] = /* @__PURE__ */ (() => [
  figure("one-two-three-five", "1 2 3 5", ["major", "dominant"], [0, 2, 4, 7], EASY),
  figure("one-two-three-five-minor", "1 2 \u266d3 5", ["minor"], [0, 2, 3, 7], EASY),
  figure("five-three-two-one", "5 3 2 1", ["major", "dominant"], [7, 4, 2, 0], EASY),
  figure("five-three-two-one-minor", "5 \u266d3 2 1", ["minor"], [7, 3, 2, 0], EASY),
  figure("three-to-nine", "3 5 7 9", ["major"], [4, 7, 11, 14]),
  figure("three-to-nine-dominant", "3 5 \u266d7 9", ["dominant"], [4, 7, 10, 14]),
  figure("three-to-flat-nine", "3 5 \u266d7 \u266d9", ["dominant"], [4, 7, 10, 13], BEBOP),
  figure("three-to-nine-minor", "\u266d3 5 \u266d7 9", ["minor"], [3, 7, 10, 14]),
  figure("seventh-up-half-diminished", "1 \u266d3 \u266d5 \u266d7", ["diminished"], [0, 3, 6, 10]),
  figure("enclosed-third", "The third from above and below", ["major", "dominant"], [5, 3, 4], { level: 2 }),
  figure("enclosed-third-minor", "The minor third from above and below", ["minor"], [5, 2, 3], { level: 2 }),
  figure("enclosed-fifth", "The fifth from above and below", ["major", "dominant", "minor"], [9, 6, 7]),
  figure("enclosed-root", "The root from above and below", ["major", "minor"], [14, 11, 12]),
  figure("both-sides-of-third", "Two steps above, one below the third", ["major", "dominant"], [6, 5, 3, 4], {
    ...BEBOP,
    starts: "off",
  }),
  figure("both-sides-of-fifth", "Two steps above, one below the fifth", ["dominant", "minor"], [9, 8, 6, 7], {
    ...BEBOP,
    starts: "off",
  }),
  figure("approach-from-below", "Up by semitones to the third", ["major", "dominant"], [2, 3, 4]),
  figure("chromatic-down", "From the fifth down by semitones", ["major", "dominant"], [7, 6, 5, 4], BEBOP),
  figure("scale-down-dominant", "Down the scale from \u266d7 to 3", ["dominant"], [10, 9, 7, 5, 4], { level: 2 }),
  figure("scale-down-minor", "Down the scale from \u266d7 to \u266d3", ["minor"], [10, 9, 7, 5, 3], { level: 2 }),
  figure("scale-up-major", "Up the scale from 1 to 5", ["major"], [0, 2, 4, 5, 7], { level: 2 }),
  figure("turn-on-third", "A turn on the third", ["major", "dominant"], [4, 5, 4, 2, 4], { values: "triplets" }),
  figure("turn-on-fifth", "A turn on the fifth", ["major", "dominant", "minor"], [7, 9, 7, 5, 7], {
    values: "triplets",
  }),
  figure("pivot", "3, then 5 \u266d7 9 from below", ["dominant"], [4, -5, -2, 2], { ...BEBOP, level: 4 }),
  figure("pivot-minor", "\u266d3, then 5 \u266d7 9 from below", ["minor"], [3, -5, -2, 2], { ...BEBOP, level: 4 }),
  figure("two-five-cell", "1 2 \u266d3 5 of the ii, then the third of the V", ["dominant"], [7, 9, 10, 14, 16], {
    from: "two",
  }),
  figure(
    "two-five-seventh-to-third",
    "Up the ii to its seventh, which falls to the third of the V",
    ["dominant"],
    [7, 10, 14, 17, 16],
    { from: "two" },
  ),
  figure(
    "two-five-down",
    "5 \u266d3 1 of the ii, through its seventh to the third of the V",
    ["dominant"],
    [14, 10, 7, 5, 4],
    { from: "two" },
  ),
  figure("burst-up", "Sixteenths from 1 to 5", ["major", "dominant"], [0, 2, 4, 5, 7], {
    values: "sixteenths",
    level: 4,
  }),
  figure("burst-down", "Sixteenths from \u266d7 to 3", ["dominant", "minor"], [10, 9, 7, 5, 3], {
    values: "sixteenths",
    level: 4,
    idioms: ["bebop", "blues"],
  }),
  figure("repeated-root", "The root again and again, with \u266d7", ["dominant", "minor"], [12, 12, 10, 12], BLUES),
  figure("repeated-fifth", "5 5 6 5", ["major", "dominant"], [7, 7, 9, 7], EASY),
  figure("blue-third-home", "\u266d3 into 3, home to 1", ["dominant", "major"], [3, 4, 0], BLUES),
  figure("major-blues-up", "\u266d3 3 5 6 1", ["dominant", "major"], [3, 4, 7, 9, 12], BLUES),
  figure("major-blues-down", "1 6 5 3 \u266d3 2 1", ["dominant", "major"], [12, 9, 7, 4, 3, 2, 0], {
    ...BLUES,
    level: 2,
  }),
  figure("minor-blues-down", "5 \u266d5 4 \u266d3 1", ["dominant", "minor"], [7, 6, 5, 3, 0], BLUES),
  figure("minor-blues-top", "1 \u266d7 5 \u266d5 4 \u266d3", ["dominant", "minor"], [12, 10, 7, 6, 5, 3], {
    ...BLUES,
    level: 2,
  }),
  figure("fourth-to-fifth", "4 \u266d5 5", ["dominant", "minor"], [5, 6, 7], BLUES),
])();

/** What a row of the vocabulary must be. */
export const vocabularyRowSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({
    ...rowFields,
    over: /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(/* @__PURE__ */ v.picklist(["major", "dominant", "minor", "diminished"])),
      /* @__PURE__ */ v.minLength(1),
      /* @__PURE__ */ v.maxLength(4),
    ),
    tones: /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(
        /* @__PURE__ */ v.pipe(
          /* @__PURE__ */ v.number(),
          /* @__PURE__ */ v.integer(),
          /* @__PURE__ */ v.minValue(-24),
          /* @__PURE__ */ v.maxValue(36),
        ),
      ),
      /* @__PURE__ */ v.minLength(2),
      /* @__PURE__ */ v.maxLength(16),
    ),
    starts: /* @__PURE__ */ v.picklist(["on", "off"]),
    values: /* @__PURE__ */ v.picklist(["eighths", "triplets", "sixteenths"]),
    from: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.literal("two")),
    idioms: /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(/* @__PURE__ */ v.picklist(["blues", "melodic", "bebop"])),
      /* @__PURE__ */ v.minLength(1),
      /* @__PURE__ */ v.maxLength(3),
    ),
    level: /* @__PURE__ */ v.picklist([1, 2, 3, 4, 5]),
  }),
  /* @__PURE__ */ v.check(
    ({ tones }) => tones.every((tone, i) => i === 0 || Math.abs(tone - (tones[i - 1] ?? 0)) <= 12),
    "tones at most an octave from one to the next",
  ),
);

/** Figures of the vocabulary, shipped and brought. */
export const vocabularyRow: Door<VocabularyRow> = /* @__PURE__ */ door<VocabularyRow>(
  vocabularyCatalogue,
  vocabularyRowSchema,
  "line/vocabulary",
  "a figure of the vocabulary",
);
