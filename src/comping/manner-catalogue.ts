import type { CompingHit } from "./catalogue.ts";

/** One thing that a player does with a chord for so many pulses. */
export interface CompingCell {
  /** How many pulses it is for; a bar that no cell fits is made of several, the longest first. */
  readonly pulses: number;
  /** From which level on it is played, 1 to 5. */
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** Chance against the others. */
  readonly weight: number;
  /** In order of time; none leaves the chord before ringing, or silent. */
  readonly hits: readonly CompingHit[];
}

/** A manner of comping that is drawn part by part, as it listens to a line. */
export interface CompingMannerRow {
  readonly id: string;
  readonly title: string;
  /** Strokes that are wished for in four pulses, in tenths, at each of the five levels; fewer at tempi above 160 and under a phrase, more in its rests. */
  readonly density: readonly number[];
  readonly cells: readonly CompingCell[];
  readonly source: string;
}

const COMMON = "common practice, no source; the weights are our own";

const at = (place: string, hold: string, articulation?: CompingHit["articulation"]): CompingHit => ({
  at: place,
  play: "all",
  hold,
  ...(articulation && { articulation }),
});

const cell = (
  pulses: number,
  level: CompingCell["level"],
  weight: number,
  ...hits: readonly CompingHit[]
): CompingCell => ({ pulses, level, weight, hits });

// The last half of a part is left free: what is struck there is the next chord, which its own cell brings early.
const SHORT: readonly CompingCell[] = [
  cell(2, 1, 8, at("0", "end")),
  cell(2, 1, 4, at("0", "1")),
  cell(2, 2, 3, at("1", "1/2")),
  cell(2, 2, 3, at("0", "1/2"), at("1", "1/2")),
  cell(2, 2, 3),
  cell(2, 3, 5, at("-1/2", "1")),
  cell(2, 3, 3, at("1/2", "1")),
  cell(2, 4, 3, at("-1/2", "1/2"), at("1", "1/2")),
  cell(2, 5, 2, at("1/2", "1/2"), at("1", "1/2", "staccato")),
  cell(1, 1, 8, at("0", "1")),
  cell(1, 2, 3),
  cell(1, 3, 4, at("-1/2", "1")),
];

const LISTENING: readonly CompingCell[] = [
  cell(4, 1, 8, at("0", "end")),
  cell(4, 1, 3, at("0", "2"), at("2", "2")),
  cell(4, 1, 3, at("0", "1")),
  cell(4, 2, 4),
  cell(4, 2, 6, at("0", "3/2"), at("3/2", "1/2")),
  cell(4, 2, 2, at("1", "1")),
  cell(4, 2, 2, at("1", "1/2"), at("3", "1/2")),
  cell(4, 2, 2, at("2", "2")),
  cell(4, 3, 4, at("1/2", "1/2"), at("2", "3/2")),
  cell(4, 3, 4, at("3/2", "1")),
  cell(4, 3, 5, at("-1/2", "3/2")),
  cell(4, 3, 4, at("-1/2", "1"), at("3/2", "1/2")),
  cell(4, 3, 3, at("1", "1/2"), at("5/2", "1/2")),
  cell(4, 4, 3, at("-1/2", "1"), at("1", "1/2")),
  cell(4, 4, 2, at("1/2", "1/2"), at("3/2", "1/2")),
  cell(4, 4, 3, at("3/2", "1/2"), at("3", "1/2")),
  cell(4, 4, 2, at("0", "1/2"), at("3/2", "1/2"), at("5/2", "1/2")),
  cell(4, 5, 3, at("-1/2", "1"), at("3/2", "1"), at("3", "1/2", "staccato")),
  cell(4, 5, 3, at("1/2", "1/2"), at("3/2", "1/2"), at("3", "1/2", "accent")),
  cell(4, 5, 2, at("-1/2", "1/2"), at("1/2", "1/2"), at("2", "1")),
  cell(3, 1, 8, at("0", "end")),
  cell(3, 1, 3, at("0", "1")),
  cell(3, 2, 3),
  cell(3, 2, 3, at("1", "1/2"), at("2", "1/2")),
  cell(3, 2, 4, at("0", "3/2"), at("3/2", "1")),
  cell(3, 3, 4, at("-1/2", "3/2")),
  cell(3, 3, 3, at("-1/2", "3/2"), at("3/2", "1/2")),
  cell(3, 3, 3, at("1/2", "1/2"), at("3/2", "1")),
  cell(3, 4, 3, at("1/2", "1/2"), at("2", "1/2")),
  cell(3, 5, 2, at("-1/2", "1/2"), at("1", "1/2"), at("2", "1/2", "staccato")),
  ...SHORT,
];

