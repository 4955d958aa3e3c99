import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import type { NoteName, Pitch } from "../pitch/index.ts";
import type { Voicing } from "./voicing.ts";

const isNote = (value: unknown): boolean => typeof value === "string" && /^[A-G](?:b{1,3}|#{1,3})?$/.test(value);
/** The name of a note. */
export const noteSchema = /* @__PURE__ */ shapeOf(
  (value): value is NoteName => isNote(value),
  'the name of a note, such as "Bb"',
);

const isDegree = (value: unknown): boolean =>
  typeof value === "string" && /^(?:b{0,3}|#{0,3})(?:[1-79]|11|13)$/.test(value);

const isTone = (value: unknown): boolean => isRecord(value) && isNote(value.note) && isDegree(value.degree);

const MOST_TONES = 30;
// Beyond the ends of any keyboard.
const FARTHEST = 1000;

const isChord = (value: unknown): value is Chord =>
  isRecord(value) &&
  value.kind === "chord" &&
  typeof value.symbol === "string" &&
  typeof value.canonical === "string" &&
  isNote(value.root) &&
  isNote(value.bass) &&
  typeof value.quality === "string" &&
  Array.isArray(value.tones) &&
  value.tones.length <= MOST_TONES &&
  value.tones.every(isTone);

/** A chord as `parseChord` makes it. */
export const chordSchema = /* @__PURE__ */ shapeOf(isChord, "a chord, or its symbol");

const isPlace = (value: unknown): boolean =>
  typeof value === "number" && Number.isInteger(value) && Math.abs(value) <= FARTHEST;

const isPitch = (value: unknown): value is Pitch =>
  isRecord(value) && value.kind === "pitch" && isPlace(value.steps) && isPlace(value.semitones);

export const pitchSchema = /* @__PURE__ */ shapeOf(isPitch, "a pitch");

const isVoicing = (value: unknown): value is Voicing =>
  isRecord(value) &&
  value.kind === "voicing" &&
  isChord(value.chord) &&
  Array.isArray(value.pitches) &&
  value.pitches.length > 0 &&
  value.pitches.length <= MOST_TONES &&
  value.pitches.every(isPitch) &&
  Array.isArray(value.hands) &&
  value.hands.length === value.pitches.length &&
  value.hands.every((hand) => hand === "left" || hand === "right") &&
  Array.isArray(value.degrees) &&
  value.degrees.every(isDegree) &&
  Array.isArray(value.upper) &&
  value.upper.every(isPitch) &&
  (value.bass === undefined || isPitch(value.bass));

/** A voicing as `voicingsFor` makes it. */
export const voicingSchema = /* @__PURE__ */ shapeOf(isVoicing, "a voicing");

/** Notes that sound together, from low to high. */
export const pitchesSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(pitchSchema),
  /* @__PURE__ */ v.maxLength(128),
);
