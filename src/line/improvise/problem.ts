/** What may be played at a note, by how it stands to the chord. */
export const SILENT = 0;
export const CHORD = 1;
/** In the scale, and no semitone above a chord tone. */
export const TENSION = 2;
/** In the scale, a semitone above a chord tone. */
export const AVOID = 3;
/** In neither: it has to step into what belongs. */
export const CHROMATIC = 4;
/** The blue third of the key over its major chord: it has to step on. */
export const BLUE = 5;

/** The widest interval inside a phrase, in semitones. */
export const WIDEST = 12;
/** How many signed intervals there are from an octave down to an octave up. */
export const INTERVALS = 2 * WIDEST + 1;

/** A leap of so many semitones has to turn back … */
export const LEAP = 8;
/** … by at most so many. */
export const BACK = 4;

/**
 * The search for the pitches of a line whose rhythm is settled. All scores are whole points, a thousand to one unit of log
 * probability, so that sums are exact.
 *
 * The score of a line is the sum over its notes of `unary`, and over its intervals inside phrases of `taste`, `motifPoints`
 * where the interval takes the motif's step, and minus `recoveryPoints` where a leap does not turn back, minus `turnPoints` where the line turns after less
 * than a leap, and minus `fallPoints` where a chromatic note falls that was
 * not reached by step from above. Across phrases only
 * `apart` counts, a charge for each semitone.
 */
export interface Problem {
  /** Notes. */
  readonly length: number;
  /** Pitches, counted in semitones from the lowest. */
  readonly width: number;
  /** `length × width`: how a pitch stands to the chord; {@link SILENT} forbids it. */
  readonly classes: Uint8Array;
  /** `length × width`: points of a pitch at a note. */
  readonly unary: Int32Array;
  /** `length × width`: letter steps of a pitch, as spelled over the note's chord. */
  readonly letters: Int16Array;
  /** `length × INTERVALS`: points of an interval into a note. */
  readonly taste: Int32Array;
  /** Letter steps that the motif asks for into a note; `NO_STEP` for none. */
  readonly motif: Int8Array;
  /** 1 where a note starts a phrase. */
  readonly starts: Uint8Array;
  readonly motifPoints: number;
  readonly recoveryPoints: number;
  readonly turnPoints: number;
  readonly fallPoints: number;
  readonly apart: number;
  /** Whether notes that must step on are held to it; switched off to find out which rules conflict. */
  readonly resolve: boolean;
  /** Whether a note may be struck at most twice in a row. */
  readonly limitRepeats: boolean;
}

/** No step asked for. */
export const NO_STEP = 127;

/** Whether an interval may follow a pitch that has to step on, by the classes of both. */
export const mayFollow = (from: number, to: number, interval: number): boolean => {
  const step = Math.abs(interval);
  return step >= 1 && step <= 2 && (from === BLUE || to < CHROMATIC);
};
