import * as v from "valibot";
import { door, rowFields } from "../ground/door.ts";
import type { CompingBar, CompingRow } from "./catalogue.ts";
import { compingCatalogue } from "./catalogue.ts";
import type { CompingMannerRow } from "./manner-catalogue.ts";
import { compingMannerCatalogue } from "./manner-catalogue.ts";
import type { PickupRow } from "./pickups.ts";
import { pickupCatalogue } from "./pickups.ts";

// Far more than a bar or a hand has; a row that is larger is a mistake.
const MOST_HITS = 64;
const MOST_PULSES = 32;
const MOST_NOTES = 24;

const fraction = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.string(),
  /* @__PURE__ */ v.regex(/^-?\d{1,4}(?:\/[1-9]\d{0,2})?$/, 'pulses as a fraction, such as "3/2"'),
);

const numberOf = (text: string): number => {
  const [over, under = "1"] = text.split("/");
  return Number(over) / Number(under);
};

const positive = /* @__PURE__ */ v.pipe(
  fraction,
  /* @__PURE__ */ v.check((text) => numberOf(text) > 0, "more than no time"),
);

const level = /* @__PURE__ */ v.picklist([1, 2, 3, 4, 5]);

const hit = /* @__PURE__ */ v.strictObject({
  at: /* @__PURE__ */ v.pipe(
    fraction,
    /* @__PURE__ */ v.check((text) => numberOf(text) > -1, "at most a pulse before the bar line"),
  ),
  hold: /* @__PURE__ */ v.union([/* @__PURE__ */ v.literal("end"), positive]),
  play: /* @__PURE__ */ v.union([
    /* @__PURE__ */ v.picklist(["root", "fifth", "chord", "all"]),
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.number(),
      /* @__PURE__ */ v.integer(),
      /* @__PURE__ */ v.minValue(1),
      /* @__PURE__ */ v.maxValue(MOST_NOTES),
    ),
  ]),
  articulation: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["accent", "staccato"])),
});

const rises = ({ hits }: CompingBar): boolean =>
  hits.every((one, i) => i === 0 || numberOf(one.at) > numberOf(hits[i - 1]?.at ?? "0"));
const inside = ({ pulses, hits }: CompingBar): boolean =>
  hits.every(({ at }) => numberOf(at) < (pulses ?? MOST_PULSES));

const barFields = {
  pulses: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.number(),
      /* @__PURE__ */ v.integer(),
      /* @__PURE__ */ v.minValue(1),
      /* @__PURE__ */ v.maxValue(MOST_PULSES),
    ),
  ),
  hits: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(hit),
    /* @__PURE__ */ v.minLength(1),
    /* @__PURE__ */ v.maxLength(MOST_HITS),
  ),
} as const;

const RISES = "strokes in order of time, no two at once";
const INSIDE = "strokes that begin before their pulses are over";

const bar = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject(barFields),
  /* @__PURE__ */ v.check((one) => rises(one), RISES),
  /* @__PURE__ */ v.check((one) => inside(one), INSIDE),
);

/** What a left-hand pattern must be. */
export const compingRowSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({
    ...rowFields,
    level,
    ...barFields,
    others: /* @__PURE__ */ v.optional(
      /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(bar), /* @__PURE__ */ v.maxLength(MOST_PULSES)),
    ),
  }),
  /* @__PURE__ */ v.check((one) => rises(one), RISES),
  /* @__PURE__ */ v.check((one) => inside(one), INSIDE),
);

/** What a pickup must be. */
export const pickupRowSchema = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  level,
  play: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(/* @__PURE__ */ v.picklist(["root", "fifth", "semitone-below", "semitone-above"])),
    /* @__PURE__ */ v.minLength(1),
    /* @__PURE__ */ v.maxLength(MOST_NOTES),
  ),
  each: positive,
});

const numbers = (least: number, most: number) =>
  /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.number(),
    /* @__PURE__ */ v.integer(),
    /* @__PURE__ */ v.minValue(least),
    /* @__PURE__ */ v.maxValue(most),
  );

const cell = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({
    pulses: /* @__PURE__ */ numbers(1, MOST_PULSES),
    level,
    weight: /* @__PURE__ */ numbers(1, 1000),
    hits: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(hit), /* @__PURE__ */ v.maxLength(MOST_HITS)),
  }),
  /* @__PURE__ */ v.check((one) => rises(one), RISES),
  /* @__PURE__ */ v.check((one) => inside(one), INSIDE),
);

const MOST_CELLS = 200;

/** What a manner of comping must be. */
export const compingMannerRowSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({
    ...rowFields,
    density: /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(/* @__PURE__ */ numbers(0, 200)),
      /* @__PURE__ */ v.length(5),
    ),
    cells: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(cell), /* @__PURE__ */ v.maxLength(MOST_CELLS)),
  }),
  /* @__PURE__ */ v.check(
    ({ cells }) =>
      [...new Set([1, ...cells.map(({ pulses }) => pulses)])].every((pulses) =>
        cells.some((one) => one.pulses === pulses && one.level === 1 && one.hits[0]?.at === "0"),
      ),
    "for a part of one pulse, and of every number that it has, a cell of level 1 whose first stroke is at 0",
  ),
);

/** The way in for left-hand patterns: an id or a row. */
export const compingRow = /* @__PURE__ */ door<CompingRow>(
  compingCatalogue,
  compingRowSchema,
  "comping/pattern",
  "a left-hand pattern",
);

/** The way in for pickups: an id or a row. */
export const pickupRow = /* @__PURE__ */ door<PickupRow>(
  pickupCatalogue,
  pickupRowSchema,
  "comping/pickup",
  "a left-hand pickup",
);

/** The way in for manners of comping: an id or a row. */
export const compingMannerRow = /* @__PURE__ */ door<CompingMannerRow>(
  compingMannerCatalogue,
  compingMannerRowSchema,
  "comping/manner",
  "a manner of comping",
);

/** A pattern of the left hand, or a manner that listens. */
export type LeftHandRow = CompingRow | CompingMannerRow;

/** Whether a row is a manner that listens. */
export const isManner = (row: LeftHandRow): row is CompingMannerRow => "cells" in row;

const isMannerId = (id: string): boolean => compingMannerCatalogue.some((row) => row.id === id);

/** The way in for both. @throws MusicError `comping/pattern` or `comping/manner` */
export const leftHandRow = (given: string | LeftHandRow): LeftHandRow =>
  typeof given === "string"
    ? isMannerId(given)
      ? compingMannerRow(given)
      : compingRow(given)
    : isManner(given)
      ? compingMannerRow(given)
      : compingRow(given);
