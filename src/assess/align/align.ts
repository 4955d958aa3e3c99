import type { Hand } from "../../event/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { known, nth } from "../../ground/list.ts";
import type { Score } from "../../score/index.ts";
import { barLength, beatsOf, beatsToNumber, divideBeats, isCompound } from "../../time/index.ts";
import { checkScore } from "../shapes.ts";
import type { Asked, AskedNote } from "./asked.ts";
import { askedNotes } from "./asked.ts";
import type { Clock, Heard } from "./clock.ts";
import { fitClock, median, usualPace } from "./clock.ts";
import type { PlayedNote } from "./played.ts";
import { inOrder } from "./played.ts";
import type { Shift } from "./shift.ts";
import { findShift } from "./shift.ts";
import type { Solution, Struck } from "./solve.ts";
import { solve } from "./solve.ts";

/** What became of one note, asked or played, in one run. */
export interface AlignedNote {
  /**
   * `"right"`: the key asked for. `"wrong"`: another key in its place. `"missed"`: asked for and not played. `"extra"`: played and
   * not asked for.
   */
  readonly state: "right" | "wrong" | "missed" | "extra";
  /** Index of the run in which it happened. */
  readonly run: number;
  /** The hand that it was asked of, or for an extra note the hand that lies nearer. */
  readonly hand: Hand;
  /** Index in `asked`; absent for an extra note. */
  readonly asked?: number;
  /** Index in the take as it was given; absent for a missed note. */
  readonly played?: number;
  /** How late it was by the player's own clock, in milliseconds; negative when early. Only for what was asked and played. */
  readonly offMs?: number;
  /** Where it was heard, in quarter notes from the first bar line by the player's own clock. */
  readonly heard?: number;
  /** How long it was held, in quarter notes by the player's own clock. */
  readonly lasted?: number;
}

/** A stretch played in one go. */
export interface TakeRun {
  /** Why it began: at the start, back at an earlier place, again from the top after the end, or further ahead. */
  readonly begins: "start" | "back" | "again" | "ahead";
  /** Bar and beat of its first asked note. */
  readonly from: { readonly bar: number; readonly beat: string };
  /** Bar and beat of its last asked note. */
  readonly to: { readonly bar: number; readonly beat: string };
  /** Stops inside it: the bar and beat of the note that came late, and by how many seconds. */
  readonly pauses: readonly { readonly bar: number; readonly beat: string; readonly seconds: number }[];
  /** The player's tempo along it, in quarter notes a minute; empty where too little was played to tell. */
  readonly tempos: readonly { readonly quarter: number; readonly tempo: number }[];
}

/** A take read as an attempt at a score. */
export interface Alignment {
  readonly kind: "alignment";
  /** Every note that the score asks for, in order of time. */
  readonly asked: readonly AskedNote[];
  /** What became of each note, run by run, in order of time. */
  readonly notes: readonly AlignedNote[];
  readonly runs: readonly TakeRun[];
  /** Indices of asked notes that no run came to. */
  readonly leftOut: readonly number[];
  /** Semitones by which each hand was played above what is written. */
  readonly shift: Readonly<Record<Hand, number>>;
  /** The least cost of reading the keys as the score, before time is looked at. */
  readonly cost: number;
}

// Below this share of right keys the take is taken for another piece.
const LEAST_RIGHT = 0.4;

/** One run before it is told to the user. */
interface RawRun {
  readonly from: number;
  readonly to: number;
  /** Indices of the asked notes that it came to, in order. */
  readonly scope: readonly number[];
  /** By key of the run: index of the asked note, or -1. */
  readonly meant: readonly number[];
  readonly clock: Clock;
}

/** The pulse by which the player's clock goes: a quarter, or the dotted quarter of compound metres. */
export const clockStep = (score: Score): number => (isCompound(score.metre) ? 1.5 : 1);

