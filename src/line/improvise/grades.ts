/** The rhythms that fill a beat or two. Numbers are shares of the time, negative ones are silent. */
export interface RhythmCell {
  readonly beats: 1 | 2;
  readonly shares: readonly number[];
  readonly kind: "even" | "triplet" | "sixteenth" | "long";
}

const cell = (kind: RhythmCell["kind"], beats: 1 | 2, ...shares: number[]): RhythmCell => ({ kind, beats, shares });

/** Cells of beats that divide in two. */
const EIGHTHS = cell("even", 1, 1, 1);
export const QUARTER = cell("long", 1, 1);
const SYNCOPATION = cell("even", 2, 1, 2, 1);
const OFFBEAT = cell("even", 1, -1, 1);
export const TRIPLET = cell("triplet", 1, 1, 1, 1);
const TRIPLET_REST = cell("triplet", 1, -1, 1, 1);
const SIXTEENTHS = cell("sixteenth", 1, 1, 1, 1, 1);
const EIGHTH_AND_TWO = cell("sixteenth", 1, 2, 1, 1);

/** Cells of beats that divide in three. */
const THREE_EIGHTHS = cell("even", 1, 1, 1, 1);
const QUARTER_EIGHTH = cell("even", 1, 2, 1);
const EIGHTH_QUARTER = cell("even", 1, 1, 2);
const TWO_AFTER_REST = cell("even", 1, -1, 1, 1);
const DOTTED_QUARTER = cell("long", 1, 1);

type Weighted = readonly (readonly [RhythmCell, number])[];

/** What a grade of difficulty means for a generated line. */
export interface Grade {
  /** Cells in simple and in compound metres, with their weights. */
  readonly cells: Weighted;
  readonly compound: Weighted;
  /** Semitones from the lowest to the highest note. */
  readonly range: number;
  /** The widest interval inside a phrase, in semitones. */
  readonly widest: number;
  /** Whether notes outside chord and scale lead into others. */
  readonly chromatic: boolean;
  /** Grace notes: how many of a hundred fitting notes get one. */
  readonly graces: number;
  /** How far a contour bends from its middle, in semitones. */
  readonly bend: number;
}

/** Five grades, easiest first. All figures are ours, set by looking at the page. */
export const GRADES: readonly Grade[] = [
  {
    cells: [
      [EIGHTHS, 70],
      [QUARTER, 30],
    ],
    compound: [
      [THREE_EIGHTHS, 60],
      [QUARTER_EIGHTH, 25],
      [DOTTED_QUARTER, 15],
    ],
    range: 14,
    widest: 7,
    chromatic: false,
    graces: 0,
    bend: 4,
  },
  {
    cells: [
      [EIGHTHS, 74],
      [QUARTER, 12],
      [SYNCOPATION, 6],
      [OFFBEAT, 8],
    ],
    compound: [
      [THREE_EIGHTHS, 64],
      [QUARTER_EIGHTH, 20],
      [DOTTED_QUARTER, 8],
      [TWO_AFTER_REST, 8],
    ],
    range: 17,
    widest: 9,
    chromatic: false,
    graces: 25,
    bend: 5,
  },
  {
    cells: [
      [EIGHTHS, 66],
      [TRIPLET, 16],
      [QUARTER, 6],
      [SYNCOPATION, 5],
      [OFFBEAT, 7],
    ],
    compound: [
      [THREE_EIGHTHS, 70],
      [QUARTER_EIGHTH, 14],
      [EIGHTH_QUARTER, 6],
      [TWO_AFTER_REST, 10],
    ],
    range: 21,
    widest: 12,
    chromatic: true,
    graces: 30,
    bend: 6,
  },
  {
    cells: [
      [EIGHTHS, 58],
      [TRIPLET, 22],
      [QUARTER, 4],
      [SYNCOPATION, 6],
      [OFFBEAT, 6],
      [TRIPLET_REST, 4],
    ],
    compound: [
      [THREE_EIGHTHS, 74],
      [QUARTER_EIGHTH, 10],
      [EIGHTH_QUARTER, 6],
      [TWO_AFTER_REST, 10],
    ],
    range: 25,
    widest: 12,
    chromatic: true,
    graces: 30,
    bend: 7,
  },
  {
    cells: [
      [EIGHTHS, 46],
      [TRIPLET, 24],
      [SIXTEENTHS, 8],
      [EIGHTH_AND_TWO, 8],
      [SYNCOPATION, 6],
      [OFFBEAT, 4],
      [TRIPLET_REST, 4],
    ],
    compound: [
      [THREE_EIGHTHS, 78],
      [QUARTER_EIGHTH, 6],
      [EIGHTH_QUARTER, 6],
      [TWO_AFTER_REST, 10],
    ],
    range: 29,
    widest: 12,
    chromatic: true,
    graces: 35,
    bend: 8,
  },
];
