import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import type { Finger, GraceNote, NoteEvent, TimeSpan } from "../event/index.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import { isMusicError } from "../ground/errors.ts";
import type { Key, Pitch } from "../pitch/index.ts";
import { parseKey } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Feel } from "../swing/index.ts";
import { swungFeel } from "../swing/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import { beatsOf, parseMetre } from "../time/index.ts";

/** The most events of one part, and chords of a score: more than 10,000 bars hold. */
export const MOST_EVENTS = 200_000;
/** The most characters of a title. */
export const MOST_LETTERS = 1000;
/** The most characters of a recipe as JSON. */
const MOST_RECIPE = 1_000_000;
const MOST_PITCHES = 88;
const MOST_GRACES = 16;
const MOST_TONES = 16;

const reads = (read: () => unknown): boolean => {
  try {
    read();
    return true;
  } catch (error) {
    if (isMusicError(error)) return false;
    throw error;
  }
};

export const isBeats = (value: unknown): value is Beats =>
  isRecord(value) &&
  typeof value.num === "number" &&
  typeof value.den === "number" &&
  Number.isSafeInteger(value.num) &&
  Number.isSafeInteger(value.den) &&
  value.den > 0 &&
  // The usual ones are in lowest terms without a look.
  (value.den === 1 || beatsOf(value.num, value.den).den === value.den);

const isSpan = (value: unknown): value is TimeSpan => isRecord(value) && isBeats(value.at) && isBeats(value.duration);

/** Whether a value is a pitch between C-1 and B9, the reach of note names, give or take its accidentals. */
export const isPitch = (value: unknown): value is Pitch =>
  isRecord(value) &&
  value.kind === "pitch" &&
  typeof value.steps === "number" &&
  typeof value.semitones === "number" &&
  Number.isInteger(value.steps) &&
  Number.isInteger(value.semitones) &&
  value.steps >= -7 &&
  value.steps < 70 &&
  Math.abs(value.semitones - (12 * value.steps) / 7) < 5;

export const isKey = (value: unknown): value is Key =>
  isRecord(value) &&
  value.kind === "key" &&
  typeof value.tonic === "string" &&
  (value.mode === "major" || value.mode === "minor") &&
  reads(() => parseKey(`${value.tonic} ${value.mode}`)) &&
  parseKey(`${value.tonic} ${value.mode}`).fifths === value.fifths;

export const isMetre = (value: unknown): value is Metre =>
  isRecord(value) &&
  value.kind === "metre" &&
  typeof value.count === "number" &&
  typeof value.unit === "number" &&
  reads(() => parseMetre(`${value.count}/${value.unit}`));

export const isFinger = (value: unknown): value is Finger =>
  value === 1 || value === 2 || value === 3 || value === 4 || value === 5;

const isGrace = (value: unknown): value is GraceNote =>
  isRecord(value) && isPitch(value.pitch) && (value.style === "slide" || value.style === "crushed");

/** Whether a value has the fields of an event; that figures are in range is told by codes of their own. */
const isNoteEvent = (value: unknown): value is NoteEvent =>
  isSpan(value) &&
  "pitches" in value &&
  Array.isArray(value.pitches) &&
  value.pitches.length <= MOST_PITCHES &&
  value.pitches.every(isPitch) &&
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

const NOTE = /^[A-G](b{1,3}|#{1,3})?$/;
const DEGREE = /^(bb|b|#|##)?(1|2|3|4|5|6|7|9|11|13)$/;
const QUALITIES: readonly string[] = [
  "major",
  "dominant",
  "augmented",
  "minor",
  "minor-major",
  "half-diminished",
  "diminished",
  "suspended",
  "power",
] satisfies readonly Chord["quality"][];
const isText = (value: unknown, test: RegExp): value is string => typeof value === "string" && test.test(value);

/** Whether a value has the fields of a chord, as spelled notes and degrees. */
export const isChord = (value: unknown): value is Chord =>
  isRecord(value) &&
  value.kind === "chord" &&
  typeof value.symbol === "string" &&
  isText(value.root, NOTE) &&
  isText(value.bass, NOTE) &&
  typeof value.canonical === "string" &&
  value.canonical.startsWith(value.root) &&
  typeof value.quality === "string" &&
  QUALITIES.includes(value.quality) &&
  Array.isArray(value.tones) &&
  value.tones.length > 0 &&
  value.tones.length <= MOST_TONES &&
  value.tones.every((tone) => isRecord(tone) && isText(tone.degree, DEGREE) && isText(tone.note, NOTE));

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
    reads(() => swungFeel(ratio, { id, unit, downbeatDelay: downbeatDelay ?? 0, parts }))
  );
};

const isRatio = (value: unknown): value is Feel["ratio"] =>
  isRecord(value) && Number.isSafeInteger(value.first) && Number.isSafeInteger(value.second);

const isDelay = (value: unknown): value is Beats | undefined => value === undefined || isBeats(value);

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
export const feelShape = /* @__PURE__ */ shapeOf(isFeel, "a feel");

/** Fields of a score that every maker has to have right; bars, tempo, pickup and what lies in events have codes of their own. */
const fields = {
  title: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(MOST_LETTERS)),
  ),
  pickup: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isBeats, "exact beats")),
  chords: /* @__PURE__ */ v.optional(chords),
  right: /* @__PURE__ */ v.optional(notes),
  left: /* @__PURE__ */ v.optional(notes),
  bass: /* @__PURE__ */ v.optional(notes),
  drums: /* @__PURE__ */ v.optional(/* @__PURE__ */ part(isDrumEvent, "a stroke with at, duration and midi")),
  phrases: /* @__PURE__ */ v.optional(spans),
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
  pickup: /* @__PURE__ */ shapeOf(isBeats, "exact beats"),
  chords,
  right: notes,
  left: notes,
});