/**
 * Reads a take as an attempt at a score: which key was meant for which note, where the player went back, and how late each note was
 * by the player's own clock.
 *
 * Three steps, each exact in its own cost. First the shift: of all transpositions of both hands up to two octaves and octaves of
 * either hand, the one of the cheapest reading of the take's first 48 keys. Then order and pitch: the cheapest reading of all
 * keys, where a missed note costs 4 (a grace note 2), an extra one 4, a wrong key 5 within a whole step, 6 an octave off, 7 within
 * a fifth, and going back or ahead 10; the keys of a chord come in any order, and a hand may be up to a quarter note ahead of the
 * other. Then, run by run, the clock: a smooth curve through the right notes on the beat gives each key its place in quarter notes,
 * and the cheapest reading is found again with eight times the square of the distance added, so that of two equal keys the nearer
 * one is meant.
 *
 * Source: our own; the reading is a sequence alignment in the sense of Needleman & Wunsch (1970), over two hands at once.
 *
 * @throws MusicError `assess/played` for a take without notes or with figures that are none, `assess/score` for a score without notes,
 * `assess/chord` for more than twelve keys at once in a hand, `assess/unrelated` when fewer than two in five keys can be found in the score
 *
 * @example
 * ```ts
 * import { alignTake, beats, makeScore, metre, parseKey, pitch } from "hands-together";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
 * const played = [60, 62, 64].map((midi, i) => ({ midi, onsetSeconds: i === 2 ? 1.5 : i / 2, durationSeconds: 0.4, velocity: 80 }));
 * alignTake(score, played).notes.map((note) => note.state); // => ["right", "right", "missed", "right"]
 * ```
 */
export function alignTake(score: Score, played: readonly PlayedNote[]): Alignment {
  checkScore(score);
  const ordered = inOrder(played);
  const asked = askedNotes(score);
  const struck = ordered.map(
    ({ note }): Struck => ({ midi: note.midi, ...(note.hand === undefined ? {} : { hand: note.hand }) }),
  );
  const seconds = ordered.map(({ note }) => note.onsetSeconds);
  const shift = findShift(asked, struck);
  const first = known(solve(asked, struck, { jumps: true, shift }));
  const isRight = (key: number, note: number): boolean => {
    const a = nth(asked, note);
    return nth(struck, key).midi === a.midi + shift[a.hand];
  };
  requireRelated(first, isRight, struck.length);
  const bar = beatsToNumber(barLength(score.metre));
  const spans = settleJumps(first, asked, seconds, isRight, runSpans(first, asked, bar));
  const lag = leftLag(asked, first.meant, seconds, isRight, spans);
  const timing = { asked, seconds, isRight, lag, step: clockStep(score) };
  const rough = spans.map(({ from, to }): readonly Heard[] => {
    const meant = Array.from(first.meant.subarray(from, to));
    const doubtful = doubtfulNotes(asked, meant);
    const sure = heardMoments(timing, from, meant, (note) => !doubtful.has(note));
    if (sure.length >= FEWEST_SURE) return sure;
    const heard = heardMoments(timing, from, meant, () => true);
    if (heard.length > 0) return heard;
    // Grace notes alone are taken for their main note.
    const i = meant.findIndex((note) => note >= 0);
    return [{ beat: nth(asked, nth(meant, i)).sounds, seconds: nth(seconds, from + i) }];
  });
  const paces = rough.map(usualPace).filter((pace): pace is number => pace !== undefined);
  const pace = paces.length === 0 ? 60 / score.tempo : median(paces);
  const runs = spans.map(({ from, to }, r): RawRun => {
    const before = Array.from(first.meant.subarray(from, to));
    const start = r === 0 && !first.jumps.includes(opening(first));
    const end = r === spans.length - 1 && first.jumps.at(-1) !== struck.length;
    const scope = scopeOf(asked, before, start, end);
    const heard = nth(rough, r);
    const clock = fitClock(heard, timing.step, pace);
    const timed = struck.slice(from, to).map((key, i) => ({ ...key, sounds: clock.beatAt(nth(seconds, from + i)) }));
    const again = solve(
      scope.map((note) => nth(asked, note)),
      timed,
      { jumps: false, shift },
    ) as Solution;
    const byClock = Array.from(again.meant, (note) => (note < 0 ? -1 : nth(scope, note)));
    // A run of few notes may have none where its clock would have them; it is what it seemed to be.
    const meant = byClock.some((note) => note >= 0) ? byClock : before;
    const better = heardMoments(timing, from, meant, () => true);
    // By the clock the run may begin later or end earlier than it seemed to.
    return {
      from,
      to,
      scope: scopeOf(asked, meant, start, end),
      meant,
      clock: fitClock(better.length === 0 ? heard : better, timing.step, pace),
    };
  });
  const come = new Set(runs.flatMap((run) => run.scope));
  return {
    kind: "alignment",
    asked: asked.map(({ at: _at, ...note }) => note),
    notes: runs.flatMap((run, r) => tell(run, r, { asked, struck, seconds, isRight, shift, ordered })),
    runs: runs.map((run, r) => describe(run, runs[r - 1], asked)),
    leftOut: asked.map((note) => note.index).filter((index) => !come.has(index)),
    shift,
    cost: first.cost,
  };
}

