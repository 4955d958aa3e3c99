import type { Hand } from "../../event/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { firstPlace, greatest, least, nth } from "../../ground/list.ts";
import type { Score } from "../../score/index.ts";
import type { Feel } from "../../swing/index.ts";
import { barLength, beatsOf, beatsToNumber, divideBeats, isCompound } from "../../time/index.ts";
import { checkAlignOptions, checkScore } from "../shapes.ts";
import type { Asked, AskedNote } from "./asked.ts";
import { askedNotes } from "./asked.ts";
import type { Clock, Heard, Pause } from "./clock.ts";
import { fitClock, median, usualPace } from "./clock.ts";
import { COST } from "./cost.ts";
import type { PlayedNote } from "./played.ts";
import { inOrder } from "./played.ts";
import type { Misread, RhythmMoment } from "./rhythm.ts";
import { MOTOR, readRhythm, warpOf } from "./rhythm.ts";
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
  /** The hand that it was played with, or both; only that is compared. */
  readonly hands: Hand | "both";
  /** Why it began: at the start, back at an earlier place, again from the top of what is practised after its end, or further ahead. */
  readonly begins: "start" | "back" | "again" | "ahead";
  /** Bar and beat of its first asked note. */
  readonly from: { readonly bar: number; readonly beat: string };
  /** Bar and beat of its last asked note. */
  readonly to: { readonly bar: number; readonly beat: string };
  /** Stops inside it: the bar and beat of the note that came late, and by how many seconds. */
  /** Durations that were played as others, each with where it begins, in quarter notes as written and as played. */
  readonly misread: readonly {
    readonly bar: number;
    readonly beat: string;
    readonly asked: number;
    readonly played: number;
  }[];
  readonly pauses: readonly { readonly bar: number; readonly beat: string; readonly seconds: number }[];
  /** The player's tempo along it, in quarter notes a minute; empty where too little was played to tell. */
  readonly tempos: readonly { readonly quarter: number; readonly tempo: number }[];
}

/** What a take is an attempt at. */
export interface Attempt {
  readonly hands: Hand | "both";
  /** First and last bar, 0 for a pickup. */
  readonly bars: { readonly from: number; readonly to: number };
  /** Whether that is all of the score in those hands. */
  readonly whole: boolean;
  /** How often it was begun at its first bar. */
  readonly times: number;
  /** Keys tapped before the first note, to count in. */
  readonly countIn: number;
  /** Indices in the take of all keys that belong to something else: counting in, trying out, playing on after the end, sounded twice. */
  readonly aside: readonly number[];
  /** How many of these a layer or a second channel sounded once more. */
  readonly doubled: number;
  /** How many of these a metronome clicked. */
  readonly clicks: number;
  /** How many of these are a trill's, beside the note that it adorns. */
  readonly ornaments: number;
}

/** Options of {@link alignTake}: what was attempted, where the caller knows. */
export interface AlignOptions {
  /** The hand that was played. @defaultValue found in the take */
  readonly hand?: Hand | "both" | undefined;
  /** The bars that were played, first and last, from 1; 0 for a pickup. @defaultValue found in the take */
  readonly bars?: readonly [from: number, to: number] | undefined;
  /** Whether they were played round and round, so that going back is no restart. @defaultValue found in the take */
  readonly loop?: boolean | undefined;
}

/** A take read as an attempt at a score. */
export interface Alignment {
  readonly kind: "alignment";
  /** Every note that the score asks for, in order of time. */
  readonly asked: readonly AskedNote[];
  /** What became of each note, run by run, in order of time. */
  readonly notes: readonly AlignedNote[];
  readonly runs: readonly TakeRun[];
  /** Indices of asked notes that no run came to, of those that were attempted. */
  readonly leftOut: readonly number[];
  /** What was attempted; nothing else is compared. */
  readonly attempt: Attempt;
  /** Semitones by which each hand was played above what is written. */
  readonly shift: Readonly<Record<Hand, number>>;
  /** The least cost of reading the keys as the score, before time is looked at. */
  readonly cost: number;
}

// Below this share of right keys the take is taken for another piece.
const LEAST_RIGHT = 0.4;
// The same where much else was played beside.
const LEAST_OF_ALL = 0.1;

