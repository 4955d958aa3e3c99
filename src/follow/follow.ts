import * as v from "valibot";
import type { AlignOptions, AskedNote, Assessment, AssessOptions, PlayedNote } from "../assess/index.ts";
import { assessTake } from "../assess/index.ts";
import type { Shift } from "../assess/inner.ts";
import { askedNotes, checkScore } from "../assess/inner.ts";
import type { Hand } from "../event/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { MusicPlace, Schedule } from "../schedule/index.ts";
import type { Score } from "../score/index.ts";
import { barLength, beatsToNumber } from "../time/index.ts";
import { KeyFinder } from "./key-finder.ts";
import type { Music } from "./music.ts";
import { musicOf, noteFrom } from "./music.ts";
import type { Key, Step } from "./reader.ts";
import { Reader } from "./reader.ts";
import { Take } from "./take.ts";

/** What is thought of one note, asked or played. */
export interface FollowedNote {
  /**
   * `"waiting"`: asked for and not come to. `"right"`, `"wrong"`: played, with the key asked for or another. `"missed"`: passed over.
   * `"extra"`: played and not asked for. `"aside"`: something else that was played meanwhile, as counting in and trying out.
   */
  readonly state: "waiting" | "right" | "wrong" | "missed" | "extra" | "aside";
  /** Whether it is settled; what is provisional can change with the next keys. */
  readonly final: boolean;
  /** Index in the follower's `asked`; absent for what is not asked for. */
  readonly asked?: number;
  /** Index among the keys struck; absent for a missed or waiting note. */
  readonly played?: number;
  /** Which time the player began somewhere, from 0. */
  readonly run: number;
}

/** Where the player is. */
export interface FollowPlace extends Pick<MusicPlace, "bar" | "quarter"> {
  /** The player's tempo in quarter notes a minute; the score's until it is heard. */
  readonly tempo: number;
}

/** What became known with a key, or with time. */
export interface FollowReport {
  /** Notes of which something else is thought now, in order of the score, then what was not asked for. */
  readonly changes: readonly FollowedNote[];
  /** Indices of the notes that come next in each hand that plays. */
  readonly expected: readonly number[];
  readonly place: FollowPlace;
  /** Whether the player seems to be somewhere else, or playing something else. */
  readonly lost: boolean;
  /** How late the last right notes were on the band, in milliseconds, their median; absent without a band or a right note. */
  readonly lateMs?: number;
}

/** What is known of a key besides. */
export interface KeyOptions {
  /** MIDI velocity, 1 to 127. @defaultValue 64 */
  readonly velocity?: number | undefined;
  /** MIDI channel from 0; percussion (9) is not compared. @defaultValue 0 */
  readonly channel?: number | undefined;
  /** Which hand struck it, where an instrument tells. @defaultValue not known */
  readonly hand?: Hand | undefined;
}

/** Options of {@link follow}. */
export interface FollowOptions extends AlignOptions, Pick<AssessOptions, "recipe" | "most"> {
  /** What the player goes by: the schedule of the same score that is heard. @defaultValue the player's own clock */
  readonly band?: Schedule | undefined;
  /** By how much keys come late through the instrument and the sound alone, in milliseconds, -500 to 500. @defaultValue 0 */
  readonly latencyMs?: number | undefined;
}

/** A take that is being played. */
export interface Follower {
  /** Every note that the score asks for in what is attempted, in order of time. */
  readonly asked: readonly AskedNote[];
  /** A key goes down. Moments come in order. */
  readonly on: (midi: number, seconds: number, options?: KeyOptions) => FollowReport;
  /** A key comes up; nothing is wrong where that is not told. */
  readonly off: (midi: number, seconds: number, options?: KeyOptions) => void;
  /** A message as an instrument sends it, one or several: note on and off and the sustain pedal; anything else is passed over. */
  readonly bytes: (message: ArrayLike<number>, seconds: number) => FollowReport;
  /** Time goes by: with a band, what should have been played is missed. */
  readonly tick: (seconds: number) => FollowReport;
  /** What is thought of an asked note, by its index in `asked`. */
  readonly noteAt: (index: number) => FollowedNote;
  /** The keys so far, as `assessTake` takes them. */
  readonly played: () => readonly PlayedNote[];
  /** The whole take, listened to by {@link assessTake}, by the clock of the band where there is one: the last word on every note. */
  readonly end: () => Assessment;
}

