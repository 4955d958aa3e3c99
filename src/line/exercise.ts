import * as v from "valibot";
import type { TimeSpan } from "../event/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import { isMusicError, MusicError } from "../ground/errors.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchName } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import { scalePitchAt } from "../scale/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  metre,
  minBeats,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { metreStretches } from "../time/inner.ts";
import type { ExerciseId, ExerciseRow } from "./catalogue.ts";
import { exerciseCatalogue, exerciseRow } from "./catalogue.ts";
import type { DraftPhrase } from "./draft.ts";
import { lengthen } from "./draft.ts";
import type { Grid, LineValues } from "./grid.ts";
import { gridOf } from "./grid.ts";
import { chordSlots } from "./harmony.ts";
import type { Line } from "./line.ts";
import { toLine } from "./line.ts";
import type { PatternContext } from "./patterns/context.ts";
import { draftFigure } from "./patterns/figure.ts";
import type { ChangesLike } from "./shape.ts";
import { changesOf, MOST_BARS, metreShape, onePitch, pitchNamed, pitchShape, scaleNamed, scaleShape } from "./shape.ts";

/** Options of {@link exerciseLine}. */
export interface ExerciseOptions {
  /** The scale, or its name: `"Eb major blues"`. */
  readonly scale: Scale | string;
  /** The progression to fit. @defaultValue one round of the exercise in 4/4; needed by exercises that follow the chords */
  readonly progression?: ChangesLike | undefined;
  /** @defaultValue the progression's, or 4/4 */
  readonly metre?: Metre | undefined;
  /** @defaultValue `"eighths"` */
  readonly values?: LineValues | undefined;
  /** @defaultValue the fewest that the exercise can be played over */
  readonly octaves?: 1 | 2 | 3 | undefined;
  /** Which way the line sets out. @defaultValue `"up"` */
  readonly direction?: "up" | "down" | undefined;
  /** The beat, counted from 1, on which `"rest-on-a-beat"` rests. @defaultValue each in turn */
  readonly restOn?: number | undefined;
  /**
   * The tonic is the lowest at or above it. @defaultValue C4; where the octaves then don't fit below the highest
   * note, the highest tonic under which they do
   */
  readonly lowest?: Pitch | string | undefined;
  /** No note of the line lies above it. @defaultValue C7 */
  readonly highest?: Pitch | string | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  scale: scaleShape,
  progression: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.union([v.string(), v.looseObject({})])),
  metre: /* @__PURE__ */ v.optional(metreShape),
  values: /* @__PURE__ */ v.optional(v.unknown()),
  octaves: /* @__PURE__ */ v.optional(v.unknown()),
  direction: /* @__PURE__ */ v.optional(v.unknown()),
  restOn: /* @__PURE__ */ v.optional(v.unknown()),
  lowest: /* @__PURE__ */ v.optional(pitchShape),
  highest: /* @__PURE__ */ v.optional(pitchShape),
});

/**
 * A right-hand exercise on a scale, fitted to whole bars of a progression, with fingers.
 *
 * It stays between the tonic at its bottom and the tonic at its top. The round of phrases repeats until it fills whole
 * turns of the progression; where some bars more, held or silent, make that sooner, they are added. Where the metre changes on the way, it
 * begins again, goes once through the progression, and rests in a metre that it can't be had in.
 *
 * @param exercise - the id of a row of {@link exerciseCatalogue}, or a row of your own
 * @throws MusicError `line/exercise` for no such exercise, or a row or what its function drafts that is none, `line/octaves`, `line/values`, `line/direction` or `line/rest-on` for options that
 * are not offered, `line/bars` for none or too many bars, `line/chords` when it follows chords and none are given, `line/range` when the octaves don't fit between the lowest and the highest note
 *
 * @example
 * ```ts
 * import { exerciseLine, pitchName } from "hands-together";
 *
 * const line = exerciseLine("up-and-down", { scale: "C major blues", values: "triplets" });
 * line.events.slice(0, 7).map((event) => event.pitches.map(pitchName).join()); // => ["C4", "D4", "Eb4", "E4", "G4", "A4", "C5"]
 * line.bars; // => 2
 * exerciseLine("guide-tones", { scale: "C major" }); // throws "line/chords"
 * ```
 */