type IsRight = (key: number, note: number) => boolean;

const requireRelated = (first: Solution, isRight: IsRight, count: number): void => {
  let right = 0;
  first.meant.forEach((note, key) => {
    if (note >= 0 && isRight(key, note)) right++;
  });
  if (right >= LEAST_RIGHT * count) return;
  throw new MusicError({
    code: "assess/unrelated",
    input: `${right} of ${count} keys found in the score`,
    expected: "a take of this score, in any key or octave",
    hint: "is it the right drill?",
    reason: "cannot-be-done",
  });
};

interface KeySpan {
  readonly from: number;
  readonly to: number;
}

/** The first key that was meant for a note. */
const opening = (first: Solution): number => first.meant.findIndex((note) => note >= 0);

/** The keys of each run. A jump ahead of less than a bar is a few missed notes in the same run; what comes before any note was meant opens it. */
const runSpans = (first: Solution, asked: readonly Asked[], bar: number): readonly KeySpan[] => {
  const starts = [0];
  let before: number | undefined;
  first.meant.forEach((note, key) => {
    if (note < 0) return;
    const { sounds } = nth(asked, note);
    if (before !== undefined && first.jumps.includes(key) && (sounds <= before || sounds >= before + bar))
      starts.push(key);
    before = sounds;
  });
  return starts.map((from, i) => ({ from, to: starts[i + 1] ?? first.meant.length }));
};

/**
 * Where the last keys before a jump could as well be the first after it, which costs the same, the longer silence decides. Moves the
 * boundary and what those keys meant.
 */
const settleJumps = (
  first: Solution,
  asked: readonly Asked[],
  seconds: readonly number[],
  isRight: IsRight,
  spans: readonly KeySpan[],
): readonly KeySpan[] => {
  const settled = spans.map((span) => ({ ...span }));
  const gap = (key: number): number => nth(seconds, key) - nth(seconds, key - 1);
  settled.slice(1).forEach((after, r) => {
    const before = nth(settled, r);
    const met = new Set(first.meant.subarray(after.from, after.to));
    const moved: number[] = [];
    let { sounds: latest } = nth(asked, nth(first.meant, after.from));
    // A note stays before the jump.
    for (let key = after.from - 1; key > Math.max(before.from, opening(first)); key--) {
      const note = asked.findLast(
        (a) => a.sounds <= latest && a.sounds > latest - 1.01 && !met.has(a.index) && isRight(key, a.index),
      );
      if (note === undefined) return;
      met.add(note.index);
      moved.unshift(note.index);
      latest = note.sounds;
      if (gap(key) <= 1.5 * gap(after.from)) continue;
      first.meant.set(moved, key);
      before.to = key;
      after.from = key;
      return;
    }
  });
  return settled;
};

