import type { BassId } from "./bass-catalogue.ts";
import type { DrumId } from "./drum-catalogue.ts";

/** A style of accompaniment: who plays how. */
export interface BackingRow {
  readonly id: string;
  readonly title: string;
  readonly bass: BassId;
  readonly drums: DrumId;
  readonly source: string;
}

const COMMON = "common practice, no source";

/**
 * Styles of accompaniment; a new one is one more row. Each manner of bass and drums can also be asked for by itself.
 *
 * @example
 * ```ts
 * import { backingCatalogue } from "hands-together";
 *
 * backingCatalogue.find((row) => row.id === "swing")?.bass; // => "walking"
 * ```
 */
export const backingCatalogue = [
  { id: "swing", title: "Swing: walking bass and ride cymbal", bass: "walking", drums: "ride", source: COMMON },
  {
    id: "two-beat",
    title: "Two-beat: two bass notes in the bar under the ride cymbal",
    bass: "two-beat",
    drums: "ride",
    source: COMMON,
  },
  {
    id: "ballad",
    title: "Ballad: two bass notes in the bar, sweep and taps in place of brushes",
    bass: "two-beat",
    drums: "brushes-like",
    source: COMMON,
  },
  {
    id: "walking-ballad",
    title: "Ballad that walks: bass on every beat, sweep and taps in place of brushes",
    bass: "walking",
    drums: "brushes-like",
    source: COMMON,
  },
  {
    id: "shuffle",
    title: "Shuffle: walking bass, snare on 2 and 4",
    bass: "walking",
    drums: "shuffle",
    source: COMMON,
  },
  {
    id: "slow-blues",
    title: "Slow blues in triplets or twelve-eight",
    bass: "walking",
    drums: "slow-triplets",
    source: COMMON,
  },
  {
    id: "even",
    title: "Even eighths: root and fifth, closed hi-hat",
    bass: "two-beat",
    drums: "even-eighths",
    source: COMMON,
  },
  {
    id: "timekeeper",
    title: "To practise time: long bass notes, hi-hat on 2 and 4",
    bass: "long-notes",
    drums: "hi-hat-only",
    source: COMMON,
  },
] as const satisfies readonly BackingRow[];

/** The ids of {@link backingCatalogue}. */
export type BackingId = (typeof backingCatalogue)[number]["id"];