const isKey = (value: unknown): value is number =>
  typeof value === "number" && Number.isInteger(value) && value >= 0 && value <= 127;
const isMoment = (value: unknown): value is number => typeof value === "number" && value >= -1e9 && value <= 1e9;
const midiShape = /* @__PURE__ */ shapeOf(isKey, "a MIDI note number from 0 to 127");
const momentShape = /* @__PURE__ */ shapeOf(isMoment, "a moment in seconds");
const keyShape = /* @__PURE__ */ (() =>
  v.strictObject({
    velocity: v.optional(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(127))),
    channel: v.optional(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(15))),
    hand: v.optional(v.picklist(["right", "left"])),
  }))();
const bar = /* @__PURE__ */ (() => v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(10_000)))();
const isSchedule = (value: unknown): value is Schedule =>
  typeof Object(value).between === "function" && typeof Object(value).placeAt === "function";
const optionsShape = /* @__PURE__ */ (() =>
  v.strictObject({
    hand: v.optional(v.picklist(["right", "left", "both"])),
    bars: v.optional(v.strictTuple([bar, bar])),
    loop: v.optional(v.boolean()),
    recipe: v.optional(v.unknown()),
    most: v.optional(v.picklist([0, 1, 2, 3])),
    band: v.optional(shapeOf(isSchedule, "a schedule")),
    latencyMs: v.optional(v.pipe(v.number(), v.minValue(-500), v.maxValue(500))),
  }))();

// Keys behind which a verdict can be settled, and after which it must be.
const LAG = 8;
const MOST_OPEN = 96;
// Below this cost a key, over the last few, the reading is believed.
const BELIEVED = 2.2;
const LISTENED = 8;
// No finger strikes a key twice within so many seconds.
const DOUBLED = 0.03;
const PERCUSSION = 9;
const LATEST = 24;

/**
 * Follows a player key by key: what each key was meant for, which notes are missed, what comes next, where the player is and how fast, through
 * repeats and restarts.
 *
 * A verdict is provisional until every reading that is still worth keeping agrees on it, some keys behind. Work for a key does not grow with the
 * score or the take. The end is the last word: it is {@link assessTake} on all that was played. Costs are those of `alignTake`.
 *
 * With a `band`, places go by its clock: what is late there is late, and what has gone by is missed. Let the player play along for a few bars
 * and give the `lateMs` that is reported as `latencyMs` from then on, so that the way through instrument and sound is no fault of the player.
 * The end tells lateness, drift and groove against it as well (`clock: "band"` of {@link assessTake}), at the tempo of the band that was given.
 *
 * @throws MusicError `assess/metre` for a score whose metre changes, `assess/score` for one without notes, `assess/attempt` for a hand and
 * bars without notes; at the end the codes of {@link assessTake}; `follow/notes` for more than a million keys
 *
 * @example
 * ```ts
 * import { beats, makeScore, pitch } from "hands-together";
 * import { follow } from "hands-together/follow";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const take = follow(makeScore({ key: "C", metre: "4/4", bars: 1, right }));
 * take.on(60, 0).changes; // => [{ state: "right", final: false, asked: 0, played: 0, run: 0 }]
 * take.bytes([0x90, 61, 80], 0.5).changes[0]?.state; // => "extra"
 * take.on(63, 1).expected; // => [3]
 * take.noteAt(1).state; // => "wrong"
 * ```
 */
