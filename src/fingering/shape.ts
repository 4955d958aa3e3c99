import * as v from "valibot";
import type { Hand, NoteEvent } from "../event/index.ts";
import { check, isRecord, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Pitch } from "../pitch/index.ts";
import { parsePitch } from "../pitch/index.ts";
import { isPair, pitchOf, readsPitch } from "../pitch/inner.ts";
import type { Scale } from "../scale/index.ts";
import { isBeats } from "../time/inner.ts";
import { fingerShape } from "./spans.ts";

// Far beyond any keyboard, and small enough for every table.
const MOST_SEMITONES = 240;
const MOST_NOTES = 1_000_000;

const isWhole = (value: unknown, most: number): boolean =>
  typeof value === "number" && Number.isInteger(value) && Math.abs(value) <= most;

/** Whether a value is a spelled pitch that tables hold. */
export const isPitch = (value: unknown): value is Pitch =>
  isPair("pitch", value) && Math.abs(value.steps) <= MOST_SEMITONES && Math.abs(value.semitones) <= MOST_SEMITONES;

// Unlike the method, this looks at holes too.
const all = (list: unknown, test: (value: unknown) => boolean): boolean => {
  if (!Array.isArray(list)) return false;
  for (const value of list) if (!test(value)) return false;
  return true;
};

const lengthOf = (list: unknown): number => (Array.isArray(list) ? list.length : 0);
const isFinger = (value: unknown): boolean => isWhole(value, 5) && Number(value) >= 1;

const isGrace = (value: unknown): boolean =>
  isRecord(value) &&
  isPitch(value.pitch) &&
  (value.style === "slide" || value.style === "crushed") &&
  (value.finger === undefined || isFinger(value.finger));

/** Whether a value is a list of pitches. */
export const isPitchList = (value: unknown): value is readonly Pitch[] => all(value, isPitch);

/** Whether a value is notes in time; how many pitches it holds is another question. */
export const isEvent = (value: unknown): value is NoteEvent =>
  isRecord(value) &&
  isBeats(value.at) &&
  isBeats(value.duration) &&
  all(value.pitches, isPitch) &&
  (value.fingers === undefined ||
    (all(value.fingers, isFinger) && lengthOf(value.fingers) === lengthOf(value.pitches))) &&
  (value.graces === undefined || all(value.graces, isGrace));

const firstThatIsNot = (notes: readonly unknown[], test: (value: unknown) => boolean): unknown =>
  notes.find((note) => !test(note));
const isEventList = (value: unknown): value is readonly NoteEvent[] => all(value, isEvent);

const refuse = (input: unknown, expected: string): never => {
  throw new MusicError({ code: "fingering/notes", input, expected });
};

/** The pitches that are meant, given as such or as text. */
export const pitchesOf = (notes: unknown): readonly Pitch[] => {
  if (typeof notes === "string") {
    const names = notes.trim().split(/[\s,]+/);
    return names[0] === ""
      ? refuse(notes, 'at least one note, as in "C4 D4 Eb4 E4"')
      : names.slice(0, MOST_NOTES).map(parsePitch);
  }
  if (!Array.isArray(notes) || notes.length === 0) return refuse(notes, "at least one note");
  if (notes.length > MOST_NOTES) return refuse(notes.length, `at most ${MOST_NOTES} notes`);
  if (isPitchList(notes)) return notes;
  const named: readonly unknown[] = notes;
  return named.map((note) =>
    isPitch(note) || readsPitch(note) ? pitchOf(note) : refuse(note, 'pitches, or text such as "C4 D4 Eb4"'),
  );
};

/** Refuses what is no list of notes in time. */
export const requireEvents = (notes: readonly unknown[]): readonly NoteEvent[] => {
  if (notes.length > MOST_NOTES) return refuse(notes.length, `at most ${MOST_NOTES} notes`);
  return isEventList(notes)
    ? notes
    : refuse(firstThatIsNot(notes, isEvent), "notes in time, each with at, duration and pitches");
};

const isHand = (value: unknown): value is Hand => value === "left" || value === "right";

/** Refuses a hand that is no hand. */
export const requireHand = (hand: unknown): void => {
  if (!isHand(hand)) throw new MusicError({ code: "fingering/hand", input: hand, expected: "left or right" });
};

