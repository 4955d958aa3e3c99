import * as v from "valibot";
import { isChord } from "../chord/inner.ts";
import type { Finger, GraceNote, NoteEvent, TimeSpan } from "../event/index.ts";
import { attempt } from "../ground/attempt.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import type { Pitch } from "../pitch/index.ts";
import { isKey, isPitch } from "../pitch/inner.ts";
import type { ChordSpan } from "../progression/index.ts";
import { isWrittenForm } from "../progression/inner.ts";
import type { Feel } from "../swing/index.ts";
import { swungFeel } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import { beatsOf } from "../time/index.ts";
import { isBeats, isMetre, isMetreChanges } from "../time/inner.ts";

/** The most events of one part, and chords of a score: more than 10,000 bars hold. */
export const MOST_EVENTS = 200_000;
/** The most characters of a title. */
export const MOST_LETTERS = 1000;
/** The most characters of a recipe as JSON. */
const MOST_RECIPE = 1_000_000;
const MOST_PITCHES = 88;
const MOST_GRACES = 16;

/** Whether a value is beats in lowest terms, as all arithmetic leaves them. */
const isMoment = (value: unknown): value is Beats =>
  isBeats(value) &&
  // The usual ones are in lowest terms without a look.
  (value.den === 1 || beatsOf(value.num, value.den).den === value.den);

const isSpan = (value: unknown): value is TimeSpan => isRecord(value) && isMoment(value.at) && isMoment(value.duration);

/** Whether a value is a pitch between C-1 and B9, the reach of note names, give or take its accidentals. */
const isInReach = (value: unknown): value is Pitch =>
  isPitch(value) && value.steps >= -7 && value.steps < 70 && Math.abs(value.semitones - (12 * value.steps) / 7) < 5;

export const isFinger = (value: unknown): value is Finger =>
  value === 1 || value === 2 || value === 3 || value === 4 || value === 5;

const isGrace = (value: unknown): value is GraceNote =>
  isRecord(value) && isInReach(value.pitch) && (value.style === "slide" || value.style === "crushed");

/** Whether a value has the fields of an event; that figures are in range is told by codes of their own. */
const isNoteEvent = (value: unknown): value is NoteEvent =>
  isSpan(value) &&
  "pitches" in value &&
  Array.isArray(value.pitches) &&
  value.pitches.length <= MOST_PITCHES &&
  value.pitches.every(isInReach) &&
  (!("fingers" in value) || value.fingers === undefined || Array.isArray(value.fingers)) &&
  (!("graces" in value) ||
    value.graces === undefined ||
    (Array.isArray(value.graces) && value.graces.length <= MOST_GRACES && value.graces.every(isGrace))) &&
  (!("articulation" in value) ||
    value.articulation === undefined ||
    value.articulation === "accent" ||
    value.articulation === "staccato");

const isDrumEvent = (value: unknown): value is TimeSpan & { readonly midi: number } =>
  isSpan(value) && "midi" in value && typeof value.midi === "number";

const isChordSpan = (value: unknown): value is ChordSpan =>
  isSpan(value) &&
  (!("chord" in value) || value.chord === undefined || isChord(value.chord)) &&
  (!("numeral" in value) || value.numeral === undefined || typeof value.numeral === "string");

export const isFeel = (value: unknown): value is Feel => {
  if (!isRecord(value) || value.kind !== "feel" || typeof value.id !== "string" || value.id.length > MOST_LETTERS)
    return false;
  const { id, ratio, unit, downbeatDelay, parts = {} } = value;
  return (
    isRatio(ratio) &&
    (unit === "eighth" || unit === "16th") &&
    isDelay(downbeatDelay) &&
    isParts(parts) &&
    attempt(() => swungFeel(ratio, { id, unit, downbeatDelay: downbeatDelay ?? 0, parts })) !== undefined
  );
};

const isRatio = (value: unknown): value is Feel["ratio"] =>
  isRecord(value) && Number.isSafeInteger(value.first) && Number.isSafeInteger(value.second);

const isDelay = (value: unknown): value is Beats | undefined => value === undefined || isMoment(value);