export function follow(score: Score, options: FollowOptions = {}): Follower {
  checkScore(score);
  check(optionsShape, options, "follow/argument");
  const { band, latencyMs = 0, hand, bars, loop, recipe, most } = options;
  const asked = askedNotes(score).filter(
    (note) =>
      (hand === undefined || hand === "both" || note.hand === hand) &&
      (bars === undefined || (note.bar >= bars[0] && note.bar <= bars[1])),
  );
  if (asked.length === 0)
    throw new MusicError({
      code: "assess/attempt",
      input: options,
      expected: "a hand and bars in which the score has notes",
      reason: "cannot-be-done",
    });
  const music = musicOf(asked.map((note, index) => ({ ...note, index })));
  const told = music.asked.map(({ at: _, ...note }) => note);
  const latency = latencyMs / 1000;
  return new Following(music, told, score, { band, latency }, (played) =>
    assessTake(score, played, { hand, bars, loop, recipe, most, ...(band && clockOf(band, latency)) }),
  ).asFollower();
}

/** The clock of a band as {@link assessTake} takes it. */
const clockOf = (band: Schedule, latency: number): AssessOptions => ({
  clock: "band",
  startSeconds: band.secondsAt(0) + latency,
  bandTempo: band.tempo,
});

interface BandClock {
  readonly band: Schedule | undefined;
  readonly latency: number;
}

type Verdict = Omit<FollowedNote, "final">;

class Following {
  private reader: Reader;
  /** In which key and octave it is played. */
  private readonly key: KeyFinder;
  private readonly take = new Take();
  private readonly states: FollowedNote[];
  /** What is thought of notes that are not settled, by name. */
  private open = new Map<string, Verdict>();
  private readonly costs: number[] = [];
  private readonly latest = new Map<number, number>();
  private readonly late: number[] = [];
  private run = 0;
  /** The last note that was settled as played, in quarter notes. */
  private settledAt: number | undefined;
  private pass = 0;
  private readonly bar: number;

  constructor(
    private readonly music: Music,
    private readonly told: readonly AskedNote[],
    score: Score,
    private readonly clock: BandClock,
    private readonly assess: (played: readonly PlayedNote[]) => Assessment,
  ) {
    this.bar = beatsToNumber(barLength(score.metre));
    this.states = told.map((_, asked) => ({ state: "waiting", final: false, asked, run: 0 }));
    const beatAt = clock.band === undefined ? undefined : (seconds: number) => this.placeOf(seconds).quarter;
    const make = (shift: Shift, most?: number): Reader => new Reader(music, 60 / score.tempo, beatAt, shift, most);
    this.reader = make({ right: 0, left: 0 });
    this.key = new KeyFinder(music, make);
  }

  asFollower(): Follower {
    return {
      asked: this.told,
      on: (midi, seconds, options = {}) => {
        check(midiShape, midi, "follow/argument");
        check(momentShape, seconds, "follow/argument");
        check(keyShape, options, "follow/argument");
        return this.on(midi, seconds, options);
      },
      off: (midi, seconds, options = {}) => {
        check(midiShape, midi, "follow/argument");
        check(momentShape, seconds, "follow/argument");
        check(keyShape, options, "follow/argument");
        this.take.off(midi, seconds, options.channel ?? 0);
      },
      bytes: (message, seconds) => {
        check(momentShape, seconds, "follow/argument");
        return this.bytes(message, seconds);
      },
      tick: (seconds) => {
        check(momentShape, seconds, "follow/argument");
        this.goBy(seconds);
        return this.report(seconds);
      },
      noteAt: (index) => this.noteAt(index),
      played: () => this.take.played(),
      end: () => this.assess(this.take.played()),
    };
  }

  private placeOf(seconds: number): MusicPlace {
    const { band, latency } = this.clock;
    return band === undefined ? { bar: 0, beat: 1, quarter: 0, pass: 0 } : band.placeAt(seconds - latency);
  }

  private on(midi: number, seconds: number, { velocity = 64, channel, hand }: KeyOptions): FollowReport {
    if (seconds < this.take.latest - 1)
      throw new MusicError({
        code: "follow/argument",
        input: seconds,
        expected: `a moment after ${this.take.latest} s`,
      });
    const index = this.take.on({
      midi,
      onsetSeconds: seconds,
      velocity,
      ...(channel !== undefined && { channel }),
      ...(hand !== undefined && { hand }),
    });
    const before = this.latest.get(midi) ?? -Infinity;
    this.latest.set(midi, seconds);
    if (channel === PERCUSSION || seconds - before <= DOUBLED) return this.report(seconds);
    this.goBy(seconds);
    this.hear({ index, midi, seconds, hand });
    return this.report(seconds);
  }

