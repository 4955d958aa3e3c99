import { TABLES } from "./tables.ts";

/**
 * Counts of what follows what in a corpus of solos: intervals and degrees by what comes before them, rhythms beat by beat, lengths, starts and
 * ends of phrases. Each table is text: contexts with commas between them, each as the difference to the one before, the count of what was
 * left out of it, and outcomes with their counts, in base 36. `bench/learn-lines.ts` writes one from a corpus of your own.
 */
export interface LineModel {
  /** Intervals by none, one, two and three intervals before. */
  readonly intervals: readonly string[];
  /** Intervals by the kind of chord and the degree that they leave, and by place in the beat too. */
  readonly harmony: readonly string[];
  /** Hundredths of logarithms: by how much each interval after each, and each degree by kind of chord and place, is set right where both are multiplied. */
  readonly pairs: string;
  readonly targets: string;
  /** Hundredths of logarithms: by how much each sort of interval is set right after a run of so many in one direction, on beats and between them. */
  readonly runs: string;
  /** Degrees by kind of chord: all, of first notes, of last notes. */
  readonly degrees: string;
  readonly firsts: string;
  readonly lasts: string;
  /** Intervals from phrase to phrase. */
  readonly between: string;
  /** Kinds of idea by class of tempo. */
  readonly kinds: string;
  /** Notes of a phrase by kind of idea. */
  readonly lengths: string;
  /** Intervals by kind of idea. */
  readonly moves: string;
  /** Places in the bar where phrases start, by class of tempo. */
  readonly starts: string;
  /** Time from phrase to phrase in half beats, by class of tempo. */
  readonly gaps: string;
  /** Places where phrases end, and places of all notes, by kind of idea. */
  readonly ends: string;
  readonly places: string;
  /** Rhythms of a beat by tempo, kind of idea, place in the bar and one or two beats before. */
  readonly cells: readonly string[];
  /** Hundredths of logarithms, by class of tempo: how much likelier rhythms in eighths, triplets, sixteenths and sixths of a beat are than their counts say. */
  readonly parts: string;
}

/**
 * The model that ships.
 *
 * Source: Weimar Jazz Database, by way of the R package jazzodata (Frieler, Pfleiderer, Zaddach, Abesser 2022); Pfleiderer, M. et al. (eds.)
 * (2017), Inside the Jazzomat; computed from its note lists.
 *
 * @example
 * ```ts
 * import { lineModel } from "hands-together/line-model";
 *
 * lineModel.intervals.length; // => 4
 * ```
 */
export const lineModel: LineModel = TABLES;
