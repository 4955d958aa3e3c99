import * as v from "valibot";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { DEFAULT_SEED, seedSchema } from "../ground/chance.ts";
import { check } from "../ground/check.ts";
import type { Pitch } from "../pitch/index.ts";
import { midiNumber } from "../pitch/index.ts";
import type { Feel, ScorePart } from "../swing/index.ts";
import { graceLength, partFeel } from "../swing/index.ts";
import { sounded } from "../swing/inner.ts";
import type { Beats } from "../time/index.ts";
import {
  addBeats,
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  minBeats,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Score } from "./score.ts";
import { checkScore } from "./score.ts";
import type { Stroke, TouchId, TouchRow } from "./touch.ts";
import { spreadOf, strokesOf, touchRow, WIDEST_SPREAD } from "./touch.ts";

/** One key of one part, as it sounds: swung, with grace notes in their place, still exact. */
export interface SoundingNote extends TimeSpan {
  readonly part: ScorePart;
  /** MIDI note number. */
  readonly midi: number;
  /** As it is spelled; drums have none. */
  readonly pitch?: Pitch;
  /** MIDI velocity, 1 to 127. */
  readonly velocity: number;
  /** Index of the event in its part of the score. */
  readonly event: number;
  /** Whether it is a grace note of that event. */
  readonly grace: boolean;
}

/**
 * Velocity of an unmarked note, by part: the line above the chords. Our own choice, no source.
 *
 * @example
 * ```ts
 * import { DEFAULT_VELOCITY } from "hands-together/score";
 *
 * DEFAULT_VELOCITY.right > DEFAULT_VELOCITY.left; // => true
 * ```
 */
export const DEFAULT_VELOCITY: Readonly<Record<ScorePart, number>> = Object.freeze({
  right: 84,
  left: 68,
  bass: 80,
  drums: 72,
});

const ACCENT = 16;
const GRACE_SOFTER = 10;

/**
 * Every note of one part as it sounds, in quarter notes from the first bar line, in order of time.
 *
 * The feel moves starts and ends. Grace notes sound before the beat, each for `graceLength` but together for no more than half
 * the time since the hand's last start; that time is taken from the notes that end there. At the very start of a score, where
 * nothing comes before, they sound on the beat and the main note gives up the time. Staccato halves the sounding length; an accent
 * adds 16 to the velocity, and grace notes are 10 softer. A touch other than `"plain"` says how loud and how long the rest is, and a spread moves
 * the strokes of each part by a drift of 1/f and a jitter. The rules for grace notes, staccato and velocity are common practice without a source.
 *
 * @returns notes in order of time; none for a part that the score does not have
 * @throws MusicError `score/touch` for a touch that is neither known nor a row
 *
 * @example
 * ```ts
 * import { beats, makeScore, metre, parseKey, pitch, soundingNotes, swungFeel } from "hands-together";
 *
 * const offbeat = { at: beats("1/2"), duration: beats("1/2"), pitches: [pitch("C4")] };
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, feel: swungFeel("2:1"), right: [offbeat] });
 * soundingNotes(score, "right")[0]?.at; // => { num: 2, den: 3 }
 * ```
 */
export function soundingNotes(score: Score, part: ScorePart, options: SoundingOptions = {}): readonly SoundingNote[] {
  checkScore(score, "score/argument");
  check(PART, part, "score/argument");
  check(soundingShape, options, "score/argument");
  const { touch = "plain", spreadMs = 0, seed = DEFAULT_SEED } = options;
  const notes = plainNotes(score, part, touchRow(touch));
  return spreadMs === 0 ? notes : spread(notes, spreadOf(score, part, spreadMs, seed));
}

/** Options of {@link soundingNotes}. */
export interface SoundingOptions {
  /** How it is struck: a touch of {@link touchCatalogue} or a row of your own. @defaultValue `"plain"` */
  readonly touch?: TouchId | TouchRow | undefined;
  /** Standard deviation of the timing of each part in milliseconds, 0 to 30. @defaultValue 0: exact */
  readonly spreadMs?: number | undefined;
  /** The chance in the spread, from 0 to 4294967295. @defaultValue 1 */
  readonly seed?: number | undefined;
}

const soundingShape = /* @__PURE__ */ (() =>
  v.strictObject({
    touch: v.optional(v.unknown()),
    spreadMs: v.optional(v.pipe(v.number(), v.minValue(0), v.maxValue(WIDEST_SPREAD))),
    seed: v.optional(seedSchema),
  }))();