/** The asked notes from the first to the last that a run meant, widened to the ends of the score where it began or ended there. */
const scopeOf = (
  asked: readonly Asked[],
  meant: readonly number[],
  start: boolean,
  end: boolean,
): readonly number[] => {
  const times = meant.filter((note) => note >= 0).map((note) => nth(asked, note).sounds);
  const low = start ? -Infinity : times.reduce((a, b) => Math.min(a, b), Infinity);
  const high = end ? Infinity : times.reduce((a, b) => Math.max(a, b), -Infinity);
  return asked.filter((note) => note.sounds >= low && note.sounds <= high).map((note) => note.index);
};

interface Timing {
  readonly asked: readonly Asked[];
  readonly seconds: readonly number[];
  readonly isRight: IsRight;
  readonly lag: number;
  readonly step: number;
}

/** By how many seconds the left hand comes after the right where both play together: the median. */
const leftLag = (
  asked: readonly Asked[],
  meant: Int32Array,
  seconds: readonly number[],
  isRight: IsRight,
  spans: readonly KeySpan[],
): number => {
  const lags: number[] = [];
  for (const { from, to } of spans) {
    const at = new Map<number, { right: number[]; left: number[] }>();
    for (let key = from; key < to; key++) {
      const note = nth(meant, key);
      if (note < 0 || !isRight(key, note)) continue;
      const { sounds, hand, grace } = nth(asked, note);
      if (grace) continue;
      const moment = at.get(sounds) ?? { right: [], left: [] };
      moment[hand].push(nth(seconds, key));
      at.set(sounds, moment);
    }
    for (const { right, left } of at.values())
      if (right.length > 0 && left.length > 0) lags.push(mean(left) - mean(right));
  }
  return lags.length === 0 ? 0 : median(lags);
};

export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

// Moments on the pulse that a clock needs to go by the pulse alone.
const FEWEST_PULSES = 3;

// Moments that a first clock needs, and the quarter notes within which two equal notes can be taken for each other.
const FEWEST_SURE = 4;
const NEAR = 2;

/** The notes of a run that could as well be equal ones nearby, of which one was missed: only a clock can tell. */
const doubtfulNotes = (asked: readonly Asked[], meant: readonly number[]): ReadonlySet<number> => {
  const met = new Set(meant);
  const latest = new Map<string, Asked[]>();
  const chains: Asked[][] = [];
  for (const note of asked) {
    const key = `${note.hand} ${note.midi}`;
    const chain = latest.get(key);
    if (chain !== undefined && note.sounds - nth(chain, -1).sounds <= NEAR) chain.push(note);
    else {
      const begun = [note];
      chains.push(begun);
      latest.set(key, begun);
    }
  }
  return new Set(
    chains
      .filter((chain) => chain.some((note) => !met.has(note.index)))
      .flatMap((chain) => chain.map((note) => note.index)),
  );
};

/** When each moment was heard, from right notes alone, the left hand's lag taken off; on the pulse, where enough of it was played. */
const heardMoments = (
  { asked, seconds, isRight, lag, step }: Timing,
  from: number,
  meant: readonly number[],
  isSure: (note: number) => boolean,
): readonly Heard[] => {
  const moments = new Map<number, { right: number[]; left: number[]; onPulse: boolean }>();
  meant.forEach((note, i) => {
    if (note < 0 || !isRight(from + i, note) || !isSure(note)) return;
    const { sounds, hand, grace, at } = nth(asked, note);
    if (grace) return;
    const moment = moments.get(sounds) ?? {
      right: [],
      left: [],
      onPulse: divideBeats(at, beatsOf(step * 2, 2)).den === 1,
    };
    moment[hand].push(nth(seconds, from + i) - (hand === "left" ? lag : 0));
    moments.set(sounds, moment);
  });
  const all = [...moments]
    .map(([beat, { right, left, onPulse }]) => ({
      beat,
      seconds: mean([right, left].filter((hand) => hand.length > 0).map(mean)),
      onPulse,
    }))
    .sort((a, b) => a.beat - b.beat);
  const pulses = all.filter((moment) => moment.onPulse);
  if (pulses.length < FEWEST_PULSES) return all;
  const length = (nth(all, -1).beat - nth(all, 0).beat) / step;
  return pulses.length >= 0.5 * Math.min(length, all.length) ? pulses : all;
};