/** One run before it is told to the user. */
interface RawRun {
  readonly misread: readonly { readonly beat: number; readonly asked: number; readonly played: number }[];
  readonly hands: Hand | "both";
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
 * @throws MusicError `assess/metre` for a score whose metre changes, `assess/played` for a take without notes or with figures that are none, `assess/score` for a score without notes,
 * `assess/attempt` for a hand and bars without notes, `assess/unrelated` when fewer than two in five keys can be found in the score
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
export function alignTake(score: Score, played: readonly PlayedNote[], options: AlignOptions = {}): Alignment {
  checkAlignOptions(options);
  return readTake(score, played, options).alignment;
}

/** The same, with the exact moments of what was asked. */
export const readTake = (
  score: Score,
  played: readonly PlayedNote[],
  options: AlignOptions,
): { readonly alignment: Alignment; readonly asked: readonly Asked[] } => {
  checkScore(score);
  const whole = askedNotes(score);
  const { music, clicks } = withoutClicks(whole, inOrder(played));
  const { notes: rough, doubled } = withoutDoubles(whole, music);
  const { notes: plain, ornaments } = withoutTrills(whole, rough, 60 / score.tempo);
  const ordered = clustersSorted(plain);
  // Only what the caller says was attempted is asked for; indices are those of the whole all the same.
  const pool = whole.filter((note) => isMeant(note, options));
  if (pool.length === 0) {
    throw new MusicError({
      code: "assess/attempt",
      input: options,
      expected: "a hand and bars in which the score has notes",
      reason: "cannot-be-done",
    });
  }
  const asked = pool.map((note, index): Asked => ({ ...note, index }));
  const all = struckOf(asked, ordered);
  const taps = countInOf(asked, ordered);
  const heardFrom = taps.length;
  const shift = findShift(asked, all.slice(heardFrom));
  const reading = solve(asked, all.slice(heardFrom), { jumps: true, shift });
  if (reading === undefined) throw new RangeError("a reading without a bound costs something");
  // What was played beside the score is set aside, with a key of it that happens to be the score's, then a silence; the rest is read as an
  // attempt at it.
  reading.meant.forEach((note, key) => {
    if (note >= 0 && reading.meant[key - 1] === -2 && all[key + heardFrom + 1]?.leave === COST.depart)
      reading.meant[key] = -2;
  });
  takeBack(reading, asked, all.slice(heardFrom), shift);
  const inside = [...reading.meant].flatMap((note, key) => (note === -2 ? [] : [key]));
  const first: Solution = {
    cost: reading.cost,
    meant: Int32Array.from(inside, (key) => nth(reading.meant, key)),
    jumps: reading.jumps.map((key) => firstPlace(inside, (one) => one >= key)),
  };
  const kept = inside.map((key) => nth(ordered, key + heardFrom));
  const struck = inside.map((key) => nth(all, key + heardFrom));
  const seconds = kept.map(({ note }) => note.onsetSeconds);
  const isRight = (key: number, note: number): boolean => {
    const a = nth(asked, note);
    return nth(struck, key).midi === a.midi + shift[a.hand];
  };
  requireRelated(first, isRight, ordered.length - heardFrom);
  const bar = beatsToNumber(barLength(score.metre));
  const spans = settleJumps(first, asked, seconds, isRight, runSpans(first, asked, bar));
  const lag = leftLag(asked, first.meant, seconds, isRight, spans);
  const timing = { asked, seconds, isRight, lag, step: clockStep(score) };
  const roughly = spans.map(({ from, to }): readonly Heard[] => {
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
  const paces = roughly.map(usualPace).filter((pace): pace is number => pace !== undefined);
  const pace = paces.length === 0 ? 60 / score.tempo : median(paces);
  const [top, end] = [nth(asked, 0).sounds, nth(asked, -1).sounds];
  const runs = spans.map(({ from, to }, r): RawRun => {
    const before = Array.from(first.meant.subarray(from, to));
    const times = before.filter((note) => note >= 0).map((note) => nth(asked, note).sounds);
    const start = r === 0 && (!first.jumps.includes(opening(first)) || least(times) <= top + NEARLY);
    const last = r === spans.length - 1 && (first.jumps.at(-1) !== struck.length || greatest(times) >= end - NEARLY);
    const hands =
      options.hand ??
      handsOf(asked, before, scopeOf(asked, before, start, last), (key, note) => isRight(from + key, note));
    const byHand = (note: number): boolean => hands === "both" || nth(asked, note).hand === hands;
    const scope = scopeOf(asked, before, start, last).filter(byHand);
    const heard = nth(roughly, r);
    const readBy = (clock: Clock): Solution | undefined =>
      solve(
        scope.map((note) => nth(asked, note)),
        struck.slice(from, to).map((key, i) => ({ ...key, sounds: clock.beatAt(nth(seconds, from + i)) })),
        { jumps: false, shift },
      );
    const told = rhythmOf(timing, from, before, scope, score.feel, usualPace(heard) ?? pace);
    const straight = readBy(fitClock(heard, timing.step, pace));
    const other = told.misread.length === 0 ? undefined : readBy(warpedClock(heard, told, timing.step, pace));
    // Another rhythm is believed where the notes themselves are then at least as near to their places.
    const isOther = other !== undefined && other.cost <= (straight?.cost ?? Infinity) + NO_WORSE;
    const [rhythm, again] = isOther ? [told, other] : [{ ...told, misread: [] }, straight];
    const byClock = Array.from(again?.meant ?? [], (note) => (note < 0 ? -1 : nth(scope, note)));
    // A run of few notes may have none where its clock would have them; it is what it seemed to be.
    const meant = byClock.some((note) => note >= 0) ? byClock : before;
    const better = heardMoments(timing, from, meant, () => true);
    // By the clock the run may begin later or end earlier than it seemed to.
    return {
      from,
      to,
      hands,
      scope: scopeOf(asked, meant, start, last).filter(byHand),
      meant,
      misread: rhythm.misread.map(({ index, asked: written, played: lasted }) => ({
        beat: nth(rhythm.moments, index).beat,
        asked: written,
        played: lasted,
      })),
      clock: warpedClock(better.length === 0 ? heard : better, rhythm, timing.step, pace),
    };
  });
  const told = runs.map((run, r) => tell(run, r, { asked, struck, seconds, isRight, shift, ordered: kept }));
  const hands = handsOfAll(runs);
  const come = new Set(runs.flatMap((run) => run.scope));
  const tried = [...come].map((note) => nth(asked, note).sounds);
  const [lo, hi] = [least(tried), greatest(tried)];
  const attempted = asked.filter(
    (note) =>
      (hands === "both" || note.hand === hands) &&
      ((note.sounds >= lo && note.sounds <= hi) || options.bars !== undefined || options.loop === false),
  );
  const global = (index: number): number => nth(pool, index).index;
  const silent = (run: RawRun): boolean => struck[run.from]?.jump === COST.jump;
  const begun = runs.map((run, r) => beginning(run, runs, r, asked, { lo, hi, loop: options.loop, bar, silent }));
  const outside = [...reading.meant].flatMap((note, key) => (note === -2 ? [nth(ordered, key + heardFrom).index] : []));
  const apart = new Set([...outside, ...told.flatMap(({ aside }) => aside)]);
  const asideSeconds = ordered.flatMap(({ note, index }) => (apart.has(index) ? [note.onsetSeconds] : []));
  const alignment: Alignment = {
    kind: "alignment",
    asked: whole.map(({ at: _at, ...note }) => note),
    notes: told.flatMap(({ notes }) =>
      notes.map((note) => (note.asked === undefined ? note : { ...note, asked: global(note.asked) })),
    ),
    runs: runs.map((run, r) => describe(run, nth(begun, r), asked, asideSeconds)),
    leftOut: attempted.filter((note) => !come.has(note.index)).map((note) => global(note.index)),
    shift,
    cost: first.cost,
    attempt: {
      hands,
      bars: barsOf(attempted),
      whole: attempted.length === whole.filter((note) => hands === "both" || note.hand === hands).length,
      times: 1 + begun.filter((why) => why === "again").length,
      countIn: taps.length,
      doubled: doubled.length,
      clicks: clicks.length,
      ornaments: ornaments.length,
      aside: [
        ...taps.map((key) => nth(ordered, key).index),
        ...outside,
        ...told.flatMap(({ aside }) => aside),
        ...doubled,
        ...clicks,
        ...ornaments,
      ].sort((a, b) => a - b),
    },
  };
  return { alignment, asked: whole };
};

// Within a beat of the first or the last note, a take begins or ends with the score.
const NEARLY = 1;

const isMeant = (note: Asked, { hand = "both", bars }: AlignOptions): boolean =>
  (hand === "both" || note.hand === hand) && (bars === undefined || (note.bar >= bars[0] && note.bar <= bars[1]));

const barsOf = (notes: readonly Asked[]): Attempt["bars"] => {
  const bars = notes.map((note) => note.bar);
  return { from: least(bars), to: greatest(bars) };
};

// A hand that has at least this many notes there and plays less than this share of them rests.
const FEWEST_ASKED = 2;
const LEAST_PLAYED = 0.2;

/** Which hand a run was played with. */
const handsOf = (
  asked: readonly Asked[],
  meant: readonly number[],
  scope: readonly number[],
  isRight: (key: number, note: number) => boolean,
): Hand | "both" => {
  const share = (hand: Hand): number => {
    const all = scope.filter((note) => nth(asked, note).hand === hand).length;
    const right = meant.filter((note, key) => note >= 0 && nth(asked, note).hand === hand && isRight(key, note)).length;
    return all < FEWEST_ASKED ? 1 : right / all;
  };
  const [right, left] = [share("right"), share("left")];
  if (left < LEAST_PLAYED && right >= LEAST_PLAYED) return "right";
  return right < LEAST_PLAYED && left >= LEAST_PLAYED ? "left" : "both";
};

const handsOfAll = (runs: readonly RawRun[]): Hand | "both" => {
  const [one = "both", ...others] = new Set(runs.map(({ hands }) => hands));
  return others.length === 0 ? one : "both";
};

const quantile = (sorted: readonly number[], share: number): number =>
  sorted.length === 0 ? 0 : nth(sorted, Math.floor(share * (sorted.length - 1)));

/** How many times as long as most steps the long ones are that a score itself asks for. */
const longSteps = (asked: readonly Asked[]): number => {
  const places = [...new Set(asked.map(({ sounds }) => sounds))];
  const steps = places
    .slice(1)
    .map((place, i) => place - nth(places, i))
    .sort((a, b) => a - b);
  return steps.length === 0 ? 1 : quantile(steps, 0.95) / quantile(steps, 0.75);
};

/** Takes back into the reading what was set aside between two places of the score although at least half of it is what lies between them. */
const takeBack = (reading: Solution, asked: readonly Asked[], struck: readonly Struck[], shift: Shift): void => {
  const { meant } = reading;
  for (let from = 0, to = 0; from < meant.length; from = to + 1) {
    to = from;
    if (meant[from] !== -2) continue;
    while (to < meant.length && meant[to] === -2) to++;
    const [before, after] = [meant.subarray(0, from).findLast((note) => note >= 0), meant[to]];
    if (before === undefined || after === undefined || after <= before + 1) continue;
    const between = asked.slice(before + 1, after);
    // A long stretch is no slip of the reading, and dear to read again.
    if (between.length > MOST_TAKEN_BACK || to - from > MOST_TAKEN_BACK) continue;
    const again = solve(between, struck.slice(from, to), { jumps: false, shift });
    if (again === undefined) continue;
    const right = [...again.meant].filter((note, i) => {
      const one = between[note];
      return one !== undefined && struck[from + i]?.midi === one.midi + shift[one.hand];
    }).length;
    if (2 * right < to - from || 2 * right < between.length) continue;
    meant.set(
      again.meant.map((note) => (note < 0 ? -1 : before + 1 + note)),
      from,
    );
  }
};

const MOST_TAKEN_BACK = 200;

/**
 * The keys that were struck, each with what going elsewhere before it would cost: less after a silence. For another place of the score it
 * must be longer than what is written anywhere: a note left out makes no restart.
 */
const struckOf = (asked: readonly Asked[], ordered: readonly { readonly note: PlayedNote }[]): readonly Struck[] => {
  const gaps = ordered.map(({ note }, i) =>
    i === 0 ? Infinity : note.onsetSeconds - nth(ordered, i - 1).note.onsetSeconds,
  );
  const steps = gaps.filter((gap) => gap > AT_ONCE && gap < Infinity).sort((a, b) => a - b);
  const usual = SILENCE * quantile(steps, 0.75);
  const long = usual * longSteps(asked);
  return ordered.map(({ note }, i) => ({
    midi: note.midi,
    ...(note.hand === undefined ? {} : { hand: note.hand }),
    jump: nth(gaps, i) > long ? COST.jump : COST.seamless,
    leave: nth(gaps, i) > usual ? COST.depart : COST.leave,
  }));
};

// Keys struck within so many seconds are struck at once, and a gap as many times as long as most is a silence.
const AT_ONCE = 0.04;
const SILENCE = 1.5;

/** Keys tapped evenly before the first note, to count in: one key, more often in a row than the score has it anywhere. */
const countInOf = (asked: readonly Asked[], ordered: readonly Ordered[]): readonly number[] => {
  const [first] = ordered;
  if (first === undefined) return [];
  const other = ordered.findIndex(({ note }) => note.midi !== first.note.midi);
  const same = other < 0 ? ordered.length : other;
  const rows = HANDS.map((hand) => {
    let [longest, row, before] = [0, 0, -1];
    for (const { midi, hand: own, grace } of asked) {
      if (own !== hand || grace) continue;
      row = midi === before ? row + 1 : 1;
      before = midi;
      longest = Math.max(longest, row);
    }
    return longest;
  });
  if (same <= Math.max(...rows)) return [];
  // The score's own first notes of that name, in any octave, come last.
  const start = asked.filter(({ sounds }) => sounds < nth(asked, 0).sounds + same);
  const own = HANDS.map((hand) => {
    const notes = start.filter((note) => note.hand === hand);
    const end = notes.findIndex(({ midi }) => (midi - first.note.midi) % 12 !== 0);
    return end < 0 ? notes.length : end;
  });
  const taps = same - Math.min(same, Math.max(...own));
  const gaps = Array.from(
    { length: Math.max(0, taps - 1) },
    (_, i) => nth(ordered, i + 1).note.onsetSeconds - nth(ordered, i).note.onsetSeconds,
  );
  const even = gaps.length > 0 && Math.max(...gaps) < EVEN * Math.min(...gaps);
  return even && taps <= MOST_TAPS ? Array.from({ length: taps }, (_, i) => i) : [];
};

const HANDS = ["right", "left"] as const;
// The longest gap between taps beside the shortest.
const EVEN = 1.5;
const MOST_TAPS = 8;

interface Ordered {
  readonly note: PlayedNote;
  readonly index: number;
}

/**
 * A take without a metronome that was recorded along: on a channel of its own one key or two, even in time; among the player's own keys one
 * or two that the score asks for nowhere, where it asks for nearly all others. With the indices of its clicks.
 */
const withoutClicks = (
  asked: readonly Asked[],
  all: readonly Ordered[],
): { readonly music: readonly Ordered[]; readonly clicks: readonly number[] } => {
  const channels = new Map<number, Ordered[]>();
  for (const one of all) {
    const own = channels.get(one.note.channel ?? 0);
    if (own === undefined) channels.set(one.note.channel ?? 0, [one]);
    else own.push(one);
  }
  const clicking = [...channels.values()].filter(
    (own) => new Set(own.map(({ note }) => note.midi)).size <= 2 && isMachine(own),
  );
  const found = clicking.length === channels.size ? [] : clicking.flat();
  const clicks = new Set(found.length > 0 ? found : clicksAmong(asked, all));
  if (clicks.size === 0) return { music: all, clicks: [] };
  return { music: all.filter((one) => !clicks.has(one)), clicks: [...clicks].map(({ index }) => index) };
};

/** Whether keys come as evenly as only a machine strikes. */
const isMachine = (own: readonly Ordered[]): boolean => {
  if (own.length < FEWEST_CLICKS) return false;
  const gaps = own.slice(1).map(({ note }, i) => note.onsetSeconds - nth(own, i).note.onsetSeconds);
  const usual = median(gaps);
  return gaps.every((gap) => Math.abs(gap - usual) < CLICK_EVEN * usual);
};

const clicksAmong = (asked: readonly Asked[], all: readonly Ordered[]): readonly Ordered[] => {
  const keys = new Set(asked.map(({ midi }) => midi));
  const strange = all.filter(({ note }) => !keys.has(note.midi));
  if (strange.length < FEWEST_CLICKS) return [];
  const byKey = new Map<number, Ordered[]>();
  for (const one of strange) {
    const own = byKey.get(one.note.midi);
    if (own === undefined) byKey.set(one.note.midi, [one]);
    else own.push(one);
  }
  const [most = [], second = []] = [...byKey.values()].sort((a, b) => b.length - a.length);
  const both = [...most, ...second].sort((a, b) => a.note.onsetSeconds - b.note.onsetSeconds);
  const clicks = [both, most].find(isMachine) ?? [];
  // Of a take in another key most keys are strange.
  return strange.length - clicks.length <= MOST_STRANGE * (all.length - clicks.length) ? clicks : [];
};

const MOST_STRANGE = 0.2;
const FEWEST_CLICKS = 8;
// A machine is even to a few milliseconds; two in a hundred is more than a tick of any file.
const CLICK_EVEN = 0.02;

/** Each key once where two channels or a layer sound it twice, also at the octave; the indices of the others. */
const withoutDoubles = (
  asked: readonly Asked[],
  all: readonly Ordered[],
): { readonly notes: readonly Ordered[]; readonly doubled: readonly number[] } => {
  const layered = layerOf(asked, all);
  const latest = new Map<number, number>();
  const notes: Ordered[] = [];
  const doubled: number[] = [...layered].map(({ index }) => index);
  for (const one of all) {
    if (layered.has(one)) continue;
    const before = latest.get(one.note.midi);
    if (before !== undefined && one.note.onsetSeconds - before <= DOUBLED) doubled.push(one.index);
    else {
      notes.push(one);
      latest.set(one.note.midi, one.note.onsetSeconds);
    }
  }
  return { notes, doubled };
};

/** The keys that a layer of the instrument adds: nearly every key has its octave struck in the same instant, which no score here asks for. */
const layerOf = (asked: readonly Asked[], all: readonly Ordered[]): ReadonlySet<Ordered> => {
  const none: ReadonlySet<Ordered> = new Set();
  if (all.length < FEWEST_LAYERED) return none;
  const echo = echoOf(all);
  if (echo.size > 0) return echo;
  const inOctaves = asked.filter((note, i) =>
    asked
      .slice(Math.max(0, i - 12), i + 12)
      .some((o) => o.sounds === note.sounds && Math.abs(o.midi - note.midi) % 12 === 0 && o !== note),
  );
  if (inOctaves.length > 0.5 * asked.length) return none;
  const partners = all.flatMap((one, i) => {
    const near = all.slice(Math.max(0, i - 24), i + 24);
    const partner = near.find(
      ({ note }) =>
        Math.abs(note.onsetSeconds - one.note.onsetSeconds) <= SAME_INSTANT &&
        (note.midi - one.note.midi === 12 || note.midi - one.note.midi === 24),
    );
    return partner === undefined ? [] : [{ one, partner }];
  });
  if (partners.length < LAYERED * (all.length / 2)) return none;
  const added = new Set(partners.map(({ partner }) => partner));
  const own = all.filter((one) => !added.has(one));
  // Keys of the score that happen to be an octave apart stay: what is left must still be half of what was struck.
  return own.length >= 0.4 * all.length && added.size >= 0.4 * all.length ? added : none;
};

/** The keys of every channel that repeats another one, at the octave or as it is. */
const echoOf = (all: readonly Ordered[]): ReadonlySet<Ordered> => {
  const channels = [...new Set(all.map(({ note }) => note.channel ?? 0))].sort((a, b) => a - b);
  const echo = new Set<Ordered>();
  for (const channel of channels.slice(1)) {
    const own = all.filter(({ note }) => note.channel === channel);
    const isEcho = channels.some(
      (other) =>
        other < channel &&
        [0, 12, -12, 24, -24].some((by) => {
          const of = all.filter(({ note }) => (note.channel ?? 0) === other);
          let start = 0;
          const found = own.filter(({ note }) => {
            while (start < of.length && nth(of, start).note.onsetSeconds < note.onsetSeconds - DOUBLED) start++;
            for (let i = start; i < of.length && nth(of, i).note.onsetSeconds <= note.onsetSeconds + DOUBLED; i++)
              if (nth(of, i).note.midi + by === note.midi) return true;
            return false;
          });
          return found.length >= LAYERED * own.length;
        }),
    );
    if (isEcho) for (const one of own) echo.add(one);
  }
  return echo;
};

const FEWEST_LAYERED = 16;
const LAYERED = 0.9;
// Two fingers are not that exact, time after time.
const SAME_INSTANT = 0.004;

/**
 * Of each trill that the page doesn't write out (two keys within a whole step by turns, five times or more, fast) only its main note, the first
 * stroke of the lower key.
 */
const withoutTrills = (
  asked: readonly Asked[],
  all: readonly Ordered[],
  pace: number,
): { readonly notes: readonly Ordered[]; readonly ornaments: readonly number[] } => {
  const written = writtenTrills(asked);
  const gone = new Set<Ordered>();
  all.forEach((first, i) => {
    if (gone.has(first)) return;
    for (const by of [1, 2, -1, -2]) {
      const other = first.note.midi + by;
      const low = Math.min(first.note.midi, other);
      const row = [first];
      for (let j = i + 1; j < all.length; j++) {
        const one = nth(all, j);
        if (one.note.onsetSeconds - nth(row, -1).note.onsetSeconds > TRILL_SECONDS) break;
        if (one.note.midi === (row.length % 2 === 1 ? other : first.note.midi)) row.push(one);
      }
      if (row.length < FEWEST_IN_TRILL) continue;
      const stroke = (nth(row, -1).note.onsetSeconds - first.note.onsetSeconds) / (row.length - 1);
      if (stroke > FASTER * pace * (written.get(`${low} ${Math.abs(by)}`) ?? Infinity)) continue;
      const main = row.find(({ note }) => note.midi === low);
      for (const one of row) if (one !== main) gone.add(one);
      return;
    }
  });
  if (gone.size === 0) return { notes: all, ornaments: [] };
  return { notes: all.filter((one) => !gone.has(one)), ornaments: [...gone].map(({ index }) => index) };
};

const TRILL_SECONDS = 0.2;
const FEWEST_IN_TRILL = 5;
// What the page has by turns itself is no ornament, unless it comes this much faster.
const FASTER = 0.6;

/** The pairs of keys that a hand has by turns on the page, by the lower one and the step: quarter notes a stroke, the fastest. */
const writtenTrills = (asked: readonly Asked[]): ReadonlyMap<string, number> => {
  const found = new Map<string, number>();
  for (const hand of HANDS) {
    const own = asked.filter((note) => note.hand === hand);
    own.forEach(({ midi, sounds }, i) => {
      const [next, again, last] = [own[i + 1], own[i + 2], own[i + 3]];
      if (next === undefined || again?.midi !== midi || last?.midi !== next.midi) return;
      const pair = `${Math.min(midi, next.midi)} ${Math.abs(next.midi - midi)}`;
      found.set(pair, Math.min(found.get(pair) ?? Infinity, (last.sounds - sounds) / 3));
    });
  }
  return found;
};

/** Keys of a cluster, more at once than two hands have fingers, from the lowest up: they have no order that tells anything. */
const clustersSorted = (ordered: readonly Ordered[]): readonly Ordered[] => {
  const sorted: Ordered[] = [];
  for (let from = 0, to = 0; from < ordered.length; from = to) {
    const start = nth(ordered, from).note.onsetSeconds;
    while (to < ordered.length && nth(ordered, to).note.onsetSeconds <= start + CLUSTER) to++;
    const group = ordered.slice(from, to);
    sorted.push(...(group.length > MOST_FINGERS ? group.sort((a, b) => a.note.midi - b.note.midi) : group));
  }
  return sorted;
};

const CLUSTER = 0.08;
const MOST_FINGERS = 12;

// No finger strikes a key twice within so many seconds.
const DOUBLED = 0.03;

interface Rhythm {
  readonly moments: readonly RhythmMoment[];
  readonly misread: readonly Misread[];
}

/** The durations that a run misread. Offbeats that swing tell no duration by name, so they are passed over. */
const rhythmOf = (
  timing: Timing,
  from: number,
  meant: readonly number[],
  scope: readonly number[],
  { ratio, unit }: Feel,
  pace: number,
): Rhythm => {
  const pair = unit === "eighth" ? 1 : 0.5;
  const swings = ratio.first !== ratio.second;
  const isOffbeat = ({ at }: Asked): boolean => swings && Math.abs((beatsToNumber(at) / pair) % 1) > 0.01;
  const written = scope.map((index) => nth(timing.asked, index)).filter((note) => !note.grace);
  const offbeats = new Set(written.filter(isOffbeat).map(({ sounds }) => sounds));
  const places = [...new Set(written.map(({ sounds }) => sounds))].sort((a, b) => a - b);
  const next = new Map(places.map((place, i) => [place, places[i + 1]]));
  const heard = heardMoments(timing, from, meant, () => true, true).filter(({ beat }) => !offbeats.has(beat));
  const moments = heard.map(({ beat, seconds }, i): RhythmMoment => {
    const after = next.get(beat);
    return { beat, seconds, named: after !== undefined && heard[i + 1]?.beat === after };
  });
  if (moments.length < FEWEST_FOR_RHYTHM) return { moments, misread: [] };
  const first: Rhythm = { moments, misread: readRhythm(moments, pace).misread };
  if (first.misread.length === 0) return first;
  // Who is uneven everywhere, also beside these durations, has misread none because of that: two onsets bound each interval.
  const clock = warpedClock(moments, first, timing.step, pace);
  const off = moments.map(({ beat, seconds }) => Math.abs(seconds - clock.secondsAt(beat)));
  const motor = Math.min(MOST_UNEVEN, Math.max(MOTOR, Math.SQRT2 * 1.4826 * median(off)));
  return { moments, misread: readRhythm(moments, pace, undefined, motor).misread };
};

const MOST_UNEVEN = 0.09;

const FEWEST_FOR_RHYTHM = 6;
const NO_WORSE = 0.5;

/** The clock of what was played, told in beats of the score. */
const warpedClock = (heard: readonly Heard[], { moments, misread }: Rhythm, step: number, pace: number): Clock => {
  if (misread.length === 0) return fitClock(heard, step, pace);
  const { played, written } = warpOf(moments, misread);
  const clock = fitClock(
    heard.map(({ beat, seconds }) => ({ beat: played(beat), seconds })),
    step,
    pace,
  );
  return {
    secondsAt: (beat) => clock.secondsAt(played(beat)),
    beatAt: (seconds) => written(clock.beatAt(seconds)),
    pauses: clock.pauses.map(({ beat, seconds }) => ({ beat: written(beat), seconds })),
    tempos: clock.tempos.map(({ beat, tempo }) => ({ beat: written(beat), tempo })),
  };
};

type IsRight = (key: number, note: number) => boolean;

const requireRelated = (first: Solution, isRight: IsRight, count: number): void => {
  let right = 0;
  first.meant.forEach((note, key) => {
    if (note >= 0 && isRight(key, note)) right++;
  });
  if (right > 0 && right >= LEAST_RIGHT * first.meant.length && right >= LEAST_OF_ALL * count) return;
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
  const jumps = new Set(first.jumps);
  let before: number | undefined;
  first.meant.forEach((note, key) => {
    if (note < 0) return;
    const { sounds } = nth(asked, note);
    if (before !== undefined && jumps.has(key) && (sounds <= before || sounds >= before + bar)) starts.push(key);
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
    let [longest, boundary] = [1.5 * gap(after.from), after.from];
    // A note stays before the jump.
    for (let key = after.from - 1; key > Math.max(before.from, opening(first)); key--) {
      const note = asked
        .slice(
          firstPlace(asked, (a) => a.sounds > latest - 1.01),
          firstPlace(asked, (a) => a.sounds > latest),
        )
        .findLast((a) => !met.has(a.index) && isRight(key, a.index));
      if (note === undefined) break;
      met.add(note.index);
      moved.push(note.index);
      latest = note.sounds;
      if (gap(key) > longest) [longest, boundary] = [gap(key), key];
    }
    first.meant.set(moved.slice(0, after.from - boundary).reverse(), boundary);
    before.to = boundary;
    after.from = boundary;
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
  const low = start ? -Infinity : least(times);
  const high = end ? Infinity : greatest(times);
  return asked
    .slice(
      firstPlace(asked, (note) => note.sounds >= low),
      firstPlace(asked, (note) => note.sounds > high),
    )
    .map((note) => note.index);
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
  const times = meant.filter((note) => note >= 0).map((note) => nth(asked, note).sounds);
  const [low, high] = [least(times), greatest(times)];
  // Of what lies further off than that nothing was met.
  const near = asked.slice(
    firstPlace(asked, ({ sounds }) => sounds >= low - NEAR),
    firstPlace(asked, ({ sounds }) => sounds > high + NEAR),
  );
  for (const note of near) {
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
  every = false,
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
  if (every) return all;
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
): { readonly notes: readonly AlignedNote[]; readonly aside: readonly number[] } => {
  const notes: (AlignedNote & { readonly heard: number })[] = [];
  const met = new Set<number>();
  const before = run.meant.findIndex((note) => note >= 0);
  const after = run.meant.findLastIndex((note) => note >= 0);
  const edge = (key: number): number => nth(seconds, run.from + key);
  const aside: number[] = [];
  run.meant.forEach((note, i) => {
    const key = run.from + i;
    const at = nth(seconds, key);
    const {
      note: { durationSeconds, soundingSeconds = durationSeconds },
      index: played,
    } = nth(ordered, key);
    const heard = run.clock.beatAt(at);
    const lasted = run.clock.beatAt(at + soundingSeconds) - heard;
    if (note < 0) {
      // What was played before the first note or after the last one is no slip, unless it comes with them; nor are several keys in a stop.
      const [last, next] = [
        run.meant.findLastIndex((one, k) => k < i && one >= 0),
        run.meant.findIndex((one, k) => k > i && one >= 0),
      ];
      const stopped =
        last >= 0 &&
        next >= 0 &&
        next - last > FEWEST_BESIDES &&
        run.clock.pauses.some(
          ({ beat }) =>
            beat > nth(asked, nth(run.meant, last)).sounds && beat <= nth(asked, nth(run.meant, next)).sounds + 1e-9,
        );
      if (stopped || (i < before && edge(before) - at > WITH_IT) || (i > after && at - edge(after) > WITH_IT)) {
        aside.push(played);
        return;
      }
      notes.push({
        state: "extra",
        run: r,
        hand: run.hands === "both" ? nearerHand(asked, nth(struck, key), heard, shift) : run.hands,
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
  // One key can't be struck twice at once: where both hands are to have it, it sounds for both.
  const keyOf = (note: number): string => {
    const { hand, midi, sounds } = nth(asked, note);
    return `${midi + shift[hand]} ${sounds}`;
  };
  const sounded = new Set([...met].map(keyOf));
  for (const note of run.scope) {
    if (met.has(note) || sounded.has(keyOf(note))) continue;
    const { hand, sounds } = nth(asked, note);
    notes.push({ state: "missed", run: r, hand, asked: note, heard: sounds });
  }
  return {
    notes: notes
      .sort((a, b) => a.heard - b.heard || (a.asked ?? -1) - (b.asked ?? -1))
      .map(({ heard, ...note }) => (note.state === "missed" ? note : { ...note, heard })),
    aside,
  };
};

// More keys than this in a stop are something else that was tried.
const FEWEST_BESIDES = 3;
// Seconds within which a key is struck with its neighbour.
const WITH_IT = 0.25;

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

const firstOf = (run: RawRun, asked: readonly Asked[]): Asked => nth(asked, nth(run.scope, 0));

const lastOf = (run: RawRun, asked: readonly Asked[]): Asked => nth(asked, nth(run.scope, -1));

const describe = (
  run: RawRun,
  begins: TakeRun["begins"],
  asked: readonly Asked[],
  aside: readonly number[],
): TakeRun => {
  const place = (note: Asked): TakeRun["from"] => ({ bar: note.bar, beat: note.beat });
  const last = lastOf(run, asked);
  const noteAt = (beat: number): Asked => asked[firstPlace(asked, ({ sounds }) => sounds >= beat - 1e-9)] ?? last;
  return {
    hands: run.hands,
    begins,
    from: place(firstOf(run, asked)),
    to: place(last),
    pauses: run.clock.pauses
      .filter((pause) => !isFilled(pause, run, aside) && !isRound(pause, run, asked))
      .map(({ beat, seconds }) => ({
        ...place(noteAt(beat)),
        seconds,
      })),
    misread: run.misread.map(({ beat, asked: written, played }) => ({
      ...place(noteAt(beat)),
      asked: written,
      played,
    })),
    tempos: run.clock.tempos.map(({ beat, tempo }) => ({ quarter: beat, tempo })),
  };
};

/** Whether something else was played meanwhile. */
const isFilled = ({ beat, seconds }: Pause, { clock }: RawRun, aside: readonly number[]): boolean => {
  const end = clock.secondsAt(beat);
  const first = aside[firstPlace(aside, (at) => at > end - seconds)];
  return first !== undefined && first < end;
};

/** Whether what comes after a pause is what came before it: then it was played again, which in equal music is the same as playing on. */
const isRound = ({ beat }: Pause, { clock, scope }: RawRun, asked: readonly Asked[]): boolean => {
  const place = clock.pauses.findIndex((pause) => pause.beat === beat);
  const from = clock.pauses[place - 1]?.beat ?? nth(asked, nth(scope, 0)).sounds;
  const to = clock.pauses[place + 1]?.beat ?? Infinity;
  const soundsAt = (index: number): number => nth(asked, index).sounds;
  const figure = (start: number, end: number): string =>
    scope
      .slice(
        firstPlace(scope, (index) => soundsAt(index) >= start - 1e-9),
        firstPlace(scope, (index) => soundsAt(index) >= end - 1e-9),
      )
      .map((index) => nth(asked, index))
      .map(({ hand, midi, sounds }) => `${hand} ${midi} ${(sounds - start).toFixed(3)}`)
      .join();
  const length = Math.min(beat - from, to - beat);
  return beat - from >= FEWEST_QUARTERS && figure(from, beat) === figure(beat, beat + length);
};

// Shorter figures are equal by chance.
const FEWEST_QUARTERS = 4;

interface Practised {
  /** Where what is practised begins and ends. */
  readonly lo: number;
  readonly hi: number;
  readonly loop: boolean | undefined;
  readonly bar: number;
  /** Whether a silence comes before a run. */
  readonly silent: (run: RawRun) => boolean;
}

// Notes by which two places are told to be alike.
const ALIKE = 12;
const FEWEST_ALIKE = 4;

/** Whether within a bar of where a run ended there is a place alike to where the next begins: then a few notes were passed over. */
const goesOn = (before: number, first: number, asked: readonly Asked[], bar: number): boolean => {
  const here = firstPlace(asked, ({ sounds }) => sounds >= first - 1e-9);
  const there = firstPlace(asked, ({ sounds }) => sounds > before + 1e-9);
  for (let i = there; i < asked.length && nth(asked, i).sounds <= before + bar + 1e-9; i++)
    if (isAlike(asked, here, i)) return true;
  return false;
};

/** Whether the music goes on alike from two places. */
const isAlike = (asked: readonly Asked[], here: number, there: number): boolean => {
  const count = Math.min(ALIKE, asked.length - Math.max(here, there));
  return (
    count >= FEWEST_ALIKE &&
    asked.slice(there, there + count).every(({ hand, midi, sounds }, i) => {
      const other = nth(asked, here + i);
      const apart = sounds - nth(asked, there).sounds - (other.sounds - nth(asked, here).sounds);
      return hand === other.hand && midi === other.midi && Math.abs(apart) < 1e-6;
    })
  );
};

// Quarter notes within which two runs begin, or end, at one place, and how many of such a kind are no accident.
const SAME_PLACE = 1;
// Slips at the seams move them; of several that are alike half a bar is near enough.
const NEAR_PLACE = 2.05;
const FEWEST_ROUNDS = 3;

const beginning = (
  run: RawRun,
  runs: readonly RawRun[],
  r: number,
  asked: readonly Asked[],
  { lo, hi, loop, bar, silent }: Practised,
): TakeRun["begins"] => {
  const first = firstOf(run, asked).sounds;
  if (r === 0) return first > nth(asked, 0).sounds && first > lo ? "ahead" : "start";
  const before = lastOf(nth(runs, r - 1), asked).sounds;
  if (first > before) return "ahead";
  if (loop === true) return "again";
  // From the end of what is practised to its beginning, with the other hand, or the same way back time and again: that is practising.
  if (before > hi - SAME_PLACE && first < lo + SAME_PLACE) return "again";
  // In music that comes back its beginning may be taken for another place like it.
  const placeOf = (sounds: number): number => firstPlace(asked, (note) => note.sounds >= sounds - 1e-9);
  if (before > hi - SAME_PLACE && isAlike(asked, placeOf(lo), placeOf(first))) return "again";
  if (run.hands !== nth(runs, r - 1).hands && first < lo + SAME_PLACE) return "again";
  const rounds = runs.filter(
    (other, i) =>
      i > 0 &&
      Math.abs(firstOf(other, asked).sounds - first) < NEAR_PLACE &&
      Math.abs(lastOf(nth(runs, i - 1), asked).sounds - before) < NEAR_PLACE,
  ).length;
  if (loop === undefined && rounds >= FEWEST_ROUNDS) return "again";
  return !silent(run) && goesOn(before, first, asked, bar) ? "ahead" : "back";
};
