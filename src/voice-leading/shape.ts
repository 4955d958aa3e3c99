import * as v from "valibot";
import { isRecord, shapeOf } from "../ground/check.ts";
import type { NoteName, Pitch } from "../pitch/index.ts";
import { noteSchema, pitchSchema } from "../voicing/inner.ts";
import { aimsSchema } from "./aims.ts";
import type { VoicingCandidate } from "./candidate.ts";

/** More chords than the longest book of charts has in a row. */
export const MOST_CHORDS = 200_000;
// What a chord has in all its forms and octaves is far below.
const MOST_CANDIDATES = 5_000;

const isPitch = (value: unknown): boolean => v.is(pitchSchema, value);
const isPitches = (value: unknown): boolean => Array.isArray(value) && value.length <= 128 && value.every(isPitch);
const isName = (value: unknown): boolean => value === undefined || typeof value === "string";

const isNoteName = (value: unknown): boolean => value === undefined || v.is(noteSchema, value);

const isCandidate = (value: unknown): value is VoicingCandidate =>
  isRecord(value) &&
  isPitches(value.pitches) &&
  (value.upper === undefined || isPitches(value.upper)) &&
  isName(value.form) &&
  isName(value.label) &&
  [value.offMiddle, value.outside, value.mud].every((number) => number === undefined || Number.isFinite(number)) &&
  (value.chord === undefined ||
    (isRecord(value.chord) && typeof value.chord.symbol === "string" && isNoteName(value.chord.bass)));

/** One way to play a chord. */
export const candidateSchema = /* @__PURE__ */ shapeOf(isCandidate, "a candidate: an object with pitches");

/** What a path chooses from for one chord. */
export const candidatesSchema = /* @__PURE__ */ shapeOf(
  (value): value is VoicingCandidate[] =>
    Array.isArray(value) && value.length <= MOST_CANDIDATES && value.every(isCandidate),
  `at most ${MOST_CANDIDATES} candidates, each an object with pitches`,
);

/** A list of any things, no longer than a path may be. */
export const chordsSchema = /* @__PURE__ */ shapeOf(
  (value): value is unknown[] => Array.isArray(value) && value.length <= MOST_CHORDS,
  `a list of at most ${MOST_CHORDS} chords`,
);

/** A chord by its notes' names; what is no name is refused where it is read. */
export const noteNamesSchema = /* @__PURE__ */ v.array(
  /* @__PURE__ */ shapeOf((value): value is NoteName => typeof value === "string", "the name of a note"),
);

const flag = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean());
const anything = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown());

/** Rules of a path; a metric and a largest move have codes of their own. */
export const pathFields = {
  metric: anything,
  loop: flag,
  first: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), candidateSchema])),
  last: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), candidateSchema])),
  without: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(/* @__PURE__ */ v.string()), /* @__PURE__ */ v.maxLength(1000)),
  ),
  alternate: flag,
  maxTopMove: anything,
  aims: /* @__PURE__ */ v.optional(aimsSchema),
  melody: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(
      (value): value is Pitch[][] =>
        Array.isArray(value) && value.length <= MOST_CHORDS && value.every((notes) => isPitches(notes)),
      "a list of pitches for each chord",
    ),
  ),
} as const;
