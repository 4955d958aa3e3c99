/**
 * What a left hand strikes: the bass root, the fifth of the chord beside it, the chord without its bass root, everything at once, or one
 * note of the chord, counted from 1 at its lowest and turning back at its top (of two notes, 3 is the lower one again).
 */
export type CompingPart = "root" | "fifth" | "chord" | "all" | number;

/** One stroke of a pattern. Places and lengths are counted in pulses; a half is the offbeat, as `pulseTime` reads it. */
export interface CompingHit {
  /**
   * From the start of the bar. Below zero it lies before the bar line and still belongs to this bar's chord: an anticipation, which takes
   * its time from the chord before.
   */
  readonly at: string;
  /** How long it is held at most; `"end"` holds it to the next stroke or the end of the chord. */
  readonly hold: string;
  readonly play: CompingPart;
  readonly articulation?: "accent" | "staccato" | undefined;
}

/** The strokes of a pattern in bars of one kind. */
export interface CompingBar {
  /** The pulses after which the strokes come round; they serve every bar that this number divides. Absent, they serve any bar, once. */
  readonly pulses?: number | undefined;
  /** In order of time. */
  readonly hits: readonly CompingHit[];
}

/**
 * A left-hand pattern, repeated bar by bar and cut where the chord changes: a chord that enters inside a bar starts
 * the pattern again.
 */
export interface CompingRow extends CompingBar {
  readonly id: string;
  readonly title: string;
  /** From 1 (first lessons) to 5. */
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** The same pattern in bars that the row's own strokes don't serve. */
  readonly others?: readonly CompingBar[] | undefined;
  readonly source: string;
}

const COMMON = "common practice, no source";
const STRIDE =
  "bass note on 1 and 3, chord on 2 and 4 (Wikipedia, 'Stride (music)'); bass notes root and 5th (Scivales, R., Jazz Piano: The Left Hand, p. 1)";

const stroke = (
  at: string,
  play: CompingPart,
  hold = "end",
  articulation?: CompingHit["articulation"],
): CompingHit => ({ at, hold, play, ...(articulation && { articulation }) });

// A run of strokes, each held to the next, so many to a pulse.
const run = (perPulse: number, parts: readonly CompingPart[]): readonly CompingHit[] =>
  parts.map((part, i) => stroke(`${i}/${perPulse}`, part));

const CHARLESTON = [stroke("0", "all"), stroke("3/2", "all", "1/2")];
const OFFBEATS = [stroke("-1/2", "chord", "1"), stroke("3/2", "chord", "1")];
const EARLY_CHARLESTON = [stroke("-1/2", "chord"), stroke("1", "chord", "1/2")];
const ROOT_CHORD = [stroke("0", "root", "1"), stroke("1", "chord", "1")];
const WALTZ = [...ROOT_CHORD, stroke("2", "chord", "1")];

/**
 * The left-hand patterns, from the first lessons on; a new one is one more row.
 *
 * @example
 * ```ts
 * import { compingCatalogue } from "hands-together";
 *
 * compingCatalogue.filter((row) => row.level === 1).map((row) => row.id); // => ["held", "root-then-chord", "slow-stride", "every-beat"]
 * ```
 */
