import * as v from "valibot";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";
import type { BassId, BassRow } from "./bass-catalogue.ts";
import { bassCatalogue, bassRowSchema } from "./bass-catalogue.ts";
import type { DrumId, DrumRow } from "./drum-catalogue.ts";
import { drumCatalogue, drumRowSchema } from "./drum-catalogue.ts";

/** A style of accompaniment: who plays how. */
export interface BackingRow {
  readonly id: string;
  readonly title: string;
  /** How the bass plays: an id of `bassCatalogue`, or a row. */
  readonly bass: BassId | BassRow;
  /** How the drums play: an id of `drumCatalogue`, or a row. */
  readonly drums: DrumId | DrumRow;
  /** Whether offbeats swing as the tempo has it, or stay even. */
  readonly eighths: "swung" | "even";
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
  {
    id: "swing",
    title: "Swing: walking bass and ride cymbal",
    bass: "walking",
    drums: "ride",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "two-beat",
    title: "Two-beat: two bass notes in the bar under the ride cymbal",
    bass: "two-beat",
    drums: "ride",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "ballad",
    title: "Ballad: two bass notes in the bar and a pickup, sweep and taps in place of brushes",
    bass: "ballad",
    drums: "brushes-like",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "walking-ballad",
    title: "Ballad that walks: bass on every beat, sweep and taps in place of brushes",
    bass: "walking",
    drums: "brushes-like",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "shuffle",
    title: "Shuffle: walking bass, snare on 2 and 4",
    bass: "walking",
    drums: "shuffle",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "slow-blues",
    title: "Slow blues in triplets or twelve-eight",
    bass: "walking",
    drums: "slow-triplets",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "even",
    title: "Even eighths: roots and fifths off the beat too, closed hi-hat",
    bass: "even-eighths",
    drums: "even-eighths",
    eighths: "even",
    source: COMMON,
  },
  {
    id: "waltz",
    title: "Waltz: root or fifth on 1, ride in three",
    bass: "waltz",
    drums: "waltz",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "bossa",
    title: "Bossa nova: root and fifth, side stick over two bars",
    bass: "bossa",
    drums: "bossa",
    eighths: "even",
    source: COMMON,
  },
  {
    id: "five-four",
    title: "Five-four as three and two, under the ride cymbal",
    bass: "five-four",
    drums: "ride",
    eighths: "swung",
    source: COMMON,
  },
  {
    id: "six-eight",
    title: "Six-eight: the bell pattern on the ride over two bars",
    bass: "six-eight",
    drums: "six-eight",
    eighths: "even",
    source: COMMON,
  },
  {
    id: "timekeeper",
    title: "To practise time: long bass notes, hi-hat on 2 and 4",
    bass: "long-notes",
    drums: "hi-hat-only",
    eighths: "swung",
    source: COMMON,
  },
] as const satisfies readonly BackingRow[];

/** The ids of {@link backingCatalogue}. */
export type BackingId = (typeof backingCatalogue)[number]["id"];

/** What a row for both players must be; each manner by its id or whole. */
export const backingRowSchema: v.GenericSchema<BackingRow> = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  bass: v.union([v.picklist(bassCatalogue.map(({ id }) => id)), bassRowSchema]),
  drums: v.union([v.picklist(drumCatalogue.map(({ id }) => id)), drumRowSchema]),
  eighths: v.picklist(["swung", "even"]),
});

/** Styles of accompaniment, shipped and brought. */
export const backingRow: Door<BackingRow> = /* @__PURE__ */ door<BackingRow>(
  backingCatalogue,
  backingRowSchema,
  "backing/style",
  "a style of accompaniment",
);
