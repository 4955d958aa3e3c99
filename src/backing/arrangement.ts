import * as v from "valibot";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";
import type { BassId, BassRow } from "./bass-catalogue.ts";
import { bassCatalogue, bassRowSchema } from "./bass-catalogue.ts";
import type { DrumId, DrumRow } from "./drum-catalogue.ts";
import { drumCatalogue, drumRowSchema } from "./drum-catalogue.ts";

/** What a chorus has otherwise than the style; a manner without a bar of the metre is left to the style. */
export interface ChorusManners {
  readonly bass?: BassId | BassRow | undefined;
  readonly drums?: DrumId | DrumRow | undefined;
}

/** How the choruses of a piece differ. */
export interface ArrangementRow {
  readonly id: string;
  readonly title: string;
  /** The first chorus, where there are two or more. @defaultValue the style's */
  readonly first?: ChorusManners | undefined;
  /** The last chorus, where there are three or more. @defaultValue the style's */
  readonly last?: ChorusManners | undefined;
  /** A chorus whose first bars have the first beat alone, bass and drums together; of fewer choruses the last. @defaultValue none */
  readonly stops?: { readonly chorus: number; readonly bars: number } | undefined;
  readonly source: string;
}

const COMMON = "common practice, no source";

/**
 * How the choruses of a piece differ; a new way is one more row.
 *
 * @example
 * ```ts
 * import { arrangementCatalogue } from "hands-together/backing";
 *
 * arrangementCatalogue.map((row) => row.id); // => ["throughout", "two-then-four", "brushes-first", "stop-time"]
 * ```
 */
export const arrangementCatalogue = [
  { id: "throughout", title: "Every chorus in the style", source: COMMON },
  {
    id: "two-then-four",
    title: "The first chorus in two, then the style, the last in two again",
    first: { bass: "two-beat" },
    last: { bass: "two-beat" },
    source: COMMON,
  },
  {
    id: "brushes-first",
    title: "The first chorus in two and soft, then the style",
    first: { bass: "two-beat", drums: "brushes-like" },
    source: COMMON,
  },
  {
    id: "stop-time",
    title: "Stops in the second chorus: eight bars with the first beat alone",
    stops: { chorus: 2, bars: 8 },
    source: COMMON,
  },
] as const satisfies readonly ArrangementRow[];

/** The ids of {@link arrangementCatalogue}. */
export type ArrangementId = (typeof arrangementCatalogue)[number]["id"];

const manners = /* @__PURE__ */ v.strictObject({
  bass: v.optional(v.union([v.picklist(bassCatalogue.map(({ id }) => id)), bassRowSchema])),
  drums: v.optional(v.union([v.picklist(drumCatalogue.map(({ id }) => id)), drumRowSchema])),
});
const count = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(1000));

/** What an arrangement must be. */
export const arrangementRowSchema: v.GenericSchema<ArrangementRow> = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  first: v.optional(manners),
  last: v.optional(manners),
  stops: v.optional(v.strictObject({ chorus: count, bars: count })),
});

/** Arrangements, shipped and brought. */
export const arrangementRow: Door<ArrangementRow> = /* @__PURE__ */ door<ArrangementRow>(
  arrangementCatalogue,
  arrangementRowSchema,
  "backing/arrangement",
  "an arrangement of choruses",
);
