/** What a left hand strikes: the bass root, the fifth of the chord beside it, the chord without its bass root, or everything at once. */
export type CompingPart = "root" | "fifth" | "chord" | "all";

/** One stroke of a pattern, in quarter notes from the start of the bar. */
export interface CompingHit {
  readonly at: string;
  /** How long it is held at most; `"end"` holds it to the next stroke of the pattern or the end of the chord. */
  readonly hold: string;
  readonly play: CompingPart;
  readonly accent?: true;
}

/**
 * A left-hand pattern over one bar, repeated bar by bar and cut where the chord changes: a chord that enters
 * inside a bar starts the pattern again.
 */
export interface CompingRow {
  readonly id: string;
  readonly title: string;
  /** From 1 (first lessons) to 5. */
  readonly grade: 1 | 2 | 3 | 4 | 5;
  readonly hits: readonly CompingHit[];
  readonly source: string;
}

/** The left-hand patterns; a new one is one more row. */
export const compingCatalogue = [
  {
    id: "held",
    title: "chord held",
    grade: 1,
    hits: [{ at: "0", hold: "end", play: "all" }],
    source: "common practice, no source",
  },
  {
    id: "root-then-chord",
    title: "root on the first beat, then the chord held",
    grade: 1,
    hits: [{ at: "0", hold: "end", play: "root" }, { at: "1", hold: "end", play: "chord" }],
    source: "stride in its slowest form: bass note, then chord (Wikipedia, 'Stride (music)')",
  },
] as const satisfies readonly CompingRow[];

/** The ids of {@link compingCatalogue}. */
export type CompingId = (typeof compingCatalogue)[number]["id"];