interface Telling {
  readonly asked: readonly Asked[];
  readonly struck: readonly Struck[];
  readonly seconds: readonly number[];
  readonly isRight: IsRight;
  readonly shift: Shift;
  readonly ordered: readonly { readonly note: PlayedNote; readonly index: number }[];
}

const tell = (
  run: RawRun,
  r: number,
  { asked, struck, seconds, isRight, shift, ordered }: Telling,
): readonly AlignedNote[] => {
  const notes: (AlignedNote & { readonly heard: number })[] = [];
  const met = new Set<number>();
  run.meant.forEach((note, i) => {
    const key = run.from + i;
    const at = nth(seconds, key);
    const {
      note: { durationSeconds },
      index: played,
    } = nth(ordered, key);
    const heard = run.clock.beatAt(at);
    const lasted = run.clock.beatAt(at + durationSeconds) - heard;
    if (note < 0) {
      notes.push({
        state: "extra",
        run: r,
        hand: nearerHand(asked, nth(struck, key), heard, shift),
        played,
        heard,
        lasted,
      });
      return;
    }
    met.add(note);
    const { hand, sounds } = nth(asked, note);
    const offMs = 1000 * (at - run.clock.secondsAt(sounds));
    notes.push({
      state: isRight(key, note) ? "right" : "wrong",
      run: r,
      hand,
      asked: note,
      played,
      offMs,
      heard,
      lasted,
    });
  });
  for (const note of run.scope) {
    if (met.has(note)) continue;
    const { hand, sounds } = nth(asked, note);
    notes.push({ state: "missed", run: r, hand, asked: note, heard: sounds });
  }
  return notes
    .sort((a, b) => a.heard - b.heard || (a.asked ?? -1) - (b.asked ?? -1))
    .map(({ heard, ...note }) => (note.state === "missed" ? note : { ...note, heard }));
};

/** The hand that was asked for the key nearest to an extra one within two quarter notes. */
const nearerHand = (asked: readonly Asked[], key: Struck, heard: number, shift: Shift): Hand => {
  if (key.hand !== undefined) return key.hand;
  let [low, high] = [0, asked.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (nth(asked, middle).sounds < heard - 2) low = middle + 1;
    else high = middle;
  }
  let best: { readonly hand: Hand; readonly distance: number } = {
    hand: key.midi >= 60 ? "right" : "left",
    distance: Infinity,
  };
  for (let i = low; i < asked.length; i++) {
    const note = nth(asked, i);
    if (note.sounds > heard + 2) break;
    const distance = Math.abs(note.midi + shift[note.hand] - key.midi);
    if (distance < best.distance) best = { hand: note.hand, distance };
  }
  return best.hand;
};

const lastOf = (run: RawRun, asked: readonly Asked[]): Asked => nth(asked, nth(run.scope, -1));

const describe = (run: RawRun, before: RawRun | undefined, asked: readonly Asked[]): TakeRun => {
  const place = (note: Asked): TakeRun["from"] => ({ bar: note.bar, beat: note.beat });
  const first = nth(asked, nth(run.scope, 0));
  const last = lastOf(run, asked);
  return {
    begins: beginning(first, before === undefined ? undefined : lastOf(before, asked), asked),
    from: place(first),
    to: place(last),
    pauses: run.clock.pauses.map(({ beat, seconds }) => ({
      ...place(asked.find((note) => note.sounds >= beat - 1e-9) ?? last),
      seconds,
    })),
    tempos: run.clock.tempos.map(({ beat, tempo }) => ({ quarter: beat, tempo })),
  };
};

const beginning = (first: Asked, before: Asked | undefined, asked: readonly Asked[]): TakeRun["begins"] => {
  const [top, end] = [nth(asked, 0).sounds, nth(asked, -1).sounds];
  if (before === undefined) return first.sounds > top ? "ahead" : "start";
  if (first.sounds > before.sounds) return "ahead";
  return before.sounds > end - 1 && first.sounds < top + 1 ? "again" : "back";
};
