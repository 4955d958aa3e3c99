import * as v from "valibot";
import { DEFAULT_SEED, seedSchema } from "../ground/chance.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { firstPlace } from "../ground/list.ts";
import { COUNT_IN } from "../midi/inner.ts";
import type { PitchName } from "../pitch/index.ts";
import type { Score, TouchId, TouchRow } from "../score/index.ts";
import { makeScore, scoreEnd } from "../score/index.ts";
import { checkScore, feelShape } from "../score/inner.ts";
import type { Feel, ScorePart } from "../swing/index.ts";
import { barLength, beatsToNumber, pulseLength } from "../time/index.ts";
import { barStartInMetres, metreStretches } from "../time/inner.ts";
import type { TurnNote } from "./turn.ts";
import { turnNotes } from "./turn.ts";

/** A printed note and when it sounds; a note over a bar line has several, tied. */
export interface EngravedSpan {
  /** Its id in what `writeMusicXml` writes, which engravers carry into their pictures. */
  readonly id: string;
  readonly onsetSeconds: number;
  readonly durationSeconds: number;
}

/** One note as a player hands it to its sound. */
export interface ScheduledNote {
  /** A part of the score, or `"click"` for the clicks of a count-in. */
  readonly part: ScorePart | "click";
  /** Index of its event in that part of the score; -1 for a click. */
  readonly event: number;
  /** MIDI note number; of drums and clicks, a key of the General MIDI percussion map. */
  readonly midi: number;
  /** As it is spelled; drums and clicks have none. */
  readonly pitch?: PitchName;
  /** MIDI velocity, 1 to 127. */
  readonly velocity: number;
  /** Whether it is a grace note. */
  readonly grace: boolean;
  /** By the player's clock. */
  readonly onsetSeconds: number;
  readonly durationSeconds: number;
  /** Where it sounds, in quarter notes from the first bar line of the score, feel included. */
  readonly quarter: number;
  /** How long it sounds, in quarter notes. */
  readonly quarters: number;
  /** Which time round, from 0. */
  readonly pass: number;
  /** The printed notes to light, each with its own time. */
  readonly engraved: readonly EngravedSpan[];
}

/** Where the music is at a moment. */
export interface MusicPlace {
  /** Bar, from 1; 0 before bar 1. */
  readonly bar: number;
  /** Beat of the metre, from 1, with its fraction. */
  readonly beat: number;
  /** Quarter notes from the first bar line of the score; negative before it. */
  readonly quarter: number;
  /** Which time round, from 0. */
  readonly pass: number;
}

/** What can change while it plays. */
export interface ScheduleChange {
  /** Quarter notes a minute, 10 to 1,000. @defaultValue as it was */
  readonly tempo?: number | undefined;
  /** A feel, its name or its ratio; `"swing"` follows the tempo. @defaultValue as it was */
  readonly feel?: Feel | string | undefined;
}

/** Options of {@link schedule}. */
export interface ScheduleOptions extends ScheduleChange {
  /** When the music begins, or its count-in, by the player's clock. @defaultValue 0 */
  readonly startSeconds?: number | undefined;
  /** First and last bar, from 1. @defaultValue all, with the pickup */
  readonly bars?: readonly [from: number, to: number] | undefined;
  /** Whether it is played round and round; the pickup belongs to the first time. @defaultValue false */
  readonly loop?: boolean | undefined;
  /** Bars of clicks before, 0 to 8; a pickup sounds in the last of them. @defaultValue 0 */
  readonly countIn?: number | undefined;
  /** @defaultValue every part that the score has */
  readonly parts?: readonly ScorePart[] | undefined;
  /** As `writeMidi` has it. @defaultValue `"played"` */
  readonly touch?: TouchId | TouchRow | undefined;
  /** As `writeMidi` has it, the same every time round. @defaultValue 0 */
  readonly spreadMs?: number | undefined;
  /** @defaultValue 1 */
  readonly seed?: number | undefined;
}

/** A score in seconds. It holds no clock: it answers for whatever moments it is asked. */
export interface Schedule {
  /** Quarter notes a minute. */
  readonly tempo: number;
  readonly feel: Feel;
  /** What it begins with; of a changed one, the moment of the change. */
  readonly startSeconds: number;
  /** When its last bar ends; `Infinity` for a loop. */
  readonly endSeconds: number;
  /**
   * The notes that start from one moment to just before another, in order of time. Windows that follow one another give every note once.
   *
   * @throws MusicError `schedule/window` for moments that are no numbers, the second before the first, or further apart than 3,600 seconds
   */
  readonly between: (fromSeconds: number, toSeconds: number) => readonly ScheduledNote[];
  /** Where the music is at a moment; before its start and after its end, where it would be. */
  readonly placeAt: (seconds: number) => MusicPlace;
  /** When a place is reached, in quarter notes from the first bar line. */
  readonly secondsAt: (quarter: number, pass?: number) => number;
  /**
   * The same music from a moment on at another tempo or feel. The place stays where it is at that moment. A new feel begins with the next
   * quarter note, so that no note is lost or comes twice; grace notes and a feel that follows the tempo go with a new tempo from there as well.
   * Ask from the moment up to which notes were handed on already; what is before it belongs to the schedule that was.
   *
   * @throws MusicError `score/tempo`, `swing/feel` as `makeScore` does, `schedule/argument` for a moment before this schedule starts
   */
  readonly changed: (seconds: number, change: ScheduleChange) => Schedule;
}

