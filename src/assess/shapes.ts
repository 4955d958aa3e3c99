import * as v from "valibot";
import { seedSchema } from "../ground/chance.ts";
import { check, checkOnce, isRecord, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Score } from "../score/index.ts";

type Fields = Readonly<Record<string, unknown>>;

const isNumber = (value: unknown, low = -1e7, high = 1e7): value is number =>
  typeof value === "number" && value >= low && value <= high;

const isWhole = (value: unknown, low: number, high: number): boolean =>
  Number.isInteger(value) && isNumber(value, low, high);

const isList = (value: unknown, of: (item: Fields) => boolean, most = 200_000): boolean =>
  Array.isArray(value) && value.length <= most && value.every((item) => isRecord(item) && of(item));

const maybe = (value: unknown, is: (value: unknown) => boolean): boolean => value === undefined || is(value);

const isBeats = (value: unknown): boolean =>
  isRecord(value) &&
  isWhole(value.num, -Number.MAX_SAFE_INTEGER, Number.MAX_SAFE_INTEGER) &&
  isWhole(value.den, 1, Number.MAX_SAFE_INTEGER) &&
  Math.abs(Number(value.num) / Number(value.den)) <= 1e6;

const isPitch = (value: unknown): boolean =>
  isRecord(value) && value.kind === "pitch" && isWhole(value.steps, -100, 200) && isWhole(value.semitones, -12, 140);

const isFinger = (value: unknown): boolean => isWhole(value, 1, 5);

const isSpan = ({ at, duration }: Fields): boolean => isBeats(at) && isBeats(duration);

const isEvent = (event: Fields): boolean =>
  isSpan(event) &&
  Array.isArray(event.pitches) &&
  event.pitches.length > 0 &&
  event.pitches.length <= 128 &&
  event.pitches.every(isPitch) &&
  maybe(event.fingers, (fingers) => Array.isArray(fingers) && fingers.every(isFinger)) &&
  maybe(event.graces, (graces) =>
    isList(
      graces,
      ({ pitch, finger, style }) => isPitch(pitch) && maybe(finger, isFinger) && typeof style === "string",
    ),
  ) &&
  maybe(event.velocity, (velocity) => isNumber(velocity, 0, 127)) &&
  maybe(event.articulation, (articulation) => typeof articulation === "string");

const isRatio = (value: unknown): boolean =>
  isRecord(value) && isNumber(value.first, 1e-6) && isNumber(value.second, 1e-6);

const isPartFeel = (value: unknown): boolean =>
  isRecord(value) && maybe(value.ratio, isRatio) && maybe(value.downbeatDelay, isBeats);

const isFeel = (value: unknown): boolean =>
  isRecord(value) &&
  isRatio(value.ratio) &&
  (value.unit === "eighth" || value.unit === "16th") &&
  typeof value.id === "string" &&
  maybe(value.downbeatDelay, isBeats) &&
  maybe(value.parts, (parts) => isRecord(parts) && Object.values(parts).every((part) => maybe(part, isPartFeel)));

const isChord = (value: unknown): boolean =>
  isRecord(value) &&
  value.kind === "chord" &&
  [value.symbol, value.canonical, value.root, value.bass, value.quality].every((text) => typeof text === "string") &&
  isList(value.tones, ({ note, degree }) => typeof note === "string" && typeof degree === "string");

