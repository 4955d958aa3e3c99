import * as v from "valibot";
import type { Hand, NoteEvent, TimeSpan } from "../event/index.ts";
import { check, checkOnce, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { kept } from "../ground/memo.ts";
import type { Metre, MetreChange, MetreName } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsToNumber,
  compareBeats,
  divideBeats,
  equalBeats,
  formatMetre,
  multiplyBeats,
  pulseLength,
  pulseTime,
  ZERO,
} from "../time/index.ts";
import type { InMetres } from "../time/inner.ts";
import { isMetreChanges, metreIn } from "../time/inner.ts";
import type { CompingBar, CompingId, CompingRow } from "./catalogue.ts";
import { compingCatalogue } from "./catalogue.ts";
import type { LaidOutChord } from "./lay-out.ts";
import type { PickupId, PickupRow } from "./pickups.ts";
import { compingRow, pickupRow } from "./row.ts";
import { laidOutChordSchema } from "./shape.ts";
import type { Stroke } from "./strokes.ts";
import { asEvent, barsOf, endOf, strokeAt, withoutOverlaps, withPickups } from "./strokes.ts";

/** Options of {@link comp}. */
export interface CompOptions {
  /** Or its time signature. */
  readonly metre: Metre | MetreName;
  /**
   * Changes of metre on the way, in order of their bars; where the pattern has no bar of one of them, the chord is held there.
   * @defaultValue none
   */
  readonly metres?: readonly MetreChange[] | undefined;
  /** By its id, or a row of your own. @defaultValue `"held"` */
  readonly pattern?: CompingId | CompingRow | undefined;
  /**
   * A quick pickup into every bar that starts with a new chord, by its id or as a row of your own; `true` is `"fifth"`: 5th, then root, ending
   * on the beat where the pattern starts with its root, and on the last triplet of the bar before where it starts with the chord. A pickup that
   * would not leave the chord before it its own entry is shortened or left out. @defaultValue `false`
   */
  readonly pickup?: boolean | PickupId | PickupRow | undefined;
  /**
   * Whose notes: the right hand strikes its own with every chord of the pattern (with the first note where the pattern breaks it), and has no pickup.
   *
   * @defaultValue `"left"`
   */
  readonly hand?: Hand | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  hand: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["left", "right"])),
  metre: /* @__PURE__ */ v.unknown(),
  metres: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(isMetreChanges, "changes of metre in order of their bars"),
  ),
  pattern: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  pickup: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

/**
 * The row of a left-hand pattern: that of an id, or a row of your own once it has been checked.
 *
 * @throws MusicError `comping/pattern` when there is no such pattern, or the row is none
 *
 * @example
 * ```ts
 * import { compingPattern } from "hands-together/comping";
 *
 * compingPattern("root-then-chord").hits.map((hit) => hit.play); // => ["root", "chord"]
 * ```
 */
export function compingPattern(pattern: string | CompingRow): CompingRow {
  return compingRow(pattern);
}

/** The strokes that a pattern has for bars of a metre; `undefined` where it has none. */
const barFor = (row: CompingRow, m: Metre): CompingBar | undefined => {
  const pulses = divideBeats(barLength(m), pulseLength(m));
  return [row, ...(row.others ?? [])].find(
    (bar) => bar.pulses === undefined || (pulses.den === 1 && pulses.num % bar.pulses === 0),
  );
};

/**
 * Whether a pattern can be played in a metre: some count on the number of beats in the bar.
 *
 * @throws MusicError `comping/pattern` when there is no such pattern
 *
 * @example
 * ```ts
 * import { metre } from "hands-together";
 * import { fitsMetre } from "hands-together/comping";
 *
 * fitsMetre("stride", metre("3/4")); // => true
 * fitsMetre("stride", "5/4"); // => false
 * ```
 */
export function fitsMetre(pattern: CompingId | CompingRow, m: Metre | MetreName): boolean {
  const row = compingRow(pattern);
  return barFor(row, metreIn(m)) !== undefined;
}

/**
 * The left hand's notes over a series of chords, or those that the right hand strikes with it: the pattern bar by bar, started again where a
 * chord enters and cut where it leaves.
 *
 * A stroke that a pattern has before the bar line (an anticipation) belongs to the chord after it and cuts the chord before short; where no
 * chord sounds just before, it is struck on the beat. A chord that leaves before the pattern comes to strike it is struck where it enters.
 *
 * Leaps and quick repetition are not safe for every hand: warm up, start slowly, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * @param chords - in order of time, not overlapping, at most 20,000 bars in all
 * @returns events in order of time, one at a time; a pickup into bar 1 lies before the first bar line, at a negative moment
 * @throws MusicError `comping/pattern` or `comping/pickup` when there is no such row; `comping/metre` when the pattern has no bar of this
 * metre; `comping/early` for a pickup into chords that the pattern strikes before the beat; `comping/chords` for chords that are out of order
 * or too many
 *
 * @example
 * ```ts
 * import { beats, comp, metre, pitch, pitchName } from "hands-together";
 *
 * const chord = { at: beats(0), duration: beats(4), root: pitch("C3"), fifth: pitch("G2"), chord: [pitch("E3"), pitch("B3")], all: [pitch("C3"), pitch("E3"), pitch("B3")] };
 * const events = comp([chord], { metre: metre("4/4"), pattern: "root-then-chord" });
 * events.map((event) => event.pitches.map(pitchName).join(" ")); // => ["C3", "E3 B3"]
 * events.map((event) => event.duration.num); // => [1, 3]
 * ```
 */
