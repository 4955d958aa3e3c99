import * as v from "valibot";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import { isPitch } from "../pitch/inner.ts";
import type { Beats } from "../time/index.ts";
import { compareBeats } from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import { pitchesSchema, pitchSchema } from "../voicing/inner.ts";

// Further than any music lasts, and small enough that sums of times stay exact.
const FARTHEST = 1_000_000;

const isMoment = (value: unknown): value is Beats => isBeats(value) && Math.abs(value.num / value.den) <= FARTHEST;

const isSpan = (value: unknown): value is TimeSpan =>
  isRecord(value) && isMoment(value.at) && isMoment(value.duration) && value.duration.num > 0;

/** A stretch of time, of some length. */
export const spanSchema = /* @__PURE__ */ shapeOf(isSpan, "a moment and a length, in quarter notes");

/** A chord as `layOutChord` makes it. */
export const laidOutChordSchema = /* @__PURE__ */ v.intersect([
  spanSchema,
  /* @__PURE__ */ v.looseObject({
    root: pitchSchema,
    fifth: pitchSchema,
    chord: /* @__PURE__ */ v.pipe(pitchesSchema, /* @__PURE__ */ v.minLength(1)),
    all: /* @__PURE__ */ v.pipe(pitchesSchema, /* @__PURE__ */ v.minLength(1)),
    right: /* @__PURE__ */ v.optional(pitchesSchema),
    others: /* @__PURE__ */ v.optional(
      /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.array(
          /* @__PURE__ */ v.looseObject({
            chord: /* @__PURE__ */ v.pipe(pitchesSchema, /* @__PURE__ */ v.minLength(1)),
            all: /* @__PURE__ */ v.pipe(pitchesSchema, /* @__PURE__ */ v.minLength(1)),
          }),
        ),
        /* @__PURE__ */ v.maxLength(20),
      ),
    ),
  }),
]);

const MOST_NOTES = 200_000;

const isLine = (value: unknown): value is readonly NoteEvent[] =>
  Array.isArray(value) &&
  value.length <= MOST_NOTES &&
  value.every(
    (event: unknown, i) =>
      isSpan(event) &&
      isRecord(event) &&
      Array.isArray(event.pitches) &&
      event.pitches.length > 0 &&
      event.pitches.every(isPitch) &&
      (i === 0 || compareBeats(value[i - 1].at, event.at) <= 0),
  );

/** A line that comping listens to. */
export const melodySchema = /* @__PURE__ */ shapeOf(isLine, "notes in order of time, each with its pitches");