export function exerciseLine(exercise: ExerciseId | ExerciseRow, options: ExerciseOptions): Line {
  const row = exerciseRow(exercise);
  check(optionsSchema, options, "line/argument");
  const progression = options.progression === undefined ? undefined : changesOf(options.progression);
  if (progression?.metres !== undefined && progression.metres.length > 0)
    return inMetres(row, { ...options, metre: undefined }, progression);
  const m = options.metre ?? progression?.metre ?? metre("4/4");
  const grid = gridOf(m);
  const context = contextOf(row, options, progression, grid);
  const round = typeof row.pattern === "function" ? row.pattern(context) : draftFigure(row.pattern, context);
  checkRound(round, row);
  return toLine(row, tile(round, progression?.bars, grid), context.scale, m, grid);
}

// The exercise begins again where the metre changes, and is cut where it changes again; where it can't be had in a metre, it rests.
const inMetres = (row: ExerciseRow, options: ExerciseOptions, changes: ReturnType<typeof changesOf>): Line => {
  const { metres, metre: first, bars: all } = changes;
  const stretches = metreStretches(changes);
  const lines = stretches.map(({ metre: m, bar, at, bars: most }): Line | MusicError => {
    const bars = Math.min(most, all - bar + 1);
    const end = addBeats(at, multiplyBeats(barLength(m), beats(bars)));
    const inside = <T extends TimeSpan>(spans: readonly T[], from: Beats, to: Beats): readonly T[] =>
      spans.flatMap((span) => {
        const until = minBeats(addBeats(span.at, span.duration), to);
        const begins = compareBeats(span.at, from) < 0 ? from : span.at;
        return compareBeats(begins, until) < 0
          ? [{ ...span, at: subtractBeats(begins, from), duration: subtractBeats(until, begins) }]
          : [];
      });
    const chords = changes.chords && inside(changes.chords, at, end);
    const { key } = changes;
    try {
      const line = exerciseLine(row, {
        ...options,
        progression: { bars, metre: m, ...(chords && { chords }), ...(key && { key }) },
      });
      const length = subtractBeats(end, at);
      const later = <T extends TimeSpan>(spans: readonly T[]): readonly T[] =>
        inside(spans, ZERO, length).map((span) => ({ ...span, at: addBeats(span.at, at) }));
      return { ...line, events: later(line.events), phrases: later(line.phrases) };
    } catch (error) {
      if (isMusicError(error) && error.reason === "cannot-be-done") return error;
      throw error;
    }
  });
  const had = lines.filter((line): line is Line => !isMusicError(line));
  const [one] = had;
  if (one === undefined) throw lines[0];
  return {
    ...one,
    metre: first,
    metres,
    bars: all,
    events: had.flatMap(({ events }) => events),
    phrases: had.flatMap(({ phrases }) => phrases),
  };
};

const MOST_DRAFTED = 20_000;

// Ticks are written in quarters of one at the finest.
const isTick = (value: unknown): value is number => Number.isSafeInteger(4 * Number(value));

const roundSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      bars: /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.number(),
        /* @__PURE__ */ v.integer(),
        /* @__PURE__ */ v.minValue(1),
        /* @__PURE__ */ v.maxValue(MOST_BARS),
      ),
      notes: /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.array(
          /* @__PURE__ */ v.looseObject({
            at: /* @__PURE__ */ shapeOf(isTick, "ticks, twelve to a quarter note"),
            duration: /* @__PURE__ */ shapeOf(
              (value): value is number => isTick(value) && value > 0,
              "ticks above 0, twelve to a quarter note",
            ),
            pitch: onePitch,
          }),
        ),
        /* @__PURE__ */ v.maxLength(MOST_DRAFTED),
      ),
    }),
  ),
  /* @__PURE__ */ v.minLength(1),
  /* @__PURE__ */ v.maxLength(MOST_BARS),
);

// A user's own function may draft anything.
const checkRound = (round: readonly DraftPhrase[], row: ExerciseRow): void => {
  if (!exerciseCatalogue.some((shipped) => shipped === row)) check(roundSchema, round, "line/exercise");
};

