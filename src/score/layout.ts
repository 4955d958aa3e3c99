import type { Hand, NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { Beats, Metre, NotatedPiece, NotateOptions, NoteValue } from "../time/index.ts";
import {
  addBeats,
  barLength,
  compareBeats,
  divideBeats,
  floorBeats,
  formatBeats,
  minBeats,
  notate,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { InMetres } from "../time/inner.ts";
import { metreStretches, placeInMetres } from "../time/inner.ts";
import { beamed } from "./beams.ts";
import type { LaidOutBar, LaidOutNote, LaidOutPiece, LaidOutVoice } from "./pieces.ts";
import type { Score } from "./score.ts";
import { checkScore } from "./score.ts";
import { withTuplets } from "./tuplets.ts";

const MOST_VOICES = 4;

/**
 * Lays a score out in bars, voices and printable values: what every writer of notation needs, and nothing of any one format.
 *
 * Events of a hand that overlap get voices of their own, at most four, the higher on top; ties, rests, beams and tuplets follow the
 * beat. The first voice of each hand fills every bar with notes and rests; further voices have rests only inside a tuplet.
 *
 * @throws MusicError `score/voices` when a hand would need a fifth voice, `time/value` when a length has no printable value
 *
 * @example
 * ```ts
 * import { beats, makeScore, metre, parseKey, pitch } from "hands-together";
 * import { layOutScore } from "hands-together/score";
 *
 * const held = { at: beats(2), duration: beats(3), pitches: [pitch("C4")] };
 * const { right } = layOutScore(makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, right: [held] }))[0]!;
 * right[0]!.map((piece) => piece.kind); // => ["rest", "note"]
 * ```
 */
export function layOutScore(score: Score): readonly LaidOutBar[] {
  checkScore(score, "score/argument");
  const right = layOutHand(score, "right");
  const left = layOutHand(score, "left");
  return frames(score).map(({ metre: _, ...frame }, i) => ({ ...frame, right: right[i] ?? [], left: left[i] ?? [] }));
}

interface BarFrame {
  readonly number: number;
  readonly at: Beats;
  readonly duration: Beats;
  readonly metre: Metre;
}

const frames = (score: Score): readonly BarFrame[] => {
  let at = ZERO;
  const full = metreStretches(score).flatMap(({ metre, bar, bars }) =>
    Array.from({ length: Math.min(bars, score.bars - bar + 1) }, (_, i): BarFrame => {
      const frame = { number: bar + i, at, duration: barLength(metre), metre };
      at = addBeats(at, frame.duration);
      return frame;
    }),
  );
  return score.pickup.num === 0
    ? full
    : [{ number: 0, at: subtractBeats(ZERO, score.pickup), duration: score.pickup, metre: score.metre }, ...full];
};

/** A note of a score cut into printable values, each in the metre of its bar. */
export const notateIn = (
  form: InMetres,
  at: Beats,
  duration: Beats,
  options?: NotateOptions,
): readonly NotatedPiece[] => {
  if (form.metres === undefined) return notate(at, duration, form.metre, options);
  const end = addBeats(at, duration);
  const stretches = metreStretches(form);
  return stretches.flatMap((stretch, i): readonly NotatedPiece[] => {
    const from = i > 0 && compareBeats(at, stretch.at) < 0 ? stretch.at : at;
    const to = minBeats(stretches[i + 1]?.at ?? end, end);
    return compareBeats(from, to) >= 0
      ? []
      : notate(subtractBeats(from, stretch.at), subtractBeats(to, from), stretch.metre, options).map((piece) => ({
          ...piece,
          at: addBeats(piece.at, stretch.at),
        }));
  });
};

const layOutHand = (score: Score, hand: Hand): readonly (readonly LaidOutVoice[])[] => {
  const bars = frames(score);
  const length = barLength(score.metre);
  const shift = score.pickup.num === 0 ? 0 : 1;
  const barOf = (at: Beats): number =>
    (score.metres === undefined ? floorBeats(divideBeats(at, length)) : placeInMetres(score, at).bar - 1) + shift;
  // Voices of each bar by their number, in order of time.
  const pieces = bars.map(() => new Map<number, LaidOutNote[]>());
  for (const { event, voice } of voicesOf(score[hand], hand)) {
    const cut = notateIn(score, event.at, event.duration);
    cut.forEach((piece, i) => {
      const bar = pieces[barOf(piece.at)];
      const tied = { tiedFrom: i > 0, tiedTo: i < cut.length - 1 };
      const note: LaidOutNote = { kind: "note", ...piece, event, ...tied, beams: [] };
      const before = bar?.get(voice);
      if (before === undefined) bar?.set(voice, [note]);
      else before.push(note);
    });
  }
  return bars.map((bar, i) => {
    const sounding = [...(pieces[i] ?? [])].sort(([a], [b]) => a - b).map(([, voice]) => voice);
    const voices = sounding.length === 0 ? [[]] : sounding;
    return voices.map((voice, v) => joined(filled(voice, bar, score, v === 0), bar, score));
  });
};

// Beams and brackets count from bar lines: in changing metres those of each bar.
const joined = (voice: LaidOutVoice, { at, metre }: BarFrame, { metres }: Score): LaidOutVoice => {
  if (metres === undefined) return beamed(withTuplets(voice, metre), metre);
  const own = voice.map((piece): LaidOutPiece => ({ ...piece, at: subtractBeats(piece.at, at) }));
  return beamed(withTuplets(own, metre), metre).map((piece) => ({ ...piece, at: addBeats(piece.at, at) }));
};

const endOf = (span: { readonly at: Beats; readonly duration: Beats }): Beats => addBeats(span.at, span.duration);

/** Each event with its voice: events that overlap share a cluster, whose voices are numbered from the highest on average down. */
const voicesOf = (
  events: readonly NoteEvent[],
  hand: Hand,
): readonly { readonly event: NoteEvent; readonly voice: number }[] => {
  const placed: { event: NoteEvent; voice: number }[] = [];
  let cluster: NoteEvent[][] = [];
  const isFree = (voice: readonly NoteEvent[], at: Beats): boolean =>
    voice.slice(-1).every((last) => compareBeats(endOf(last), at) <= 0);
  const flush = (): void => {
    const order = cluster
      .map((voice, i) => ({ voice, i, height: height(voice) }))
      .sort((a, b) => b.height - a.height || a.i - b.i);
    order.forEach(({ voice }, v) => placed.push(...voice.map((event) => ({ event, voice: v }))));
    cluster = [];
  };
  for (const event of events) {
    if (cluster.every((voice) => isFree(voice, event.at))) flush();
    const free = cluster.find((voice) => isFree(voice, event.at));
    if (free !== undefined) free.push(event);
    else if (cluster.length < MOST_VOICES) cluster.push([event]);
    else {
      throw new MusicError({
        code: "score/voices",
        input: `${hand} hand at ${formatBeats(event.at)}`,
        expected: `at most ${MOST_VOICES} overlapping events in a hand`,
        hint: "strike notes of equal length together as one event",
        reason: "cannot-be-done",
      });
    }
  }
  flush();
  return placed;
};

const height = (voice: readonly NoteEvent[]): number => {
  const semitones = voice.flatMap((event) => event.pitches.map((p) => p.semitones));
  return semitones.reduce((sum, s) => sum + s, 0) / semitones.length;
};

/** Puts rests (or spaces, in a later voice) where a voice is silent. */
const filled = (
  voice: readonly LaidOutNote[],
  bar: BarFrame,
  score: Score,
  first: boolean,
): readonly LaidOutPiece[] => {
  if (voice.length === 0 && bar.number > 0) {
    const value: NoteValue = { type: "whole", dots: 0 };
    return [{ kind: "rest", at: bar.at, duration: bar.duration, value, wholeBar: true }];
  }
  const all: LaidOutPiece[] = [];
  let from = bar.at;
  const silence = (to: Beats): void => {
    if (compareBeats(from, to) < 0) all.push(...silent(from, to, score, first));
  };
  for (const piece of voice) {
    silence(piece.at);
    all.push(piece);
    from = endOf(piece);
  }
  silence(endOf(bar));
  return all;
};

const silent = (from: Beats, to: Beats, score: Score, first: boolean): readonly LaidOutPiece[] => {
  const rests = notateIn(score, from, subtractBeats(to, from), { rest: true });
  if (first) return rests.map((rest) => ({ kind: "rest", ...rest, wholeBar: false }));
  // A tuplet's bracket has to hold all of its beat, so rests stay there; all else is space, in one stretch.
  const pieces: LaidOutPiece[] = [];
  for (const rest of rests) {
    const before = pieces.at(-1);
    if (rest.value.tuplet !== undefined) pieces.push({ kind: "rest", ...rest, wholeBar: false });
    else if (before?.kind === "space")
      pieces[pieces.length - 1] = { ...before, duration: addBeats(before.duration, rest.duration) };
    else pieces.push({ kind: "space", at: rest.at, duration: rest.duration });
  }
  return pieces;
};