export function comp(chords: readonly LaidOutChord[], options: CompOptions): readonly NoteEvent[] {
  check(optionsSchema, options, "comping/argument");
  const own = { ...options, metre: metreIn(options.metre) };
  requireChords(chords, own.metre);
  return struckBy(compingRow(own.pattern ?? "held"), chords, own);
}

// Hours of music: a drill has at most 2,000 bars.
const MOST_BARS = 20_000;
const chordsSchema = /* @__PURE__ */ shapeOf(
  (value): value is unknown[] => Array.isArray(value) && value.length <= MOST_BARS,
  `a list of at most ${MOST_BARS} chords`,
);

const requireList = (chords: unknown): void => check(chordsSchema, chords, "comping/argument");

/** Refuses chords that are out of order or too many. */
export const requireChords = (chords: readonly LaidOutChord[], m: Metre): void => {
  requireList(chords);
  let bars = 0;
  for (const [i, chord] of chords.entries()) {
    checkOnce(laidOutChordSchema, chord, "comping/argument");
    bars += Math.max(1, beatsToNumber(divideBeats(chord.duration, barLength(m))));
    const before = chords[i - 1];
    if (before !== undefined && compareBeats(endOf(before), chord.at) > 0)
      throw chordsRefused(chord.at, "chords in order of time that do not overlap");
    if (bars > MOST_BARS) throw chordsRefused(chords.length, `at most ${MOST_BARS} bars and chords`);
  }
};

const chordsRefused = (input: unknown, expected: string): MusicError =>
  new MusicError({ code: "comping/chords", input, expected });

/** As {@link comp}, of what has been checked. */
export const struckBy = (
  row: CompingRow,
  chords: readonly LaidOutChord[],
  options: CompOptions & { readonly metre: Metre },
): readonly NoteEvent[] => {
  const bar = barFor(row, options.metre);
  if (bar === undefined) {
    throw new MusicError({
      code: "comping/metre",
      input: formatMetre(options.metre),
      expected: `a metre that ${row.id} has a bar of`,
      hint: `${compingCatalogue
        .filter((other: CompingRow) => barFor(other, options.metre) !== undefined)
        .map(({ id }) => id)
        .join(", ")} fit`,
      reason: "cannot-be-done",
    });
  }
  const struck = withoutOverlaps(strokesOf(chords, row, options));
  if (options.hand === "right")
    return struck.flatMap((stroke) =>
      stroke.right.length === 0 ? [] : [asEvent({ ...stroke, pitches: stroke.right })],
    );
  if (options.pickup === undefined || options.pickup === false) return struck.map(asEvent);
  const pickup = pickupRow(options.pickup === true ? "fifth" : options.pickup);
  if (bar.hits.some((hit) => beats(hit.at).num < 0)) {
    throw new MusicError({
      code: "comping/early",
      input: row.id,
      expected: "a pattern that strikes its chords on the beat when a pickup leads into them",
      hint: "leave the pickup out",
      reason: "cannot-be-done",
    });
  }
  return withPickups(struck, chords, bar.hits[0]?.play === "root", pickup, options);
};

const HELD: CompingBar = { hits: [{ at: "0", play: "all", hold: "end" }] };

const strokesOf = (chords: readonly LaidOutChord[], row: CompingRow, form: InMetres): readonly Stroke[] => {
  let before: TimeSpan | undefined;
  const known = new Map<Metre, CompingBar>();
  return chords.flatMap((chord) =>
    barsOf(chord, form).flatMap((stretch, i) => {
      const { metre } = stretch;
      const bar = kept(known, metre, () => barFor(row, metre) ?? HELD);
      const strokes = strokesIn(stretch, before, chord, bar, metre);
      before = stretch;
      const [first] = bar.hits;
      return i === 0 && strokes.length === 0 && first !== undefined
        ? [strokeAt(ZERO, first, stretch, chord, metre)]
        : strokes;
    }),
  );
};

const strokesIn = (
  stretch: TimeSpan,
  before: TimeSpan | undefined,
  chord: LaidOutChord,
  bar: CompingBar,
  m: Metre,
): readonly Stroke[] => {
  const round = bar.pulses ?? 0;
  const rounds =
    round === 0
      ? 1
      : Math.ceil(beatsToNumber(divideBeats(stretch.duration, multiplyBeats(pulseLength(m), beats(round)))));
  return Array.from({ length: rounds }, (_, i) => beats(i * round)).flatMap((start) =>
    bar.hits.flatMap((hit): readonly Stroke[] => {
      const from = addBeats(beats(hit.at), start);
      const at = addBeats(stretch.at, pulseTime(from, m));
      if (compareBeats(at, stretch.at) >= 0)
        return compareBeats(at, endOf(stretch)) < 0 ? [strokeAt(from, hit, stretch, chord, m)] : [];
      const room = before !== undefined && equalBeats(endOf(before), stretch.at) && compareBeats(before.at, at) < 0;
      return [strokeAt(room ? from : ZERO, hit, stretch, chord, m)];
    }),
  );
};