const seconds = /* @__PURE__ */ (() => v.pipe(v.number(), v.minValue(-1e9), v.maxValue(1e9)))();
const bar = /* @__PURE__ */ (() => v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(10_000)))();
const changeFields = /* @__PURE__ */ (() => ({
  tempo: v.optional(v.number()),
  feel: v.optional(v.union([v.string(), feelShape])),
}))();
const changeShape = /* @__PURE__ */ (() => v.strictObject(changeFields))();
const optionsShape = /* @__PURE__ */ (() =>
  v.strictObject({
    ...changeFields,
    startSeconds: v.optional(seconds),
    bars: v.optional(v.strictTuple([bar, bar])),
    loop: v.optional(v.boolean()),
    countIn: v.optional(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(8))),
    parts: v.optional(v.pipe(v.array(v.picklist(["right", "left", "bass", "drums"])), v.maxLength(4))),
    touch: v.optional(v.unknown()),
    spreadMs: v.optional(v.unknown()),
    seed: v.optional(seedSchema),
  }))();

const PARTS = ["right", "left", "bass", "drums"] as const;
const LONGEST_WINDOW = 3600;
// How far from where it is written a note may sound, in quarter notes: the feel, a spread at the fastest tempo, a run of grace notes.
const REACH = 4;

/** What stays the same whatever the tempo and the feel. */
interface Frame {
  readonly score: Score;
  readonly options: ScheduleOptions;
  readonly parts: readonly ScorePart[];
  /** Where the first turn begins, and any other. */
  readonly first: number;
  readonly again: number;
  readonly end: number;
}

/** A note in its turn: `along` counts quarter notes from the start of the first turn, as it sounds and as it is written. */
interface Placed {
  readonly note: TurnNote;
  readonly pass: number;
  readonly along: number;
  readonly written: number;
}

interface State {
  readonly score: Score;
  readonly since: number;
  /** The place at that moment, along the way. */
  readonly at: number;
  /** Written notes from here on are this score's; what is left of those before. */
  readonly from: number;
  readonly pending: readonly Placed[];
  /** Notes after that place which sounded before the moment, as grace notes do, each with where it is written. */
  readonly gone: ReadonlyMap<string, number>;
}

/**
 * Puts a score in seconds: which notes start in any window of time, swung and struck as `writeMidi` would, with the pitch, the part and
 * the ids of the printed notes of each.
 *
 * A player asks for what starts within the next tenth of a second or so and hands it to its sound; nothing here runs by itself. A tempo or a
 * feel is changed on the way by asking for another schedule from a moment on. Work is bounded by the notes of the window.
 *
 * Tempo and repeats that you let people set are not safe for every hand: show them `CAUTION`.
 *
 * @throws MusicError `schedule/bars` for bars that the score does not have, `score/touch` for a touch that is neither known nor a row,
 * `score/tempo` for a tempo outside 10 to 1,000, `swing/feel` for no feel
 *
 * @example
 * ```ts
 * import { beats, makeScore, pitch } from "hands-together";
 * import { schedule } from "hands-together/schedule";
 *
 * const right = [0, 1].map((i) => ({ at: beats(`${i}/2`), duration: beats("1/2"), pitches: [pitch("Eb4")] }));
 * const score = makeScore({ key: "Eb", metre: "4/4", bars: 1, tempo: 60, feel: "2:1", right });
 * const playing = schedule(score, { loop: true, startSeconds: 10 });
 * playing.between(10.5, 11).map(({ pitch, onsetSeconds }) => `${pitch} ${onsetSeconds.toFixed(3)}`); // => ["Eb4 10.667"]
 * playing.changed(11, { tempo: 120 }).secondsAt(0, 1); // => 12.5
 * playing.placeAt(15); // => { bar: 1, beat: 2, quarter: 1, pass: 1 }
 * ```
 */
