import * as v from "valibot";
import { seedSchema } from "../ground/chance.ts";
import { check, isRecord } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { checkScore as checkAnyScore } from "../score/inner.ts";

type Fields = Readonly<Record<string, unknown>>;

const isNumber = (value: unknown, low = -1e7, high = 1e7): value is number =>
  typeof value === "number" && value >= low && value <= high;

const isWhole = (value: unknown, low: number, high: number): boolean =>
  Number.isInteger(value) && isNumber(value, low, high);

const maybe = (value: unknown, is: (value: unknown) => boolean): boolean => value === undefined || is(value);

/** The score that a take is held against. */
export const checkScore = (score: unknown): void => {
  checkAnyScore(score, "assess/argument");
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

const bandFields = {
  clock: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["own", "band"])),
  // As far as onsets may lie: hosts count from when they were started.
  startSeconds: range(-1e9, 1e9),
  bandTempo: range(10, 1000),
} as const;

const assessFields = /* @__PURE__ */ v.strictObject({
  ...attemptFields,
  ...bandFields,
  recipe: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.looseObject({ key: /* @__PURE__ */ v.string() })),
  most: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist([0, 1, 2, 3])),
});

const assessOptionsShape = /* @__PURE__ */ v.pipe(
  assessFields,
  /* @__PURE__ */ v.check(
    ({ clock, startSeconds, bandTempo }) => clock === "band" || (startSeconds ?? bandTempo) === undefined,
    'clock "band" beside startSeconds and bandTempo',
  ),
);

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
          ornaments: v.optional(amount),
          aside: v.array(v.number()),
        }),
      ),
    }),
  ),
  tempo: /* @__PURE__ */ v.looseObject({ asked: amount, played: amount, start: amount, end: amount }),
  band: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.looseObject({
      lateMs: amount,
      startMs: amount,
      endMs: amount,
      byBeat: /* @__PURE__ */ v.array(
        /* @__PURE__ */ v.looseObject({ beat: amount, off: v.boolean(), lateMs: amount }),
      ),
    }),
  ),
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