export const compingCatalogue = [
  { id: "held", title: "chord held", level: 1, hits: [stroke("0", "all")], source: COMMON },
  {
    id: "root-then-chord",
    title: "root on the first beat, then the chord held",
    level: 1,
    hits: [stroke("0", "root"), stroke("1", "chord")],
    source: "stride in its slowest form: bass note, then chord (Wikipedia, 'Stride (music)')",
  },
  {
    id: "slow-stride",
    title: "stride in half notes: root on 1, chord on 3",
    level: 1,
    pulses: 4,
    hits: [stroke("0", "root"), stroke("2", "chord")],
    others: [2, 3].map((pulses) => ({ pulses, hits: [stroke("0", "root"), stroke("1", "chord")] })),
    source: STRIDE,
  },
  {
    id: "every-beat",
    title: "four to the bar: the chord on every beat",
    level: 1,
    pulses: 1,
    hits: [stroke("0", "all", "1")],
    source: COMMON,
  },
  {
    id: "short-beats",
    title: "four to the bar as a rhythm guitar plays it: short, with the backbeats accented",
    level: 2,
    pulses: 2,
    hits: [stroke("0", "chord", "1", "staccato"), stroke("1", "chord", "1", "accent")],
    others: [
      {
        pulses: 3,
        hits: [
          stroke("0", "chord", "1", "staccato"),
          stroke("1", "chord", "1", "accent"),
          stroke("2", "chord", "1", "accent"),
        ],
      },
    ],
    source: COMMON,
  },
  {
    id: "backbeats",
    title: "the chord on 2 and 4, short",
    level: 2,
    pulses: 2,
    hits: [stroke("1", "chord", "1/2")],
    others: [{ pulses: 3, hits: [stroke("1", "chord", "1/2"), stroke("2", "chord", "1/2")] }],
    source: COMMON,
  },
  {
    id: "stride-on-roots",
    title: "stride: root and chord by turns",
    level: 2,
    pulses: 2,
    hits: ROOT_CHORD,
    others: [{ pulses: 3, hits: WALTZ }],
    source: STRIDE,
  },
  {
    id: "charleston",
    title: "Charleston: long on 1, short on the and of 2",
    level: 2,
    pulses: 4,
    hits: CHARLESTON,
    others: [2, 3].map((pulses) => ({ pulses, hits: CHARLESTON })),
    source: "dotted quarter, then eighth: Wikipedia, 'Charleston (dance)' (cited from memory)",
  },
  {
    id: "ballad",
    title: "ballad: root and the chord's lowest note in eighths, then the chord held",
    level: 2,
    hits: [stroke("0", "root"), stroke("1/2", 1), stroke("1", "chord")],
    source: COMMON,
  },
  {
    id: "stride",
    title: "stride: root, chord, fifth, chord",
    level: 3,
    pulses: 4,
    hits: [...ROOT_CHORD, stroke("2", "fifth", "1"), stroke("3", "chord", "1")],
    others: [
      { pulses: 3, hits: WALTZ },
      { pulses: 2, hits: ROOT_CHORD },
    ],
    source: STRIDE,
  },
  {
    id: "anticipated",
    title: "the chord struck an offbeat early, on the and of the last beat before it, and held",
    level: 3,
    hits: [stroke("-1/2", "all")],
    source: COMMON,
  },
  {
    id: "reverse-charleston",
    title: "short on the and of 1, long on 3",
    level: 3,
    pulses: 4,
    hits: [stroke("1/2", "chord", "1/2"), stroke("2", "chord", "3/2")],
    others: [{ pulses: 3, hits: [stroke("1/2", "chord", "1/2"), stroke("2", "chord", "1")] }],
    source: COMMON,
  },
  {
    id: "charleston-from-two",
    title: "the Charleston a beat later: long on 2, short on the and of 3",
    level: 3,
    pulses: 4,
    hits: [stroke("1", "chord"), stroke("5/2", "chord", "1/2")],
    source: COMMON,
  },
  {
    id: "broken-chord",
    title: "ballad: root, then the notes of the chord one by one, up and back in eighths",
    level: 3,
    pulses: 4,
    hits: run(2, ["root", 1, 2, 3, 4, 3, 2, 1]),
    others: [
      { pulses: 3, hits: run(2, ["root", 1, 2, 3, 2, 1]) },
      { pulses: 2, hits: run(2, ["root", 1, 2, 1]) },
    ],
    source: COMMON,
  },
  {
    id: "offbeats",
    title: "on the and of 2 and on the and of 4, which belongs to the next chord",
    level: 4,
    pulses: 4,
    hits: OFFBEATS,
    others: [
      { pulses: 3, hits: OFFBEATS },
      { pulses: 2, hits: OFFBEATS.slice(0, 1) },
    ],
    source: COMMON,
  },
  {
    id: "early-charleston",
    title: "the Charleston an offbeat early: long on the and of 4 before, short on 2",
    level: 4,
    pulses: 4,
    hits: EARLY_CHARLESTON,
    others: [2, 3].map((pulses) => ({ pulses, hits: EARLY_CHARLESTON })),
    source: COMMON,
  },
  {
    id: "reversed-stride",
    title: "stride turned round: chord, root, chord, fifth",
    level: 4,
    pulses: 4,
    hits: [stroke("0", "chord", "1"), stroke("1", "root", "1"), stroke("2", "chord", "1"), stroke("3", "fifth", "1")],
    others: [{ pulses: 2, hits: [stroke("0", "chord", "1"), stroke("1", "root", "1")] }],
    source: "sometimes reversed: Wikipedia, 'Stride (music)'",
  },
  {
    id: "broken-chord-in-triplets",
    title: "slow blues: root, then the notes of the chord one by one, up and back in triplets",
    level: 4,
    pulses: 4,
    hits: run(3, ["root", 1, 2, 3, 4, 3, "root", 1, 2, 3, 4, 3]),
    others: [
      { pulses: 3, hits: run(3, ["root", 1, 2, 3, 4, 3, 2, 3, 2]) },
      { pulses: 2, hits: run(3, ["root", 1, 2, 3, 2, 1]) },
    ],
    source: COMMON,
  },
  {
    id: "syncopated",
    title: "on the and of 4 before, long on the and of 2, short on 4",
    level: 5,
    pulses: 4,
    hits: [stroke("-1/2", "chord", "1"), stroke("3/2", "chord", "1"), stroke("3", "chord", "1/2", "staccato")],
    source: COMMON,
  },
] as const satisfies readonly CompingRow[];

/** The ids of {@link compingCatalogue}. */
export type CompingId = (typeof compingCatalogue)[number]["id"];