export function schedule(score: Score, options: ScheduleOptions = {}): Schedule {
  checkScore(score, "schedule/argument");
  check(optionsShape, options, "schedule/argument");
  const { startSeconds = 0, bars, loop = false, countIn = 0, tempo, feel } = options;
  if (bars !== undefined && !(bars[0] <= bars[1] && bars[1] <= score.bars))
    throw new MusicError({
      code: "schedule/bars",
      input: bars,
      expected: `a first bar that is not after the last, from 1 to ${score.bars}`,
    });
  const again = beatsToNumber(barStartInMetres(score, bars?.[0] ?? 1));
  const frame: Frame = {
    score,
    options: { ...options, loop },
    parts: options.parts ?? PARTS,
    first: bars === undefined ? again - beatsToNumber(score.pickup) : again,
    again,
    end: bars === undefined ? beatsToNumber(scoreEnd(score)) : beatsToNumber(barStartInMetres(score, bars[1] + 1)),
  };
  const played = inManner(score, { tempo, feel });
  const lead = countIn * beatsToNumber(barLength(score.metre)) - (countIn > 0 ? again - frame.first : 0);
  return scheduleFrom(frame, {
    score: played,
    since: startSeconds,
    at: -Math.max(0, lead),
    from: -Infinity,
    pending: clicks(frame, countIn),
    gone: new Map(),
  });
}

const inManner = (score: Score, { tempo, feel }: ScheduleChange): Score =>
  tempo === undefined && feel === undefined
    ? score
    : makeScore({ ...score, tempo: tempo ?? score.tempo, feel: feel ?? score.feel });

// A pickup sounds in the last bar of clicks, which go on under it.
const clicks = ({ score, first, again }: Frame, bars: number): readonly Placed[] => {
  const pulse = beatsToNumber(pulseLength(score.metre));
  const length = beatsToNumber(barLength(score.metre));
  return Array.from({ length: bars }, (_, b) =>
    Array.from({ length: Math.ceil(length / pulse) }, (_, p): Placed => {
      const along = again - first + (b - bars) * length + p * pulse;
      return {
        note: {
          part: "drums",
          event: -1,
          midi: p === 0 ? COUNT_IN.first : COUNT_IN.other,
          velocity: p === 0 ? 100 : 80,
          grace: false,
          written: first + along,
          at: first + along,
          lasts: 1 / 8,
          engraved: [],
        },
        pass: 0,
        along,
        written: along,
      };
    }),
  ).flat();
};

const nameOf = ({ note, pass }: Placed): string =>
  `${pass} ${note.part} ${note.event} ${note.midi} ${note.grace ? (note.engraved[0]?.id ?? note.at) : ""}`;