const any = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown());
const flag = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean());
const settled = /* @__PURE__ */ v.optional(
  /* @__PURE__ */ shapeOf((value): value is object => isRecord(value), "fingers by the index of a note"),
);

const resting = /* @__PURE__ */ v.optional(
  /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(fingerShape),
    /* @__PURE__ */ v.maxLength(4, "at least one finger that plays"),
  ),
);

// What has a code of its own is looked at where that code is thrown.
const ruleFields = {
  rules: any,
  also: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(
        /* @__PURE__ */ v.strictObject({ rule: /* @__PURE__ */ v.unknown(), weight: /* @__PURE__ */ v.unknown() }),
      ),
      /* @__PURE__ */ v.maxLength(100),
    ),
  ),
  weights: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf((value): value is object => isRecord(value), "weights by rule"),
  ),
  without: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(/* @__PURE__ */ v.string()), /* @__PURE__ */ v.maxLength(100)),
  ),
  size: any,
};
const isText = (value: unknown): boolean => typeof value === "string";

/** Whether a value is a scale, by what is read of it. */
export const isScale = (value: unknown): value is Scale =>
  isRecord(value) && isText(value.tonic) && all(value.degrees, isText) && lengthOf(value.degrees) > 0;
const isScaleOrNone = (value: unknown): value is Scale | string | false =>
  typeof value === "string" || value === false || isScale(value);
const passageFields = {
  ...ruleFields,
  hand: any,
  fixed: settled,
  loop: flag,
  scale: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isScaleOrNone, "a scale, its name, or false")),
  explain: flag,
  sequences: flag,
  resting,
};

export const chordOptions = /* @__PURE__ */ v.strictObject({ hand: any, size: any, fixed: settled, resting });
// What has a tempo is a line.
const none = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.undefined());
export const passageOptions = /* @__PURE__ */ v.strictObject({ ...passageFields, tempo: none, goal: none });

const lineFields = { ...passageFields, tempo: any, goal: any, slides: any, keepWritten: flag };
export const lineOptions = /* @__PURE__ */ v.strictObject({ ...lineFields });
export const alternativesOptions = /* @__PURE__ */ v.strictObject({
  ...lineFields,
  count: any,
  differ: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["positions", "fingers"])),
});
export const keysOptions = /* @__PURE__ */ v.strictObject({
  ...ruleFields,
  hand: any,
  fixed: settled,
  resting,
  key: any,
  keys: any,
});
export const difficultyOptions = /* @__PURE__ */ v.strictObject({ ...lineFields, bar: any });
export const priceOptions = /* @__PURE__ */ v.strictObject({
  ...lineFields,
  index: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.number(), /* @__PURE__ */ v.integer(), /* @__PURE__ */ v.minValue(0)),
  finger: fingerShape,
});
export const scaleOptions = /* @__PURE__ */ v.strictObject({
  ...ruleFields,
  hand: any,
  octaves: any,
  direction: any,
  floor: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isPitch, "a pitch")),
  fixed: settled,
  explain: flag,
});

/** Refuses options that are none of a function's. */
export const requireOptions = (shape: v.GenericSchema<unknown, unknown>, options: unknown): void =>
  check(shape, options, "fingering/argument");

const isColumn = (value: unknown): boolean => isWhole(value, MOST_NOTES) && Number(value) >= 0;
const isFingering = (value: unknown): value is object =>
  isRecord(value) &&
  isPitchList(value.pitches) &&
  all(value.fingers, isFinger) &&
  lengthOf(value.fingers) === lengthOf(value.pitches) &&
  all(value.crossings, (one) => isRecord(one) && isColumn(one.index) && typeof one.kind === "string") &&
  all(value.remarks, (one) => isRecord(one) && typeof one.message === "string") &&
  isRecord(value.costByRule) &&
  typeof value.cost === "number" &&
  (value.steps === undefined ||
    all(value.steps, (one) => isRecord(one) && typeof one.sentence === "string" && isRecord(one.costByRule)));

export const fingeringShape = /* @__PURE__ */ shapeOf(
  isFingering,
  "a fingering, as fingerPassage or fingerScale gives it",
);
export const formatOptions = /* @__PURE__ */ v.strictObject({
  width: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.pipe(/* @__PURE__ */ v.number(), /* @__PURE__ */ v.minValue(1))),
  explain: flag,
});