  private hear(key: Key): void {
    if (!this.key.isSettled) {
      const shifted = this.key.hear(key, this.reader);
      if (shifted !== undefined) {
        this.reader = shifted;
        this.costs.length = 0;
      }
    }
    const before = this.reader.worth;
    this.reader.hear(key);
    this.costs.push(this.reader.worth - before);
    if (this.costs.length > LISTENED) this.costs.shift();
    this.listenToBand(key);
  }

  private listenToBand({ seconds }: Key): void {
    const step = this.reader.best.step;
    if (this.clock.band === undefined || step === undefined || step.note < 0) return;
    const { quarter, pass } = this.placeOf(seconds);
    const { sounds } = nth(this.music.asked, step.note);
    const { band, latency } = this.clock;
    if (Math.abs(quarter - sounds) > 1) return;
    this.late.push(1000 * (seconds - latency - band.secondsAt(sounds, pass)));
    if (this.late.length > LATEST) this.late.shift();
  }

  /** What the band has left behind by more than a quarter note is missed; when it comes to the top, so does the player. */
  private goBy(seconds: number): void {
    if (this.clock.band === undefined) return;
    const { quarter, pass } = this.placeOf(seconds);
    if (pass > this.pass) {
      this.reader.pass(Infinity);
      for (; this.pass < pass; this.pass++) this.reader.again();
    }
    this.reader.pass(quarter - 1);
  }

  private bytes(message: ArrayLike<number>, seconds: number): FollowReport {
    const bytes = readMessage(message);
    let report: FollowReport | undefined;
    for (let i = 0; i < bytes.length; ) {
      const [status = 0, one = 0, two = 0] = bytes.slice(i, i + 3);
      const [kind, channel] = [status & 0xf0, status & 0x0f];
      if (kind === 0x90 && two > 0) report = this.on(one & 0x7f, seconds, { velocity: two & 0x7f, channel });
      else if (kind === 0x80 || kind === 0x90) this.take.off(one & 0x7f, seconds, channel);
      else if (kind === 0xb0 && one === 64) this.take.pedal(two >= 64, seconds, channel);
      i++;
      while (i < bytes.length && nth(bytes, i) < 0x80) i++;
    }
    return report ?? this.report(seconds);
  }

  private noteAt(index: number): FollowedNote {
    const settled = this.states[index];
    if (settled === undefined)
      throw new MusicError({
        code: "follow/argument",
        input: index,
        expected: `an index from 0 to ${this.states.length - 1}`,
      });
    const open = this.open.get(`a${index}`);
    return open === undefined ? settled : { ...open, final: false };
  }

  private report(seconds: number): FollowReport {
    const changes = new Map<string, FollowedNote>();
    const mean = this.costs.reduce((sum, cost) => sum + cost, 0) / Math.max(1, this.costs.length);
    const lost = this.reader.isAway || mean > BELIEVED;
    const sure = !lost && this.costs.length >= LISTENED && this.key.isSettled;
    const { steps, forced } = this.reader.settle(sure ? LAG : MOST_OPEN, MOST_OPEN);
    for (const [name, verdict] of this.verdicts(steps, true)) {
      const final: FollowedNote = { ...verdict, final: !forced };
      if (verdict.asked !== undefined) this.states[verdict.asked] = final;
      changes.set(name, final);
    }
    const open = this.verdicts(this.reader.open(), false);
    for (const [name, verdict] of open) {
      const before = this.open.get(name);
      if (before === undefined || !same(before, verdict)) changes.set(name, { ...verdict, final: false });
    }
    for (const [name, { asked, played, run }] of this.open) {
      if (open.has(name) || changes.has(name)) continue;
      // What was thought of it is taken back.
      if (asked !== undefined) changes.set(name, nth(this.states, asked));
      else if (played !== undefined) changes.set(name, { state: "waiting", final: false, played, run });
    }
    this.open = open;
    const { best } = this.reader;
    const { right, left } = this.music;
    const expected = [
      ...(right.moments[best.right] ?? []).filter((_, bit) => (best.rightMet & (1 << bit)) === 0),
      ...(left.moments[best.left] ?? []).filter((_, bit) => (best.leftMet & (1 << bit)) === 0),
    ].sort((a, b) => a - b);
    const late = [...this.late].sort((a, b) => a - b)[this.late.length >> 1];
    return {
      changes: [...changes.values()].sort(
        (a, b) => (a.asked ?? Infinity) - (b.asked ?? Infinity) || (a.played ?? 0) - (b.played ?? 0),
      ),
      expected,
      place: this.place(seconds),
      lost,
      ...(late !== undefined && { lateMs: late }),
    };
  }

