import type { Finger } from "../event/index.ts";
import type { Chance } from "../ground/chance.ts";
import { chanceOf, DEFAULT_SEED } from "../ground/chance.ts";
import { known, nth } from "../ground/list.ts";
import type { Score } from "../score/index.ts";
import { DEFAULT_VELOCITY, scoreEnd } from "../score/index.ts";
import { parseSwingRatio, partFeel, soundingSpan } from "../swing/index.ts";
import { barLength, beatsToNumber } from "../time/index.ts";
import type { Asked } from "./align/asked.ts";
import { askedNotes } from "./align/asked.ts";
import type { PlayedNote } from "./align/played.ts";
import { checkFaults, checkScore } from "./shapes.ts";

/** Options of {@link simulateTake}: what the student gets wrong; nothing by default. */
export interface SimulateTakeOptions {
  /** Whole number from 0 to 4,294,967,295 that settles all chance. @defaultValue 1 */
  readonly seed?: number | undefined;
  /** Quarter notes a minute at the start. @defaultValue the score's */
  readonly tempo?: number | undefined;
  /** Tempo at the end as a multiple of that at the start: 1.2 rushes. @defaultValue 1 */
  readonly drift?: number | undefined;
  /** How far the tempo sways, as a share of itself, over eight bars of four. @defaultValue 0 */
  readonly wander?: number | undefined;
  /** Standard deviation of each onset, in milliseconds. @defaultValue 0 */
  readonly jitterMs?: number | undefined;
  /** Share of notes struck a half or whole step off. @defaultValue 0 */
  readonly wrong?: number | undefined;
  /** Share of notes left out. @defaultValue 0 */
  readonly missed?: number | undefined;
  /** Share of notes after which a neighbouring key sounds too. @defaultValue 0 */
  readonly extra?: number | undefined;
  /** Indices of asked notes that are struck wrong for certain. @defaultValue none */
  readonly wrongAt?: readonly number[] | undefined;
  /** How often the student stops and goes back one or two bars. @defaultValue 0 */
  readonly restarts?: number | undefined;
  /** How often the student stops for one or two seconds and goes on. @defaultValue 0 */
  readonly pauses?: number | undefined;
  /** How late the left hand is, in milliseconds; negative when early. @defaultValue 0 */
  readonly lateLeftMs?: number | undefined;
  /** The ratio that is swung instead of the one asked for. @defaultValue the score's */
  readonly swing?: string | undefined;
  /** Standard deviation of offbeats, as a share of the beat. @defaultValue 0 */
  readonly swingSpread?: number | undefined;
  /** By what share of the beat the second and third of three triplets come late; negative when early. @defaultValue 0 */
  readonly tripletLean?: number | undefined;
  /** How much of a note of a beat or more is held, as a share. @defaultValue 1 */
  readonly held?: number | undefined;
  /** Time from the first to the last key of a chord, in milliseconds. @defaultValue 0 */
  readonly chordSpreadMs?: number | undefined;
  /** Standard deviation of velocities. @defaultValue 0 */
  readonly velocitySpread?: number | undefined;
  /** A finger that strikes harder than the others, and by how much velocity. @defaultValue none */
  readonly loudFinger?: { readonly finger: Finger; readonly by: number } | undefined;
  /** Semitones by which everything is played too high. @defaultValue 0 */
  readonly transpose?: number | undefined;
}

/** A take by a simulated student, and what was done to it. */
export interface SimulatedTake {
  readonly kind: "simulated-take";
  /** In order of time. */
  readonly played: readonly PlayedNote[];
  /** By played note: index of the asked note that was meant, as `alignTake` counts them, or -1 for an extra note. */
  readonly meant: readonly number[];
  /** Asked notes struck wrong, in the order in which that happened. */
  readonly wrong: readonly number[];
  /** Asked notes left out. */
  readonly missed: readonly number[];
  /** Bars to which the student went back. */
  readonly restarts: readonly number[];
  /** Bars before or in which the student stopped. */
  readonly pauses: readonly number[];
}

const GRACE = 1 / 12;

/**
 * Plays a score as a student might, with known faults: for tests of an assessment, and for trying one out. The same seed gives the
 * same take.
 *
 * @throws MusicError `assess/metre` for a score whose metre changes, `assess/faults` when a share, a tempo or a count is out of range, `swing/ratio` for no ratio
 *
 * @example
 * ```ts
 * import { beats, makeScore, metre, parseKey, pitch, simulateTake } from "hands-together";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
 * simulateTake(score, { tempo: 60 }).played.map((note) => note.onsetSeconds); // => [0, 1, 2, 3]
 * simulateTake(score, { wrong: 2 }); // throws "assess/faults"
 * ```
 */
