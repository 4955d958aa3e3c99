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

/** A manner of playing the bass. */
export interface BassRow {
  readonly id: string;
  readonly title: string;
  /** Where notes fall, in pulses, for bars that the number of pulses divides. */
  readonly bars: readonly { readonly pulses: number; readonly at: readonly string[] }[];
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

/**
 * The manners of playing the bass; a new one is one more row. The points are our own, set by reading the lines that came out.
 *
 * @example
 * ```ts
 * import { bassCatalogue } from "hands-together/backing";
 *
 * bassCatalogue.map((row) => row.id); // => ["walking", "two-beat", "long-notes"]
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
      { pulses: 5, at: ["0", "3"] },
      { pulses: 3, at: ["0"] },
      { pulses: 2, at: ["0", "1"] },
    ],
    walks: false,
    repeats: false,
    taste: TWO_BEAT,
    source: "common practice, no source",
  },
  {
    id: "long-notes",
    title: "Long notes: the root on every chord and bar",
    bars: [4, 5, 3, 2].map((pulses) => ({ pulses, at: ["0"] })),
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
    source: "common practice, no source",
  },
] as const satisfies readonly BassRow[];

/** The ids of {@link bassCatalogue}. */
export type BassId = (typeof bassCatalogue)[number]["id"];
