import * as v from "valibot";
import type { TimeSpan } from "../event/index.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import { isMusicError } from "../ground/errors.ts";
import type { Beats, Metre } from "../time/index.ts";
import { parseMetre } from "../time/index.ts";
import { pitchesSchema, pitchSchema } from "../voicing/inner.ts";

// Further than any music lasts, and small enough that sums of times stay exact.
const FARTHEST = 1_000_000;

const isBeats = (value: unknown): value is Beats =>
  isRecord(value) &&
  Number.isSafeInteger(value.num) &&
  Number.isSafeInteger(value.den) &&
  Number(value.den) > 0 &&
  Math.abs(Number(value.num) / Number(value.den)) <= FARTHEST;

const reads = (text: string): boolean => {
  try {
    parseMetre(text);
    return true;
  } catch (error) {
    if (isMusicError(error)) return false;
    throw error;
  }
};

const isMetre = (value: unknown): value is Metre =>
  isRecord(value) &&
  value.kind === "metre" &&
  typeof value.count === "number" &&
  typeof value.unit === "number" &&
  reads(`${value.count}/${value.unit}`);

export const metreSchema = /* @__PURE__ */ shapeOf(isMetre, "a metre");

const isSpan = (value: unknown): value is TimeSpan =>
  isRecord(value) && isBeats(value.at) && isBeats(value.duration) && value.duration.num > 0;

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
  }),
]);