const BALLAD: readonly CompingCell[] = [
  cell(4, 1, 8, at("0", "end")),
  cell(4, 1, 4, at("0", "2"), at("2", "2")),
  cell(4, 2, 3, at("1", "3")),
  cell(4, 2, 3, at("0", "3"), at("3", "1")),
  cell(4, 3, 2),
  cell(4, 3, 3, at("-1/2", "end")),
  cell(4, 3, 3, at("0", "3/2"), at("3/2", "5/2")),
  cell(4, 4, 2, at("0", "1"), at("1", "1"), at("2", "2")),
  cell(4, 5, 2, at("-1/2", "3/2"), at("1", "3/2"), at("5/2", "3/2")),
  cell(3, 1, 8, at("0", "end")),
  cell(3, 1, 4, at("0", "2"), at("2", "1")),
  cell(3, 2, 3, at("1", "2")),
  cell(3, 3, 2),
  cell(3, 3, 3, at("-1/2", "end")),
  cell(3, 4, 2, at("0", "3/2"), at("3/2", "3/2")),
  cell(2, 1, 8, at("0", "end")),
  cell(2, 2, 3, at("0", "1"), at("1", "1")),
  cell(2, 3, 3, at("-1/2", "end")),
  cell(1, 1, 8, at("0", "1")),
];

// Figures of bossa nova guitar and piano: an even long, short and long over the bar line.
const EVEN: readonly CompingCell[] = [
  cell(4, 1, 6, at("0", "end")),
  cell(4, 1, 4, at("0", "2"), at("2", "2")),
  cell(4, 2, 6, at("0", "3/2"), at("3/2", "3/2")),
  cell(4, 2, 3, at("0", "1"), at("3/2", "1/2"), at("3", "1/2")),
  cell(4, 3, 4, at("1", "1/2"), at("5/2", "1")),
  cell(4, 3, 5, at("-1/2", "3/2"), at("1", "1/2"), at("5/2", "1/2")),
  cell(4, 3, 4, at("-1/2", "3/2")),
  cell(4, 4, 4, at("-1/2", "1"), at("3/2", "1"), at("3", "1/2")),
  cell(4, 4, 3, at("1/2", "1"), at("2", "1")),
  cell(4, 5, 3, at("-1/2", "1/2"), at("1/2", "1/2"), at("3/2", "1"), at("3", "1/2")),
  cell(4, 3, 2),
  cell(3, 1, 6, at("0", "end")),
  cell(3, 2, 4, at("0", "3/2"), at("3/2", "3/2")),
  cell(3, 3, 4, at("-1/2", "3/2"), at("3/2", "1/2")),
  cell(3, 4, 3, at("1/2", "1"), at("2", "1/2")),
  ...SHORT,
];

/**
 * The manners of comping that listen; a new one is one more row.
 *
 * @example
 * ```ts
 * import { compingMannerCatalogue } from "hands-together/comping";
 *
 * compingMannerCatalogue.map((row) => row.id); // => ["listening", "listening-ballad", "listening-even"]
 * ```
 */
export const compingMannerCatalogue = [
  {
    id: "listening",
    title: "chords that listen: few under the phrase, answers in its rests, the next chord early",
    density: [10, 15, 20, 25, 30],
    cells: LISTENING,
    source: COMMON,
  },
  {
    id: "listening-ballad",
    title: "long chords that listen: one under the phrase, a second in its rests",
    density: [10, 12, 14, 18, 22],
    cells: BALLAD,
    source: COMMON,
  },
  {
    id: "listening-even",
    title: "chords in even eighths that listen: few under the phrase, answers in its rests",
    density: [10, 18, 24, 28, 34],
    cells: EVEN,
    source: COMMON,
  },
] as const satisfies readonly CompingMannerRow[];

/** The ids of {@link compingMannerCatalogue}. */
export type CompingMannerId = (typeof compingMannerCatalogue)[number]["id"];