export function simulateTake(score: Score, options: SimulateTakeOptions = {}): SimulatedTake {
  checkScore(score);
  checkFaults(options);
  const chance = chanceOf(options.seed ?? DEFAULT_SEED);
  const asked = askedNotes(score);
  const timeAt = tempoTime(score, options);
  const sounds = asked.map((note) => placeOf(score, options, note));
  const out: Out = { played: [], wrong: [], missed: [] };
  const segments = plan(score, options, chance);
  let shift = 0;
  let next = 0;
  for (const segment of segments) {
    shift = next - timeAt(segment.from) + segment.wait;
    const inside = asked.filter((note) => note.sounds >= segment.from - 1e-9 && note.sounds < segment.to - 1e-9);
    playAll(
      score,
      options,
      chance,
      inside,
      (note) => shift + timeAt(nth(sounds, note.index)),
      (beat) => shift + timeAt(beat),
      out,
    );
    next = shift + timeAt(segment.to);
  }
  const least = out.played.reduce((low, { note }) => Math.min(low, note.onsetSeconds), 0);
  const ordered = out.played
    .map(({ note, meant }) => ({ note: { ...note, onsetSeconds: note.onsetSeconds - least }, meant }))
    .sort((a, b) => a.note.onsetSeconds - b.note.onsetSeconds || a.note.midi - b.note.midi);
  return {
    kind: "simulated-take",
    played: ordered.map(({ note }) => note),
    meant: ordered.map(({ meant }) => meant),
    wrong: out.wrong,
    missed: out.missed,
    restarts: segments.filter((segment) => segment.kind === "back").map((segment) => segment.bar),
    pauses: segments.filter((segment) => segment.kind === "pause").map((segment) => segment.bar),
  };
}

interface Out {
  readonly played: { readonly note: PlayedNote; readonly meant: number }[];
  readonly wrong: number[];
  readonly missed: number[];
}

/** Seconds at a quarter note, under drift and sway. */
const tempoTime = (score: Score, faults: SimulateTakeOptions): ((beat: number) => number) => {
  const { tempo = score.tempo, drift = 1, wander = 0 } = faults;
  const start = -beatsToNumber(score.pickup);
  const end = beatsToNumber(scoreEnd(score)) + 1;
  const grain = 1 / 16;
  const sums = [0];
  for (let at = start; at <= end; at += grain) {
    const middle = at + grain / 2;
    const speed = tempo * drift ** (middle / (end - 1)) * (1 + wander * Math.sin((2 * Math.PI * middle) / 32));
    sums.push(nth(sums, -1) + (60 * grain) / speed);
  }
  return (beat) => {
    const x = (beat - start) / grain;
    const i = Math.floor(x);
    const [from, to] = [nth(sums, i), nth(sums, i + 1)];
    return from + (to - from) * (x - i);
  };
};

/** Where a note sounds if it is swung as the student swings. */
const placeOf = (score: Score, faults: SimulateTakeOptions, note: Asked): number => {
  const own = partFeel(score.feel, note.hand);
  const feel = faults.swing === undefined ? own : { ...own, ratio: parseSwingRatio(faults.swing) };
  const event = nth(score[note.hand], note.event);
  const place = beatsToNumber(soundingSpan(feel, event).at);
  return place + (note.at.den === 3 ? (faults.tripletLean ?? 0) : 0);
};

interface Segment {
  readonly kind: "start" | "back" | "pause";
  readonly from: number;
  readonly to: number;
  readonly wait: number;
  readonly bar: number;
}

/** The stretches in which the student plays: a stop lies at the start of a beat inside the piece. */
const plan = (score: Score, faults: SimulateTakeOptions, chance: Chance): readonly Segment[] => {
  const bar = beatsToNumber(barLength(score.metre));
  const end = beatsToNumber(scoreEnd(score));
  const { restarts = 0, pauses = 0 } = faults;
  const kinds: readonly ("back" | "pause")[] = [
    ...Array.from({ length: restarts }, () => "back" as const),
    ...Array.from({ length: pauses }, () => "pause" as const),
  ];
  // Evenly spread, each somewhere in its own part of the piece, so that no two meet.
  const stops = kinds
    .map((kind) => ({ kind, order: chance.share() }))
    .sort((a, b) => a.order - b.order)
    .map(({ kind }, i) => ({
      kind,
      at: Math.floor(bar + ((end - bar) * (i + 0.2 + 0.6 * chance.share())) / kinds.length),
    }))
    .filter(({ at }) => at < end);
  const segments: Segment[] = [];
  let from = -beatsToNumber(score.pickup);
  let [kind, wait]: [Segment["kind"], number] = ["start", 0];
  const close = (to: number): void => {
    segments.push({ kind, from, to, wait, bar: Math.floor(from / bar) + 1 });
  };
  for (const stop of stops) {
    close(stop.at);
    kind = stop.kind;
    wait = kind === "pause" ? 1 + chance.share() : 0.3 + chance.share();
    from =
      kind === "pause" ? stop.at : Math.max(0, (Math.floor(stop.at / bar) - 1 - Math.floor(2 * chance.share())) * bar);
  }
  close(end + 1);
  return segments;
};

