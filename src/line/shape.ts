import * as v from "valibot";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { check, checkOnce, isRecord, shapeOf } from "../ground/check.ts";
import type { Key, Pitch } from "../pitch/index.ts";
import { parsePitch } from "../pitch/index.ts";
import { isKey, isPitch } from "../pitch/inner.ts";
import type { ChordSpan, ProgressionRow } from "../progression/index.ts";
import { parseProgression } from "../progression/index.ts";
import { chordSpanSchema } from "../progression/inner.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale } from "../scale/index.ts";
import type { Beats, Metre, MetreChange } from "../time/index.ts";
import { isBeats, isMetre, isMetreChanges } from "../time/inner.ts";

/** The most bars that a line is made for: some eighty choruses of a blues. */
export const MOST_BARS = 1000;
const MOST_EVENTS = 100_000;
const MOST_CHORDS = 10_000;
const MOST_NOTES_OF_A_SCALE = 24;
const MOST_PITCHES = 128;

const isLength = (value: unknown): value is Beats => isBeats(value) && value.num > 0;

const isSpan = (value: unknown): value is TimeSpan => isRecord(value) && isBeats(value.at) && isLength(value.duration);

const isGrace = (value: unknown): boolean =>
  isRecord(value) && isPitch(value.pitch) && (value.style === "slide" || value.style === "crushed");

const isNoteEvent = (value: unknown): value is NoteEvent =>
  isRecord(value) &&
  isSpan(value) &&
  "pitches" in value &&
  Array.isArray(value.pitches) &&
  value.pitches.length <= MOST_PITCHES &&
  value.pitches.every(isPitch) &&
  (!("graces" in value) || value.graces === undefined || (Array.isArray(value.graces) && value.graces.every(isGrace)));

const isScale = (value: unknown): value is Scale =>
  isRecord(value) &&
  value.kind === "scale" &&
  typeof value.tonic === "string" &&
  typeof value.type === "string" &&
  Array.isArray(value.degrees) &&
  Array.isArray(value.notes) &&
  value.notes.length === value.degrees.length &&
  value.notes.length > 0 &&
  value.notes.length <= MOST_NOTES_OF_A_SCALE &&
  [...value.notes, ...value.degrees].every((one) => typeof one === "string");

const listOf = <T>(
  one: (value: unknown) => value is T,
  most: number,
  expected: string,
): v.CustomSchema<readonly T[], string> =>
  shapeOf(
    (value): value is readonly T[] => Array.isArray(value) && value.length <= most && value.every(one),
    `a list of at most ${most} ${expected}`,
  );

export const metreShape = /* @__PURE__ */ shapeOf(isMetre, "a metre");
export const keyShape = /* @__PURE__ */ shapeOf(isKey, "a key");
export const eventsShape = /* @__PURE__ */ listOf(isNoteEvent, MOST_EVENTS, "notes with at, duration and pitches");
export const spansShape = /* @__PURE__ */ listOf(isSpan, MOST_EVENTS, "stretches of time with at and duration");
export const chordsSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(chordSpanSchema),
  /* @__PURE__ */ v.maxLength(MOST_CHORDS),
);
/** A scale or its name. */
export const scaleShape = /* @__PURE__ */ shapeOf(
  (value): value is Scale | string => typeof value === "string" || isScale(value),
  'a scale or its name, such as "C major blues"',
);
export const onePitch = /* @__PURE__ */ shapeOf(isPitch, "a pitch");
/** A pitch or its name. */
export const pitchShape = /* @__PURE__ */ shapeOf(
  (value): value is Pitch | string => typeof value === "string" || isPitch(value),
  'a pitch or its name, such as "C4"',
);
export const tempoSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.number(),
  /* @__PURE__ */ v.minValue(1),
  /* @__PURE__ */ v.maxValue(1000),
);

const changesSchema = /* @__PURE__ */ v.looseObject({
  metre: metreShape,
  metres: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(isMetreChanges, "changes of metre in order of their bars"),
  ),
  chords: /* @__PURE__ */ v.optional(chordsSchema),
  key: /* @__PURE__ */ v.optional(keyShape),
});

const barsSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.number(),
  /* @__PURE__ */ v.integer(),
  /* @__PURE__ */ v.minValue(1),
  /* @__PURE__ */ v.maxValue(MOST_BARS),
);

/** What a line is fitted to: a progression is one. */
export interface Changes {
  readonly bars: number;
  readonly metre: Metre;
  /** Changes of metre on the way, in order of their bars; absent for none. */
  readonly metres?: readonly MetreChange[] | undefined;
  /** The chords; needed by what follows them. */
  readonly chords?: readonly ChordSpan[] | undefined;
}

/** What a line can be fitted to, as it may be given. */
export type ChangesLike = (Changes & { readonly key?: Key | undefined }) | ProgressionRow | string;

/** Changes, or what is read as some: an id, numerals, a chart, or a row of one's own. */
export const changesOf = (given: ChangesLike): Changes & { readonly key?: Key | undefined } => {
  if (typeof given === "string" || isProgressionRow(given)) return parseProgression(given);
  const changes: Changes & { readonly key?: Key | undefined } = given;
  checkOnce(changesSchema, given, "line/argument");
  check(barsSchema, changes.bars, "line/bars");
  return changes;
};

const isProgressionRow = (given: Exclude<ChangesLike, string>): given is ProgressionRow =>
  isRecord(given) && "changes" in given;

/** A scale, or the one of a name. */
export const scaleNamed = (given: Scale | string): Scale => (typeof given === "string" ? parseScale(given) : given);

/** A pitch, or the one of a name. */
export const pitchNamed = (given: Pitch | string): Pitch => (typeof given === "string" ? parsePitch(given) : given);