const isScore = (value: unknown): value is Score =>
  isRecord(value) &&
  value.kind === "score" &&
  typeof value.title === "string" &&
  isRecord(value.key) &&
  typeof value.key.tonic === "string" &&
  /^[A-G](#{0,3}|b{0,3})$/.test(value.key.tonic) &&
  (value.key.mode === "major" || value.key.mode === "minor") &&
  isWhole(value.key.fifths, -14, 14) &&
  isRecord(value.metre) &&
  isWhole(value.metre.count, 1, 64) &&
  (value.metre.unit === 2 || value.metre.unit === 4 || value.metre.unit === 8 || value.metre.unit === 16) &&
  maybe(value.metres, (metres) => isList(metres, ({ bar }) => isWhole(bar, 2, 10_000), 10_000)) &&
  isNumber(value.tempo, 10, 1000) &&
  isFeel(value.feel) &&
  isBeats(value.pickup) &&
  isWhole(value.bars, 1, 10_000) &&
  isList(value.chords, (span) => isSpan(span) && maybe(span.chord, isChord)) &&
  isList(value.right, isEvent) &&
  isList(value.left, isEvent) &&
  maybe(value.bass, (events) => isList(events, isEvent)) &&
  maybe(value.drums, (events) => isList(events, isSpan)) &&
  maybe(value.phrases, (spans) => isList(spans, isSpan));

const scoreShape = /* @__PURE__ */ shapeOf(isScore, "a score, as makeScore and makeDrill give it");

/** The score that a take is held against. */
export const checkScore = (score: unknown): void => {
  checkOnce<Score>(scoreShape, score, "assess/argument");
  const [change] = score.metres ?? [];
  if (change === undefined) return;
  throw new MusicError({
    code: "assess/metre",
    input: `another metre from bar ${change.bar}`,
    expected: "one metre throughout: a take is followed by one pulse and one length of bars",
    hint: "ask for the bars of one metre by themselves, as sliceScore gives them",
    reason: "cannot-be-done",
  });
};

const isPlayed = (note: Fields): boolean =>
  isNumber(note.onsetSeconds, -1e9, 1e9) &&
  isNumber(note.durationSeconds, 0, 1e6) &&
  maybe(note.soundingSeconds, (seconds) => isNumber(seconds, 0, 1e6)) &&
  isWhole(note.midi, 0, 127) &&
  isNumber(note.velocity, 0, 127) &&
  maybe(note.hand, (hand) => hand === "right" || hand === "left") &&
  maybe(note.channel, (channel) => isWhole(channel, 0, 15));

/** Where the first of some notes is none; -1 where all are. */
export const firstBad = (played: readonly unknown[]): number =>
  played.length > 1_000_000 ? 0 : [...played].findIndex((note) => !(isRecord(note) && isPlayed(note)));

const range = (low: number, high: number) =>
  /* @__PURE__ */ v.optional(/* @__PURE__ */ v.pipe(v.number(), v.minValue(low), v.maxValue(high)));

const count = (low: number, high: number) =>
  /* @__PURE__ */ v.optional(/* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(low), v.maxValue(high)));

const faultsShape = /* @__PURE__ */ v.strictObject({
  seed: /* @__PURE__ */ v.optional(seedSchema),
  tempo: range(10, 1000),
  drift: range(0.2, 5),
  wander: range(0, 0.9),
  jitterMs: range(0, 1000),
  wrong: range(0, 0.9),
  missed: range(0, 0.9),
  extra: range(0, 0.9),
  wrongAt: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(v.pipe(v.number(), v.integer())), v.maxLength(100_000)),
  ),
  restarts: count(0, 100),
  pauses: count(0, 100),
  lateLeftMs: range(-1000, 1000),
  swing: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.string()),
  swingSpread: range(0, 0.9),
  tripletLean: range(-0.2, 0.2),
  held: range(0.05, 2),
  chordSpreadMs: range(0, 1000),
  velocitySpread: range(0, 1000),
  loudFinger: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.strictObject({
      finger: /* @__PURE__ */ v.picklist([1, 2, 3, 4, 5]),
      by: /* @__PURE__ */ v.pipe(v.number(), v.minValue(-127), v.maxValue(127)),
    }),
  ),
  transpose: count(-48, 48),
});

/** What a simulated student gets wrong. */
export const checkFaults = (faults: unknown): void => check(faultsShape, faults, "assess/faults");