const oneOf = <T>(value: T, allowed: readonly T[], what: "values" | "octaves" | "direction" | "rest-on"): T => {
  if (allowed.includes(value)) return value;
  throw new MusicError({ code: `line/${what}`, input: value, expected: `one of ${allowed.join(", ")}` });
};

const contextOf = (
  row: ExerciseRow,
  options: ExerciseOptions,
  progression: ReturnType<typeof changesOf> | undefined,
  grid: Grid,
): PatternContext => {
  const scale = scaleNamed(options.scale);
  const octaves = oneOf(
    options.octaves ?? row.leastOctaves,
    ([1, 2, 3] as const).filter((count) => count >= row.leastOctaves),
    "octaves",
  );
  const tonic = bottomTonic(scale, octaves, options);
  const beats = Array.from({ length: Math.floor(grid.bar / grid.pulse) }, (_, i) => i + 1);
  const spans = progression?.chords;
  if (row.needsChords && spans === undefined) {
    throw new MusicError({
      code: "line/chords",
      input: row.id,
      expected: "a progression, whose chords this exercise follows",
    });
  }
  return {
    scale,
    grid,
    values: oneOf(options.values ?? "eighths", ["eighths", "triplets", "mixed"], "values"),
    direction: oneOf(options.direction ?? "up", ["up", "down"], "direction"),
    ladder: Array.from({ length: scale.degrees.length * octaves + 1 }, (_, index) => scalePitchAt(scale, tonic, index)),
    ...(options.lowest !== undefined && { lowest: pitchNamed(options.lowest) }),
    ...(options.highest !== undefined && { highest: pitchNamed(options.highest) }),
    size: scale.degrees.length,
    chords: row.needsChords ? chordSlots(spans ?? [], scale, progression?.key) : [],
    bars: progression?.bars ?? 0,
    ...(options.restOn === undefined ? {} : { restOn: oneOf(options.restOn, beats, "rest-on") }),
  };
};

const bottomTonic = (scale: Scale, octaves: number, options: ExerciseOptions): Pitch => {
  const lowest = options.lowest === undefined ? undefined : pitchNamed(options.lowest);
  const highest = pitchNamed(options.highest ?? "C7");
  const tonic = pitchAtOrAbove(scale.tonic, lowest ?? pitch("C4"));
  const over = Math.max(0, Math.ceil((tonic.semitones + 12 * octaves - highest.semitones) / 12));
  if (over === 0) return tonic;
  // An octave lower is C3 or higher.
  if (lowest === undefined && over === 1) return { ...tonic, steps: tonic.steps - 7, semitones: tonic.semitones - 12 };
  throw new MusicError({
    code: "line/range",
    input: { scale: `${scale.tonic} ${scale.type}`, octaves },
    expected: `${octaves} octave${octaves === 1 ? "" : "s"} from ${scale.tonic} between ${pitchName(lowest ?? pitch("C3"))} and ${pitchName(highest)}`,
    hint: "ask for fewer octaves or a wider range",
    reason: "cannot-be-done",
  });
};

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
const lcm = (a: number, b: number): number => (a / gcd(a, b)) * b;
const MOST_BARS_ADDED = 3;
const MOST_TILED = 30_000;

const tile = (round: readonly DraftPhrase[], bars: number | undefined, grid: Grid): readonly DraftPhrase[] => {
  if (bars === undefined) return round;
  const length = round.reduce((sum, phrase) => sum + phrase.bars, 0);
  let added = 0;
  for (let more = 1; more <= MOST_BARS_ADDED; more++) {
    if (lcm(length + more, bars) < lcm(length + added, bars)) added = more;
  }
  const total = lcm(length + added, bars);
  if (total > MOST_TILED)
    throw new MusicError({
      code: "line/bars",
      input: { round: length, bars },
      expected: `a round and a progression that come out together within ${MOST_TILED} bars`,
      reason: "cannot-be-done",
    });
  const each = added % round.length === 0 ? added / round.length : 0;
  const padded = round.map((phrase, i) => lengthen(phrase, each === 0 && i === round.length - 1 ? added : each, grid));
  return Array.from({ length: total / (length + added) }, () => padded).flat();
};