const scheduleFrom = (frame: Frame, state: State): Schedule => {
  const { first, again, end, options } = frame;
  const { score, since, at, from, pending, gone } = state;
  const perQuarter = 60 / score.tempo;
  const startOf = (pass: number): number => (pass === 0 ? 0 : end - first + (pass - 1) * (end - again));
  const passAt = (along: number): number =>
    along < end - first || options.loop !== true ? 0 : 1 + Math.floor((along - (end - first)) / (end - again));
  const secondsOf = (along: number): number => since + (along - at) * perQuarter;
  const alongOf = (moment: number): number => at + (moment - since) / perQuarter;

  let all: readonly TurnNote[] | undefined;
  // The notes of any one turn: the first has the pickup besides.
  const notes = (): readonly TurnNote[] => {
    const { touch = "played", spreadMs, seed = DEFAULT_SEED } = options;
    all ??= turnNotes(score, frame.parts, { touch, spreadMs, seed }).filter(
      ({ written }) => written >= first && written < end,
    );
    return all;
  };

  /** What sounds between two places along the way, or a little outside. */
  const near = (low: number, high: number): readonly Placed[] => {
    const found = pending.filter(({ along }) => along >= low && along <= high);
    const last = passAt(Math.max(0, high + REACH));
    for (let pass = passAt(Math.max(0, low - REACH)); pass <= last; pass++) {
      const shift = startOf(pass) - (pass === 0 ? first : again);
      const list = notes();
      for (let i = firstFrom(list, low - shift - REACH); i < list.length; i++) {
        const note = list[i];
        if (note === undefined || note.at + shift > high) break;
        const placed = place(note, pass, shift);
        if (placed !== undefined && placed.along >= low && placed.along <= high) found.push(placed);
      }
    }
    return found;
  };
  // What would have sounded before, a grace note of the very first beat or one that a new feel puts earlier, sounds at once.
  const place = (note: TurnNote, pass: number, shift: number): Placed | undefined => {
    const written = note.written + shift;
    if (written < from || (pass > 0 && note.written < again)) return undefined;
    const placed = { note, pass, along: Math.max(note.at + shift, pass === 0 && at <= 0 ? 0 : at), written };
    return gone.size > 0 && gone.has(nameOf(placed)) ? undefined : placed;
  };

  const told = ({ note, pass, along, written }: Placed): ScheduledNote => {
    const onsetSeconds = secondsOf(along);
    const click = note.event < 0;
    return {
      part: click ? "click" : note.part,
      event: note.event,
      midi: note.midi,
      ...(note.pitch && { pitch: note.pitch }),
      velocity: note.velocity,
      grace: note.grace,
      onsetSeconds,
      durationSeconds: note.lasts * perQuarter,
      quarter: note.written + along - written,
      quarters: note.lasts,
      pass,
      engraved: note.engraved.map(({ id, after, lasts }) => ({
        id,
        onsetSeconds: onsetSeconds + after * perQuarter,
        durationSeconds: lasts * perQuarter,
      })),
    };
  };

  const between = (fromSeconds: number, toSeconds: number): readonly ScheduledNote[] => {
    if (!(toSeconds >= fromSeconds && toSeconds - fromSeconds <= LONGEST_WINDOW && Math.abs(fromSeconds) <= 1e9))
      throw new MusicError({
        code: "schedule/window",
        input: [fromSeconds, toSeconds],
        expected: `two moments in seconds, the second not before the first, at most ${LONGEST_WINDOW} apart`,
      });
    // Which window a note falls into is told by its very seconds, so that none falls between two.
    return near(alongOf(fromSeconds) - 1e-6, alongOf(toSeconds) + 1e-6)
      .map(told)
      .filter(({ onsetSeconds }) => onsetSeconds >= fromSeconds && onsetSeconds < toSeconds)
      .sort((a, b) => a.onsetSeconds - b.onsetSeconds || a.midi - b.midi);
  };

  const placeAt = (moment: number): MusicPlace => {
    check(seconds, moment, "schedule/argument");
    const along = alongOf(moment);
    const pass = passAt(along);
    const quarter = along - startOf(pass) + (pass === 0 ? first : again);
    return { ...barAndBeat(score, quarter), quarter, pass };
  };

  const secondsAt = (quarter: number, pass = 0): number => {
    check(seconds, quarter, "schedule/argument");
    check(passShape, pass, "schedule/argument");
    return secondsOf(startOf(pass) + quarter - (pass === 0 ? first : again));
  };

  const changed = (moment: number, change: ScheduleChange): Schedule => {
    check(seconds, moment, "schedule/argument");
    check(changeShape, change, "schedule/argument");
    if (moment < since)
      throw new MusicError({ code: "schedule/argument", input: moment, expected: `a moment from ${since} s on` });
    const here = alongOf(moment);
    const pass = passAt(Math.max(0, here));
    const shift = startOf(pass) - (pass === 0 ? first : again);
    const boundary = Math.min(Math.ceil(here - shift) + shift, startOf(pass + 1));
    const around = near(here - REACH, boundary + REACH).map((one) => ({ one, handed: secondsOf(one.along) < moment }));
    const wish = { ...options, ...(change.feel !== undefined && { feel: change.feel }) };
    return scheduleFrom(
      { ...frame, options: wish },
      {
        // A feel by name is made anew for the tempo.
        score: inManner(frame.score, { tempo: change.tempo ?? score.tempo, feel: wish.feel }),
        since: moment,
        at: here,
        from: boundary,
        pending: around.filter(({ one, handed }) => !handed && one.written < boundary).map(({ one }) => one),
        gone: new Map(
          [
            ...gone,
            ...around.flatMap(({ one, handed }) => (handed ? [[nameOf(one), one.written] as const] : [])),
          ].filter(([, written]) => written >= boundary),
        ),
      },
    );
  };

  const endSeconds = options.loop === true ? Infinity : secondsOf(end - first);
  return {
    tempo: score.tempo,
    feel: score.feel,
    startSeconds: since,
    endSeconds,
    between,
    placeAt,
    secondsAt,
    changed,
  };
};

const passShape = /* @__PURE__ */ (() => v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(1e6)))();

/** The first of some notes that sounds at a place or after it. */
const firstFrom = (list: readonly TurnNote[], place: number): number => firstPlace(list, ({ at }) => at >= place);

const barAndBeat = (score: Score, quarter: number): { readonly bar: number; readonly beat: number } => {
  const stretches = metreStretches(score).map(({ at, ...rest }) => ({ ...rest, at: beatsToNumber(at) }));
  const {
    metre,
    bar: from,
    at,
  } = stretches.findLast((one) => one.at <= quarter) ?? {
    bar: 1,
    at: 0,
    metre: score.metre,
  };
  const length = beatsToNumber(barLength(metre));
  const inside = quarter - at;
  const whole = Math.floor(inside / length);
  const beat = ((inside - whole * length) * metre.unit) / 4;
  return quarter < 0 ? { bar: 0, beat: beat + 1 } : { bar: from + whole, beat: beat + 1 };
};