// Starts and ends move with the moment that they are written for, so that what follows at once still does.
const spread = (notes: readonly SoundingNote[], late: (at: Beats) => Beats): readonly SoundingNote[] =>
  notes
    .map((note): SoundingNote => {
      const at = addBeats(note.at, late(note.at));
      const end = addBeats(endOf(note), late(endOf(note)));
      return { ...note, at, duration: compareBeats(at, end) < 0 ? subtractBeats(end, at) : beatsOf(1, 960) };
    })
    .sort((a, b) => compareBeats(a.at, b.at));

const plainNotes = (score: Score, part: ScorePart, touch: TouchRow): readonly SoundingNote[] => {
  const feel = partFeel(score.feel, part);
  if (part === "drums") {
    return (score.drums ?? []).map((stroke, event) => ({
      ...sounded(feel, stroke),
      part,
      midi: stroke.midi,
      velocity: stroke.velocity ?? DEFAULT_VELOCITY.drums,
      event,
      grace: false,
    }));
  }
  return withGraces(score, score[part] ?? [], part, feel, strokesOf(score, part, touch));
};

const PART = /* @__PURE__ */ v.picklist(["right", "left", "bass", "drums"]);

type Mutable = { -readonly [K in keyof SoundingNote]: SoundingNote[K] };

const endOf = (span: TimeSpan): Beats => addBeats(span.at, span.duration);

const withGraces = (
  score: Score,
  events: readonly NoteEvent[],
  part: ScorePart,
  feel: Feel,
  struck: readonly Stroke[] | undefined,
): readonly SoundingNote[] => {
  const grace = graceLength(Math.round(score.tempo * 1000) / 1000);
  const start = subtractBeats(ZERO, score.pickup);
  const sounding: Mutable[] = [];
  let recent: Mutable[] = [];
  let onset: Beats | undefined;
  let before: Beats | undefined;
  events.forEach((event, index) => {
    const span = sounded(feel, event);
    if (onset === undefined || compareBeats(onset, span.at) < 0) {
      before = onset;
      onset = span.at;
      const last = before;
      recent = recent.filter((note) => last !== undefined && compareBeats(endOf(note), last) > 0);
    }
    const velocity = Math.min(
      127,
      (event.velocity ?? struck?.[index]?.velocity ?? DEFAULT_VELOCITY[part]) +
        (event.articulation === "accent" ? ACCENT : 0),
    );
    const graces = event.graces ?? [];
    const room =
      before === undefined
        ? subtractBeats(span.at, start)
        : multiplyBeats(subtractBeats(span.at, before), beats("1/2"));
    const onBeat = room.num <= 0;
    const most = onBeat ? multiplyBeats(span.duration, beats("1/2")) : room;
    const each = graces.length === 0 ? ZERO : minBeats(grace, divideBeats(most, beats(graces.length)));
    const total = multiplyBeats(each, beats(graces.length));
    const from = onBeat ? span.at : subtractBeats(span.at, total);
    if (!onBeat && graces.length > 0) {
      for (const note of recent) {
        if (compareBeats(endOf(note), from) > 0 && compareBeats(endOf(note), span.at) <= 0)
          note.duration = subtractBeats(from, note.at);
      }
    }
    graces.forEach((g, i) =>
      sounding.push({
        part,
        midi: midiNumber(g.pitch),
        pitch: g.pitch,
        at: addBeats(from, multiplyBeats(each, beats(i))),
        duration: each,
        velocity: Math.max(1, velocity - GRACE_SOFTER),
        event: index,
        grace: true,
      }),
    );
    const at = onBeat ? addBeats(span.at, total) : span.at;
    // A main note that its own grace notes put off is what later ones take their time from.
    if (onBeat) onset = at;
    const left = subtractBeats(endOf(span), at);
    const share = struck?.[index]?.length ?? 100;
    const duration =
      event.articulation === "staccato"
        ? multiplyBeats(left, beats("1/2"))
        : share === 100
          ? left
          : multiplyBeats(left, beatsOf(share, 100));
    for (const p of event.pitches) {
      const note: Mutable = { part, midi: midiNumber(p), pitch: p, at, duration, velocity, event: index, grace: false };
      sounding.push(note);
      recent.push(note);
    }
  });
  return sounding.sort((a, b) => compareBeats(a.at, b.at));
};