  private place(seconds: number): FollowPlace {
    const { band } = this.clock;
    const { best } = this.reader;
    const quarter =
      band !== undefined
        ? this.placeOf(seconds).quarter
        : best.seconds === -Infinity
          ? best.beat
          : best.beat + Math.min(this.bar, (seconds - best.seconds) / best.pace);
    return { quarter, bar: quarter < 0 ? 0 : 1 + Math.floor(quarter / this.bar), tempo: band?.tempo ?? 60 / best.pace };
  }

  /** What steps say of notes, later ones last; those of settled steps move the run on. */
  private verdicts(steps: readonly Step[], settle: boolean): Map<string, Verdict> {
    const found = new Map<string, Verdict>();
    let [run, at] = [this.run, this.settledAt];
    const miss = (note: number): void => {
      // A key that both hands are to strike at once sounds for both.
      const heard = this.twins(note).some((twin) => (found.get(`a${twin}`) ?? this.states[twin])?.state === "right");
      found.set(`a${note}`, { state: heard ? "right" : "missed", asked: note, run });
    };
    const isTold = (note: number): boolean => {
      const { state, run: own } = nth(this.states, note);
      return found.has(`a${note}`) || (own === run && state !== "waiting");
    };
    const { asked } = this.music;
    for (const { key, note, right, skipped, jump } of steps) {
      const sounds = asked[note]?.sounds;
      if (jump && at !== undefined) {
        const isAhead = sounds !== undefined && sounds > at && sounds < at + this.bar;
        if (!isAhead) run++;
        // Less than a bar further on, what lies between was left out.
        else
          for (let i = noteFrom(asked, at + 1e-9); (asked[i]?.sounds ?? Infinity) < sounds; i++)
            if (!isTold(i)) miss(i);
      }
      skipped.forEach(miss);
      if (sounds !== undefined) {
        found.set(`a${note}`, { state: right ? "right" : "wrong", asked: note, played: key, run });
        at = sounds;
      } else if (key >= 0) found.set(`p${key}`, { state: note === -2 ? "aside" : "extra", played: key, run });
    }
    if (settle) [this.run, this.settledAt] = [run, at];
    return found;
  }

  /** The notes on the same key at the same moment. */
  private twins(note: number): readonly number[] {
    const { asked } = this.music;
    const { sounds, midi } = nth(asked, note);
    const found: number[] = [];
    for (let i = noteFrom(asked, sounds); asked[i]?.sounds === sounds; i++)
      if (i !== note && asked[i]?.midi === midi) found.push(i);
    return found;
  }
}

const same = (a: Verdict, b: Verdict): boolean => a.state === b.state && a.played === b.played && a.run === b.run;

const MOST_BYTES = 1024;

const readMessage = (message: unknown): readonly number[] => {
  const { length }: Partial<ArrayLike<unknown>> = Object(message);
  if (typeof message === "string" || typeof length !== "number" || !(length >= 0 && length <= MOST_BYTES))
    throw new MusicError({ code: "follow/argument", input: message, expected: `at most ${MOST_BYTES} bytes` });
  const bytes = Array.from(Object(message), Number);
  if (!bytes.every((byte) => Number.isInteger(byte) && byte >= 0 && byte <= 255))
    throw new MusicError({ code: "follow/argument", input: message, expected: "bytes from 0 to 255" });
  return bytes;
};
