import * as v from "valibot";
import type { TimeSpan } from "../event/index.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import type { Beats } from "../time/index.ts";
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
  }),
]);
