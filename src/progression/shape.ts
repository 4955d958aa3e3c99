import * as v from "valibot";
import { isChord } from "../chord/inner.ts";
import { reads } from "../ground/attempt.ts";
import { shapeOf } from "../ground/check.ts";
import { rowFields } from "../ground/door.ts";
import { isKey } from "../pitch/inner.ts";
import { parseMetre } from "../time/index.ts";
import { isBeats, isMetre, isMetreChanges } from "../time/inner.ts";
import { isWrittenForm } from "./form-shape.ts";

/** Characters of the longest chart that is read: far more than any that is printed. */
export const LONGEST_CHART = 20_000;

export const chartTextSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.string(),
  /* @__PURE__ */ v.maxLength(LONGEST_CHART),
);

/** A chord for a stretch of time, as scores and lines hold it too. */
export const chordSpanSchema = /* @__PURE__ */ v.looseObject({
  at: /* @__PURE__ */ shapeOf(isBeats, "a moment in quarter notes"),
  duration: /* @__PURE__ */ shapeOf(isBeats, "a length in quarter notes"),
  chord: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isChord, "a chord, or undefined for none")),
});

export const keyShape = /* @__PURE__ */ shapeOf(isKey, "a key");
export const metreShape = /* @__PURE__ */ shapeOf(isMetre, "a metre");

export const keySchema = /* @__PURE__ */ v.union([v.string(), keyShape]);
export const numeralSchema = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(200));

/** What a progression must be. */
export const progressionSchema = /* @__PURE__ */ v.looseObject({
  kind: /* @__PURE__ */ v.literal("progression"),
  key: keyShape,
  metre: metreShape,
  bars: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.number(),
    /* @__PURE__ */ v.integer(),
    /* @__PURE__ */ v.minValue(1),
    /* @__PURE__ */ v.maxValue(10_000),
  ),
  chords: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(chordSpanSchema), /* @__PURE__ */ v.maxLength(100_000)),
  chartTempo: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.number()),
  chartFeel: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.string()),
  pickupChords: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(chordSpanSchema), /* @__PURE__ */ v.maxLength(64)),
  ),
  metres: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(isMetreChanges, "changes of metre in order of their bars"),
  ),
  sections: /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      name: /* @__PURE__ */ v.string(),
      bar: /* @__PURE__ */ v.number(),
      bars: /* @__PURE__ */ v.number(),
    }),
  ),
  form: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(isWrittenForm, "signs of bars as written, and the order in which they are played"),
  ),
  guesses: /* @__PURE__ */ v.exactOptional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.unknown(),
      /* @__PURE__ */ v.check(
        (list) => Array.isArray(list) && list.length <= 10_000 && list.every((one) => typeof one === "string"),
        "a list of guesses in words",
      ),
    ),
  ),
});

export const optionsSchema = /* @__PURE__ */ v.strictObject({
  key: /* @__PURE__ */ v.optional(keySchema),
  metre: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.union([v.string(), metreShape])),
  chordsPerBar: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

/** A row by its fields; that its changes can be read is checked beside the reader. */
export const rowShape = /* @__PURE__ */ v.looseObject({
  ...rowFields,
  changes: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(LONGEST_CHART)),
  mode: /* @__PURE__ */ v.picklist(["major", "minor"]),
  metre: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.string(),
    /* @__PURE__ */ v.check(/* @__PURE__ */ reads(parseMetre), "a time signature such as 4/4"),
  ),
  bars: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.number(),
    /* @__PURE__ */ v.integer(),
    /* @__PURE__ */ v.minValue(1),
    /* @__PURE__ */ v.maxValue(10_000),
  ),
});