const attemptFields = {
  hand: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["right", "left", "both"])),
  bars: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.strictTuple([
        /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(10_000)),
        /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(10_000)),
      ]),
      /* @__PURE__ */ v.check(([from, to]) => from <= to, "a first bar that is not after the last"),
    ),
  ),
  loop: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
} as const;

const alignOptionsShape = /* @__PURE__ */ v.strictObject(attemptFields);

/** What the caller says was attempted. */
export const checkAlignOptions = (options: unknown): void => check(alignOptionsShape, options, "assess/argument");

const assessOptionsShape = /* @__PURE__ */ v.strictObject({
  ...attemptFields,
  recipe: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.looseObject({ key: /* @__PURE__ */ v.string() })),
  most: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist([0, 1, 2, 3])),
});

export const checkAssessOptions = (options: unknown): void => check(assessOptionsShape, options, "assess/argument");

const improvisationOptionsShape = /* @__PURE__ */ v.strictObject({
  scale: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.union([
      /* @__PURE__ */ v.string(),
      /* @__PURE__ */ v.looseObject({
        kind: /* @__PURE__ */ v.literal("scale"),
        tonic: /* @__PURE__ */ v.string(),
        type: /* @__PURE__ */ v.string(),
        degrees: /* @__PURE__ */ v.array(/* @__PURE__ */ v.string()),
        notes: /* @__PURE__ */ v.array(/* @__PURE__ */ v.string()),
      }),
    ]),
  ),
  from: count(0, 127),
  startSeconds: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

export const checkImprovisationOptions = (options: unknown): void =>
  check(improvisationOptionsShape, options, "assess/argument");

const words = /* @__PURE__ */ v.string();
const amount = /* @__PURE__ */ v.number();
const hands = /* @__PURE__ */ v.picklist(["right", "left"]);
const bars = /* @__PURE__ */ v.array(/* @__PURE__ */ v.number());

const handReportShape = /* @__PURE__ */ v.looseObject({
  hand: hands,
  asked: amount,
  right: amount,
  wrong: amount,
  missed: amount,
  extra: amount,
  timing: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.looseObject({ meanMs: amount, spreadMs: amount, spreadBeats: amount }),
  ),
  swing: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.looseObject({
      asked: amount,
      measured: /* @__PURE__ */ v.looseObject({ ratio: /* @__PURE__ */ v.looseObject({ value: amount }) }),
    }),
  ),
});

const assessmentShape = /* @__PURE__ */ v.looseObject({
  title: words,
  praise: words,
  say: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ message: words })),
  practise: /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      hands: /* @__PURE__ */ v.picklist(["right", "left", "both"]),
      bars,
      how: words,
      recipe: /* @__PURE__ */ v.looseObject({ tempo: amount, repeats: amount }),
    }),
  ),
  hands: /* @__PURE__ */ v.array(handReportShape),
  alignment: v.optional(
    v.looseObject({
      attempt: v.optional(
        v.looseObject({
          hands: v.picklist(["right", "left", "both"]),
          bars: v.looseObject({ from: amount, to: amount }),
          whole: v.boolean(),
          times: amount,
          countIn: amount,
          doubled: amount,
          clicks: amount,
          aside: v.array(v.number()),
        }),
      ),
    }),
  ),
  tempo: /* @__PURE__ */ v.looseObject({ asked: amount, played: amount, start: amount, end: amount }),
});

/** An assessment, as far as its words are made from it. */
export const checkAssessment = (assessment: unknown): void => check(assessmentShape, assessment, "assess/argument");

const improvisationShape = /* @__PURE__ */ v.looseObject({
  title: words,
  praise: words,
  say: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ text: words, how: words })),
  heard: /* @__PURE__ */ v.array(words),
});

/** An improvisation, as far as its words are made from it. */
export const checkImprovisation = (heard: unknown): void => check(improvisationShape, heard, "assess/argument");
