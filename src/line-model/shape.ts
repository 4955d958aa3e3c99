import type { Chord } from "../chord/index.ts";
import { pitchClassOf } from "../pitch/index.ts";

/** The widest interval inside a phrase that the model knows, in semitones. */
export const RANGE = 12;

/** The kinds of idea that a line is made of. */
export const KINDS = ["line", "lick", "melody", "riff"] as const;

/** Where classes of tempo part, in quarter notes a minute. */
export const TEMPOS = [110, 150, 200] as const;

/** The class of a tempo, 0 for slow. */
export const tempoClass = (tempo: number): number => TEMPOS.filter((limit) => tempo >= limit).length;

/** What the notes of a beat can be, as it is written and read: ticks of twelve to the beat; eighths, triplets, sixteenths, and runs of six. */
export const CELLS: readonly (readonly number[])[] = [
  [],
  [0],
  [6],
  [0, 6],
  [8],
  [0, 4],
  [0, 8],
  [4, 8],
  [0, 4, 8],
  [9],
  [0, 3],
  [0, 9],
  [6, 9],
  [0, 3, 6],
  [0, 3, 9],
  [0, 6, 9],
  [3, 6, 9],
  [0, 3, 6, 9],
  [6, 8, 10],
  [0, 2, 4, 6],
  [0, 4, 8, 10],
  [0, 6, 8, 10],
  [0, 4, 6, 8, 10],
  [2, 4, 6, 8, 10],
  [0, 2, 4, 6, 8, 10],
];

/** Into how many parts a rhythm cuts its beat. */
export const partsOf = (cell: readonly number[]): 1 | 2 | 3 | 4 | 6 =>
  cell.every((tick) => tick === 0)
    ? 1
    : cell.every((tick) => tick % 6 === 0)
      ? 2
      : cell.every((tick) => tick % 4 === 0)
        ? 3
        : cell.every((tick) => tick % 3 === 0)
          ? 4
          : 6;

/** Kinds of chord: major, dominant, minor, diminished, the I7 and the IV7 of a blues. */
export const CHORD_KINDS = 6;
export const [MAJOR, DOMINANT, MINOR, DIMINISHED, BLUES_ONE, BLUES_FOUR] = [0, 1, 2, 3, 4, 5];

/** The kind of a chord; with the tonic of a blues, its I7 and IV7 are kinds of their own. */
export const chordKindOf = (chord: Chord, bluesTonic?: number): number => {
  const degrees: readonly string[] = chord.tones.map((tone) => tone.degree);
  const major = degrees.includes("3") || !degrees.includes("b3");
  if (!major) return degrees.includes("b5") && !degrees.includes("5") ? DIMINISHED : MINOR;
  if (!degrees.includes("b7")) return MAJOR;
  const above = bluesTonic === undefined ? -1 : (pitchClassOf(chord.root) - bluesTonic + 12) % 12;
  return above === 0 ? BLUES_ONE : above === 5 ? BLUES_FOUR : DOMINANT;
};