const isParts = (value: unknown): value is NonNullable<Feel["parts"]> =>
  isRecord(value) &&
  Object.entries(value).every(
    ([name, part]) =>
      ["right", "left", "bass", "drums"].includes(name) &&
      (part === undefined ||
        (isRecord(part) && (part.ratio === undefined || isRatio(part.ratio)) && isDelay(part.downbeatDelay))),
  );

/** Whether a value is an object that JSON holds without loss. */
// Stops before a list of millions is written out.
const atMost = (values: number) => {
  let left = values;
  return (_key: string, value: unknown): unknown => {
    left -= Array.isArray(value) ? 1 + value.length : 1;
    if (left < 0) throw new RangeError("too many values");
    return value;
  };
};

const isJsonObject = (value: unknown): value is Readonly<Record<string, unknown>> => {
  try {
    // A circle has no end, and a function or a date would come back as something else.
    return isRecord(value) && JSON.stringify(value, atMost(MOST_RECIPE)).length <= MOST_RECIPE && isPlain(value);
  } catch {
    return false;
  }
};

const isPlain = (value: unknown): boolean => {
  if (typeof value === "number") return Number.isFinite(value);
  if (typeof value !== "object" || value === null)
    return ["string", "boolean"].includes(typeof value) || value === null;
  const prototype: unknown = Object.getPrototypeOf(value);
  return (
    (Array.isArray(value) || prototype === Object.prototype || prototype === null) &&
    Object.values(value).every(isPlain)
  );
};

const part = <T>(test: (value: unknown) => value is T, expected: string) =>
  v.pipe(v.array(shapeOf(test, expected)), v.maxLength(MOST_EVENTS));

const notes = /* @__PURE__ */ part(isNoteEvent, "an event with at, duration and pitches");
const chords = /* @__PURE__ */ part(isChordSpan, "a chord, or undefined for none, with at and duration in exact beats");
const spans = /* @__PURE__ */ part(isSpan, "a stretch with at and duration in exact beats");

export const keyShape = /* @__PURE__ */ shapeOf(isKey, "a key");
export const metreShape = /* @__PURE__ */ shapeOf(isMetre, "a metre");
export const metresShape = /* @__PURE__ */ v.optional(
  /* @__PURE__ */ shapeOf(isMetreChanges, "changes of metre in order of their bars, from bar 2 on"),
);
export const feelShape = /* @__PURE__ */ shapeOf(isFeel, "a feel");

/** Fields of a score that every maker has to have right; bars, tempo, pickup and what lies in events have codes of their own. */
const fields = {
  title: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(MOST_LETTERS)),
  ),
  metres: metresShape,
  pickup: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isMoment, "exact beats")),
  chords: /* @__PURE__ */ v.optional(chords),
  right: /* @__PURE__ */ v.optional(notes),
  left: /* @__PURE__ */ v.optional(notes),
  bass: /* @__PURE__ */ v.optional(notes),
  drums: /* @__PURE__ */ v.optional(/* @__PURE__ */ part(isDrumEvent, "a stroke with at, duration and midi")),
  phrases: /* @__PURE__ */ v.optional(spans),
  form: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(isWrittenForm, "signs of bars as written, and the order in which they are played"),
  ),
  recipe: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isJsonObject, "an object of plain JSON")),
} as const;

/** What a score is made from. */
export const scoreInputShape = /* @__PURE__ */ v.looseObject({
  ...fields,
  key: /* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), keyShape]),
  metre: /* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), metreShape]),
  feel: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), feelShape])),
});

/** A score by its fields. */
export const scoreShape = /* @__PURE__ */ v.looseObject({
  ...fields,
  kind: /* @__PURE__ */ v.literal("score"),
  version: /* @__PURE__ */ v.literal(1),
  title: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(MOST_LETTERS)),
  key: keyShape,
  metre: metreShape,
  bars: /* @__PURE__ */ v.number(),
  tempo: /* @__PURE__ */ v.number(),
  feel: feelShape,
  pickup: /* @__PURE__ */ shapeOf(isMoment, "exact beats"),
  chords,
  right: notes,
  left: notes,
});
