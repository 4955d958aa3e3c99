/** What a grade of difficulty means for a generated line. */
export interface Grade {
  /** Semitones from the lowest to the highest note. */
  readonly range: number;
  /** The widest interval inside a phrase, in semitones. */
  readonly widest: number;
  /** The most notes of a phrase. */
  readonly notes: number;
  /** Parts of a beat that are played: halves, thirds, quarters, sixths. */
  readonly parts: readonly (2 | 3 | 4 | 6)[];
  /** How much likelier than in the corpus rhythms in sixths of a beat are. */
  readonly sixths: number;
  /** The most notes a second, counted over a beat. */
  readonly fastest: number;
  /** The most notes a second from one note to the next, as in a short turn. */
  readonly burst: number;
  /** How much likelier a note outside chord and scale is than the corpus has it. */
  readonly chromatic: number;
  /** Whether a note outside chord and scale must go on by step. */
  readonly resolves: boolean;
  /** How much likelier a silence before a phrase grows with each beat of it. */
  readonly rest: number;
  /** How often a phrase takes up an earlier one. */
  readonly returns: number;
  /** How much likelier than in the corpus a line goes on circling between two notes or on one. */
  readonly circling: number;
  /** How often a figure of the vocabulary sets in where one fits. */
  readonly vocabulary: number;
  /** How many of a hundred fitting notes get a slide. */
  readonly slides: number;
  /** Whether only the handful of notes of the level is played: chord tones and the blues or pentatonic scale. */
  readonly handful: boolean;
}

/** Five grades, easiest first. The figures are ours, set by listening and by the measures in docs/line-statistics.md. */
export const GRADES: readonly Grade[] = [
  {
    range: 12,
    widest: 7,
    notes: 8,
    parts: [2],
    sixths: 0,
    fastest: 6,
    burst: 6,
    chromatic: 0,
    resolves: true,
    rest: 1.12,
    returns: 0.55,
    circling: 0.1,
    vocabulary: 0.25,
    slides: 35,
    handful: true,
  },
  {
    range: 15,
    widest: 9,
    notes: 12,
    parts: [2],
    sixths: 0,
    fastest: 7,
    burst: 7,
    chromatic: 0.35,
    resolves: true,
    rest: 1.06,
    returns: 0.5,
    circling: 0.12,
    vocabulary: 0.25,
    slides: 35,
    handful: true,
  },
  {
    range: 20,
    widest: 12,
    notes: 24,
    parts: [2, 3, 4, 6],
    sixths: 0.8,
    fastest: 8.5,
    burst: 12.5,
    chromatic: 0.9,
    resolves: true,
    rest: 1.02,
    returns: 0.45,
    circling: 0.3,
    vocabulary: 0.3,
    slides: 30,
    handful: false,
  },
  {
    range: 24,
    widest: 12,
    notes: 40,
    parts: [2, 3, 4, 6],
    sixths: 0.7,
    fastest: 10.5,
    burst: 12.5,
    chromatic: 1,
    resolves: false,
    rest: 1,
    returns: 0.4,
    circling: 0.45,
    vocabulary: 0.2,
    slides: 30,
    handful: false,
  },
  {
    range: 27,
    widest: 12,
    notes: 40,
    parts: [2, 3, 4, 6],
    sixths: 1,
    fastest: 12.5,
    burst: 16,
    chromatic: 1,
    resolves: false,
    rest: 1,
    returns: 0.35,
    circling: 0.5,
    vocabulary: 0.15,
    slides: 30,
    handful: false,
  },
];
