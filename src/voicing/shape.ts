import * as v from "valibot";
import { isChord } from "../chord/inner.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import { isDegree, isNoteName, isPitch, readsPitch } from "../pitch/inner.ts";
import type { Voicing } from "./voicing.ts";

/** The name of a note. */
export const noteSchema = /* @__PURE__ */ shapeOf(isNoteName, 'the name of a note, such as "Bb"');

// More notes than any hands hold.
const MOST_NOTES = 30;

/** A chord as `parseChord` makes it. */
export const chordSchema = /* @__PURE__ */ shapeOf(isChord, "a chord, or its symbol");

export const pitchSchema = /* @__PURE__ */ shapeOf(isPitch, "a pitch");

const isVoicing = (value: unknown): value is Voicing =>
  isRecord(value) &&
  value.kind === "voicing" &&
  isChord(value.chord) &&
  Array.isArray(value.pitches) &&
  value.pitches.length > 0 &&
  value.pitches.length <= MOST_NOTES &&
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

/** Notes that sound together, as pitches or by their names. */
export const namedPitchesSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(
    /* @__PURE__ */ shapeOf((value): value is Pitch | PitchName => isPitch(value) || readsPitch(value), "a pitch"),
  ),
  /* @__PURE__ */ v.maxLength(128),
);

/** Notes that sound together, from low to high. */
export const pitchesSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(pitchSchema),
  /* @__PURE__ */ v.maxLength(128),
);
