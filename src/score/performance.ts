import * as v from "valibot";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { check } from "../ground/check.ts";
import { midiNumber } from "../pitch/index.ts";
import type { Feel, ScorePart } from "../swing/index.ts";
import { graceLength, partFeel, soundingSpan } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import {
  addBeats,
  beats,
  compareBeats,
  divideBeats,
  minBeats,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Score } from "./score.ts";
import { checkScore } from "./score.ts";

/** One key of one part, as it sounds: swung, with grace notes in their place, still exact. */
export interface SoundingNote extends TimeSpan {
  readonly part: ScorePart;
  /** MIDI note number. */
  readonly midi: number;
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
 * adds 16 to the velocity, and grace notes are 10 softer. The rules for grace notes, staccato and velocity are common practice without a source.
 *
 * @returns notes in order of time; none for a part that the score does not have
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
export function soundingNotes(score: Score, part: ScorePart): readonly SoundingNote[] {
  checkScore(score, "score/argument");
  check(PART, part, "score/argument");
  const feel = partFeel(score.feel, part);
  if (part === "drums") {
    return (score.drums ?? []).map((stroke, event) => ({
      ...soundingSpan(feel, stroke),
      part,
      midi: stroke.midi,
      velocity: stroke.velocity ?? DEFAULT_VELOCITY.drums,
      event,
      grace: false,
    }));
  }
  return withGraces(score, score[part] ?? [], part, feel);
}

const PART = /* @__PURE__ */ v.picklist(["right", "left", "bass", "drums"]);

type Mutable = { -readonly [K in keyof SoundingNote]: SoundingNote[K] };

const endOf = (span: TimeSpan): Beats => addBeats(span.at, span.duration);

const withGraces = (
  score: Score,
  events: readonly NoteEvent[],
  part: ScorePart,
  feel: Feel,
): readonly SoundingNote[] => {
  const grace = graceLength(Math.round(score.tempo * 1000) / 1000);
  const start = subtractBeats(ZERO, score.pickup);
  const sounding: Mutable[] = [];
  let recent: Mutable[] = [];
  let onset: Beats | undefined;
  let before: Beats | undefined;
  events.forEach((event, index) => {
    const span = soundingSpan(feel, event);
    if (onset === undefined || compareBeats(onset, span.at) < 0) {
      before = onset;
      onset = span.at;
      const last = before;
      recent = recent.filter((note) => last !== undefined && compareBeats(endOf(note), last) > 0);
    }
    const velocity = Math.min(
      127,
      (event.velocity ?? DEFAULT_VELOCITY[part]) + (event.articulation === "accent" ? ACCENT : 0),
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
    const duration = event.articulation === "staccato" ? multiplyBeats(left, beats("1/2")) : left;
    for (const p of event.pitches) {
      const note: Mutable = { part, midi: midiNumber(p), at, duration, velocity, event: index, grace: false };
      sounding.push(note);
      recent.push(note);
    }
  });
  return sounding.sort((a, b) => compareBeats(a.at, b.at));
};
