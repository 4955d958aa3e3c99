import type { Degree } from "../pitch/index.ts";

/** A scale by its degrees, in any key. */
export interface ScaleRow {
  /** The name that follows the tonic, as `parseScale` reads it: words of small letters and digits. */
  readonly id: string;
  readonly title: string;
  /** Other names of the trade for the same scale. */
  readonly aliases?: readonly string[] | undefined;
  /** Degrees within one octave, rising from 1. */
  readonly degrees: readonly Degree[];
  readonly source: string;
}

/**
 * The scales that this library defines itself; every other name is looked up in tonal's scale dictionary.
 *
 * The blues scales are here because their spelling matters here: the blue notes of the major blues are ♭3 and 3
 * (two letters E in C), those of the minor blues are ♭3 and ♭5.
 */
export const scaleCatalogue = [
  {
    id: "major blues",
    title: "Major blues",
    aliases: ["major blues scale"],
    degrees: ["1", "2", "b3", "3", "5", "6"],
    source: "Wikipedia, 'Blues scale' (major blues: 1 2 b3 3 5 6)",
  },
  {
    id: "minor blues",
    title: "Minor blues",
    aliases: ["blues", "minor blues scale", "hexatonic blues"],
    degrees: ["1", "b3", "4", "b5", "5", "b7"],
    source: "Wikipedia, 'Blues scale' (hexatonic: 1 b3 4 b5 5 b7)",
  },
  {
    id: "natural minor",
    title: "Natural minor",
    aliases: ["natural minor scale", "pure minor"],
    degrees: ["1", "2", "b3", "4", "5", "b6", "b7"],
    source: "common practice; tonal's dictionary has it as minor and aeolian",
  },
] as const satisfies readonly ScaleRow[];

/** The ids of {@link scaleCatalogue}. */
export type ScaleId = (typeof scaleCatalogue)[number]["id"];
