import * as v from "valibot";
import { transposeChord } from "../chord/index.ts";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Interval, Key } from "../pitch/index.ts";
import { addIntervals, interval, negate, noteInterval, parseKey, transpose } from "../pitch/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, compareBeats, subtractBeats } from "../time/index.ts";
import { barStartInMetres, metresBetween } from "../time/inner.ts";
import { keyShape } from "./check.ts";
import type { Score } from "./score.ts";
import { checkScore, makeScore } from "./score.ts";
import { sectionsPlayed, writtenOut } from "./written.ts";

/** Options of {@link transposeScore}. */
export interface TransposeScoreOptions {
  /** The way to the other key: up or down to the nearest, or whichever is nearer (up for a tritone). @defaultValue `"nearest"` */
  readonly way?: "nearest" | "up" | "down" | undefined;
  /** Whether fingers go along. They belong to black and white keys, and what suits one key may not suit another. @defaultValue `false` */
  readonly fingers?: boolean | undefined;
}

const keyGiven = /* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), keyShape]);

const transposeOptions = /* @__PURE__ */ v.strictObject({
  way: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["nearest", "up", "down"])),
  fingers: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
});

/**
 * A score in another key: both hands, the bass and the chord symbols move, spelled for that key; drums, phrases and the feel stay.
 *
 * @param to - the key, or its name; a mode that differs from the score's own is refused
 * @returns a fresh score without a recipe, since no recipe makes it
 * @throws MusicError `pitch/key` for no key, `score/mode` when the other key has another mode, `pitch/unspellable` when a note would need more
 * than three accidentals
 *
 * @example
 * ```ts
 * import { beats, makeScore, pitch, pitchName } from "hands-together";
 * import { transposeScore } from "hands-together/score";
 *
 * const right = [{ at: beats(0), duration: beats(4), pitches: [pitch("E4")] }];
 * const score = makeScore({ key: "C", metre: "4/4", bars: 1, right });
 * transposeScore(score, "Eb").right.map((event) => event.pitches.map(pitchName)); // => [["G4"]]
 * transposeScore(score, "A").key.fifths; // => 3
 * ```
 */
export function transposeScore(score: Score, to: Key | string, options: TransposeScoreOptions = {}): Score {
  checkScore(score, "score/argument");
  check(keyGiven, to, "pitch/key");
  check(transposeOptions, options, "score/argument");
  const key = typeof to === "string" ? parseKey(isTonic(to) ? `${to} ${score.key.mode}` : to) : to;
  if (key.mode !== score.key.mode)
    throw new MusicError({ code: "score/mode", input: to, expected: `a ${score.key.mode} key, as that of the score` });
  const by = wayTo(score.key, key, options.way ?? "nearest");
  const { recipe: _, ...rest } = score;
  const moved = (event: NoteEvent): NoteEvent => {
    const { fingers, graces, ...own } = event;
    const keep = options.fingers === true;
    return {
      ...own,
      pitches: event.pitches.map((p) => transpose(p, by)),
      ...(keep && fingers && { fingers }),
      ...(graces && {
        graces: graces.map(({ finger, ...grace }) => ({
          ...grace,
          pitch: transpose(grace.pitch, by),
          ...(keep && finger && { finger }),
        })),
      }),
    };
  };
  return makeScore({
    ...rest,
    key,
    chords: score.chords.map((span) =>
      span.chord === undefined ? span : { ...span, chord: transposeChord(span.chord, by) },
    ),
    right: score.right.map(moved),
    left: score.left.map(moved),
    ...(score.bass && { bass: score.bass.map(moved) }),
  });
}

const isTonic = (text: string): boolean => /^\s*[A-G][b#♭♯]*\s*$/.test(text);

const TRITONE = 6;

const wayTo = (from: Key, to: Key, way: "nearest" | "up" | "down"): Interval => {
  const up = noteInterval(from.tonic, to.tonic);
  const falls = way === "nearest" ? up.semitones > TRITONE : way === "down" && up.semitones > 0;
  return falls ? addIntervals(up, negate(interval("P8"))) : up;
};

/** Bars of a score, by their numbers. */
const barsShape = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.number(),
  /* @__PURE__ */ v.integer(),
  /* @__PURE__ */ v.minValue(1),
);

/**
 * Some bars of a score as a score of their own, whose bar 1 is the first of them.
 *
 * What starts in these bars is kept, and ends with the last of them at the latest; what was struck before is left out. A pickup belongs to bar
 * 1. A chord symbol that holds on from before stands at the start.
 *
 * @param from - the first bar, from 1
 * @param to - the last bar
 * @returns a fresh score without a recipe, since no recipe makes it
 * @throws MusicError `score/slice` for bars that the score does not have
 *
 * @example
 * ```ts
 * import { beats, makeScore, pitch } from "hands-together";
 * import { sliceScore } from "hands-together/score";
 *
 * const right = [0, 4, 8].map((at) => ({ at: beats(at), duration: beats(4), pitches: [pitch("E4")] }));
 * const score = makeScore({ key: "C", metre: "4/4", bars: 3, right });
 * sliceScore(score, 2, 3).right.map((event) => event.at.num); // => [0, 4]
 * sliceScore(score, 2, 4); // throws "score/slice"
 * ```
 */
export function sliceScore(score: Score, from: number, to: number): Score {
  checkScore(score, "score/argument");
  check(barsShape, from, "score/slice");
  check(barsShape, to, "score/slice");
  if (from > to || to > score.bars)
    throw new MusicError({
      code: "score/slice",
      input: `${from} to ${to}`,
      expected: `bars between 1 and ${score.bars}`,
    });
  const start = barStartInMetres(score, from);
  const end = barStartInMetres(score, to + 1);
  const first = from === 1 ? subtractBeats(start, score.pickup) : start;
  const { recipe: _, ...rest } = score;
  const struck = <T extends TimeSpan>(spans: readonly T[]): readonly T[] =>
    spans
      .filter(({ at }) => compareBeats(at, first) >= 0 && compareBeats(at, end) < 0)
      .map((span) => within(span, first, end, start));
  const holding = <T extends TimeSpan>(spans: readonly T[]): readonly T[] =>
    spans
      .filter((span) => compareBeats(endOf(span), first) > 0 && compareBeats(span.at, end) < 0)
      .map((span) => within(span, first, end, start));
  return makeScore({
    ...rest,
    bars: to - from + 1,
    metres: undefined,
    ...metresBetween(score, from, to),
    ...(from > 1 && { pickup: undefined }),
    form: score.form && writtenOut(sectionsPlayed(score.form).slice(from - 1, to)),
    chords: holding(score.chords),
    right: struck(score.right),
    left: struck(score.left),
    ...(score.bass && { bass: struck(score.bass) }),
    ...(score.drums && { drums: struck(score.drums) }),
    ...(score.phrases && { phrases: holding(score.phrases) }),
  });
}

const endOf = ({ at, duration }: TimeSpan): Beats => addBeats(at, duration);

const within = <T extends TimeSpan>(span: T, from: Beats, to: Beats, start: Beats): T => {
  const at = compareBeats(span.at, from) < 0 ? from : span.at;
  const until = compareBeats(endOf(span), to) > 0 ? to : endOf(span);
  return { ...span, at: subtractBeats(at, start), duration: subtractBeats(until, at) };
};