const playAll = (
  score: Score,
  faults: SimulateTakeOptions,
  chance: Chance,
  notes: readonly Asked[],
  onset: (note: Asked) => number,
  time: (beat: number) => number,
  out: Out,
): void => {
  const {
    jitterMs = 0,
    lateLeftMs = 0,
    held = 1,
    chordSpreadMs = 0,
    velocitySpread = 0,
    loudFinger,
    swingSpread = 0,
    transpose = 0,
  } = faults;
  const sure = new Set(faults.wrongAt);
  const isOffbeat = (note: Asked): boolean => note.at.den === (score.feel.unit === "eighth" ? 2 : 4);
  const spreads = new Map<string, number>();
  const momentOf = (note: Asked): string => `${note.hand} ${note.sounds}`;
  const chords = new Map<string, Asked[]>();
  for (const note of notes) {
    if (!note.grace) chords.set(momentOf(note), [...(chords.get(momentOf(note)) ?? []), note]);
  }
  for (const note of notes) {
    const moment = momentOf(note);
    const together = known(chords.get(moment));
    const lean = spreads.get(moment) ?? (isOffbeat(note) ? swingSpread * chance.normal() : 0);
    spreads.set(moment, lean);
    const rolled =
      together.length > 1 && !note.grace
        ? (chordSpreadMs / 1000) * (together.indexOf(note) / (together.length - 1))
        : 0;
    const length = time(note.sounds + note.lasts) - time(note.sounds);
    const beat = time(note.sounds + 1) - time(note.sounds);
    const at =
      onset(note) +
      (lean - (note.grace ? GRACE : 0)) * beat +
      (note.hand === "left" ? lateLeftMs / 1000 : 0) +
      rolled +
      (jitterMs / 1000) * chance.normal();
    const isMissed = chance.share() < (faults.missed ?? 0);
    const isWrong = chance.share() < (faults.wrong ?? 0) || sure.has(note.index);
    const hasExtra = chance.share() < (faults.extra ?? 0);
    const [step, side] = [chance.share() < 0.5 ? 1 : 2, chance.share() < 0.5 ? 1 : -1];
    if (isMissed) {
      out.missed.push(note.index);
      continue;
    }
    const event = nth(score[note.hand], note.event);
    const loud = loudFinger !== undefined && note.finger === loudFinger.finger ? loudFinger.by : 0;
    const accent = event.articulation === "accent" ? 16 : 0;
    const velocity = clampVelocity(
      (event.velocity ?? DEFAULT_VELOCITY[note.hand]) + accent + loud + velocitySpread * chance.normal(),
    );
    const off = isWrong ? freeStep(note.midi, step * side, together) : 0;
    if (isWrong) out.wrong.push(note.index);
    const durationSeconds = Math.max(0.02, length * (note.lasts >= 1 ? held : Math.min(1, held + 0.4)) - 0.01);
    out.played.push({
      note: { onsetSeconds: at, durationSeconds, midi: note.midi + off + transpose, velocity },
      meant: note.index,
    });
    if (hasExtra) {
      const slip = freeStep(note.midi, -step * side, together);
      out.played.push({
        note: {
          onsetSeconds: at + 0.02 + 0.1 * chance.share(),
          durationSeconds: 0.06,
          midi: note.midi + slip + transpose,
          velocity: clampVelocity(velocity - 20),
        },
        meant: -1,
      });
    }
  }
};

const clampVelocity = (velocity: number): number => Math.max(1, Math.min(127, Math.round(velocity)));

/** A step off a key that hits no other key of the chord. */
const freeStep = (midi: number, step: number, together: readonly Asked[]): number =>
  [step, -step, 2 * Math.sign(step), 3 * Math.sign(step), 5 * Math.sign(step)].find((by) =>
    together.every((note) => note.midi !== midi + by),
  ) ?? step;
