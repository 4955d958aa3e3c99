import * as v from "valibot";
import type { Finger, Hand, NoteEvent, TimeSpan } from "../event/index.ts";
import { check } from "../ground/check.ts";
import type { MusicErrorCode } from "../ground/errors.ts";
import { MusicError } from "../ground/errors.ts";
import { allow, step } from "../ground/watch.ts";
import type { Key } from "../pitch/index.ts";
import { comparePitches, parseKey, pitchName } from "../pitch/index.ts";
import type { ChordSpan, WrittenForm } from "../progression/index.ts";
import type { Feel } from "../swing/index.ts";
import { feelFor, straight } from "../swing/index.ts";
import type { Beats, Metre, MetreChange } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  floorBeats,
  formatBeats,
  multiplyBeats,
  parseMetre,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { InMetres } from "../time/inner.ts";
import { barStartInMetres, metreStretches } from "../time/inner.ts";
import { isFinger, metreShape, metresShape, scoreInputShape, scoreShape } from "./check.ts";

/** One stroke on a percussion instrument. */
export interface DrumEvent extends TimeSpan {
  /** Note number of the General MIDI percussion map, 35 to 81; 51 is the ride cymbal. */
  readonly midi: number;
  /** MIDI velocity, 1 to 127; the writer's default where absent. */
  readonly velocity?: number;
}

/** A score for two hands, with what plays along: exact written time, spelled pitches, nothing about paper. */
export interface Score {
  readonly kind: "score";
  /** Version of this shape and of its JSON. */
  readonly version: 1;
  /** Printed above the music; may be empty. */
  readonly title: string;
  readonly key: Key;
  /** The metre of the first bar, and of every bar unless `metres` says otherwise. */
  readonly metre: Metre;
  /** Changes of metre on the way, in order; absent for none. */
  readonly metres?: readonly MetreChange[];
  /** Quarter notes a minute. */
  readonly tempo: number;
  /** How written time sounds. */
  readonly feel: Feel;
  /** Length before bar 1, shorter than a bar; 0 for none. What lies there has a negative `at`. */
  readonly pickup: Beats;
  /** Full bars; the pickup is not counted. */
  readonly bars: number;
  /** Chord symbols in order of time, one at a time. */
  readonly chords: readonly ChordSpan[];
  /** The right hand in order of time. */
  readonly right: readonly NoteEvent[];
  /** The left hand in order of time. */
  readonly left: readonly NoteEvent[];
  /** A bass player's part. */
  readonly bass?: readonly NoteEvent[];
  /** A drummer's part. */
  readonly drums?: readonly DrumEvent[];
  /** Phrases of the right hand, printed as slurs. */
  readonly phrases?: readonly TimeSpan[];
  /** How its bars are written: sections, repeats, endings and jumps, and the order in which they are played; absent for bars without signs. */
  readonly form?: WrittenForm;
  /** The recipe that the score was made from: an object of plain JSON, at most a million characters. */
  readonly recipe?: Readonly<Record<string, unknown>>;
}

/** What {@link makeScore} builds a score from. */
export interface ScoreInput {
  /** A key, or its name, such as `"Eb"`. */
  readonly key: Key | string;
  /** A metre, or its signature, such as `"4/4"`. */
  readonly metre: Metre | string;
  /** Changes of metre from bar 2 on, in order. @defaultValue none */
  readonly metres?: readonly MetreChange[] | undefined;
  /** Full bars, 1 to 10,000. */
  readonly bars: number;
  /** At most 1,000 characters. @defaultValue `""` */
  readonly title?: string | undefined;
  /** Quarter notes a minute, 10 to 1,000. @defaultValue 120 */
  readonly tempo?: number | undefined;
  /** A feel, its name or its ratio, or `"swing"` after the tempo; straight where the metre has no pairs to swing, see `feelFor`. @defaultValue straight */
  readonly feel?: Feel | string | undefined;
  /** Length before bar 1, shorter than a bar; part of a tuplet is rounded up to whole counts of the metre. @defaultValue 0 */
  readonly pickup?: Beats | undefined;
  /** @defaultValue none */
  readonly chords?: readonly ChordSpan[] | undefined;
  /** At most 200,000 events, as each part. @defaultValue none: the hand rests */
  readonly right?: readonly NoteEvent[] | undefined;
  /** @defaultValue none: the hand rests */
  readonly left?: readonly NoteEvent[] | undefined;
  /** @defaultValue no bass player */
  readonly bass?: readonly NoteEvent[] | undefined;
  /** @defaultValue no drummer */
  readonly drums?: readonly DrumEvent[] | undefined;
  /** @defaultValue none */
  readonly phrases?: readonly TimeSpan[] | undefined;
  /** How its bars are written; of each bar that is played the bar that is written. @defaultValue as they are played, without signs */
  readonly form?: WrittenForm | undefined;
  /** An object of plain JSON, kept as it is. @defaultValue none */
  readonly recipe?: Readonly<Record<string, unknown>> | undefined;
}

/** The parts of a score that hold pitched notes. */
export type PitchedPart = Hand | "bass";

/**
 * The moment at which a score ends, in quarter notes from the first bar line.
 *
 * @example
 * ```ts
 * import { makeScore, metre, parseKey } from "hands-together";
 * import { scoreEnd } from "hands-together/score";
 *
 * scoreEnd(makeScore({ key: parseKey("C"), metre: metre("3/4"), bars: 4 })); // => { num: 12, den: 1 }
 * ```
 */
export function scoreEnd(score: Pick<Score, "bars" | "metre" | "metres">): Beats {
  check(endShape, score, "score/argument");
  return barStartInMetres(score, score.bars + 1);
}

const endShape = /* @__PURE__ */ v.looseObject({
  metre: metreShape,
  metres: metresShape,
  bars: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.number(),
    /* @__PURE__ */ v.integer(),
    /* @__PURE__ */ v.minValue(1),
    /* @__PURE__ */ v.maxValue(10_000),
  ),
});

/**
 * Builds a score and refuses what could not be played or printed.
 *
 * Events are put in order of time (then longest, then lowest first), the pitches of each from low to high, each with its finger.
 *
 * @returns a fresh score; nothing of the parts is changed
 * @throws MusicError `score/bars`, `score/tempo`, `score/pickup`, `score/metres` for figures out of range;
 * `score/span` for what starts before the pickup, ends after the last bar or lasts no time;
 * `score/pitches` for an event without pitches or with one twice; `score/fingers` when they are not one a pitch, from 1 to 5;
 * `score/form` for a form of more or fewer bars than are played; `score/velocity` outside 1 to 127; `score/drum` for a percussion key outside 35 to 81;
 * `score/overlap` when one part strikes a key that it still holds, or two chord symbols or phrases overlap
 *
 * @example
 * ```ts
 * import { beats, makeScore, metre, parseKey, pitch } from "hands-together";
 *
 * const score = makeScore({
 *   key: parseKey("Eb"),
 *   metre: metre("4/4"),
 *   bars: 1,
 *   right: [{ at: beats(0), duration: beats(4), pitches: [pitch("Eb4")], fingers: [1] }],
 * });
 * score.right.length; // => 1
 * makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 0 }); // throws "score/bars"
 * ```
 */
export function makeScore(parts: ScoreInput): Score {
  check(scoreInputShape, parts, "score/argument");
  const { key, metre } = parts;
  return asScore({
    ...parts,
    key: typeof key === "string" ? parseKey(key) : key,
    metre: typeof metre === "string" ? parseMetre(metre) : metre,
  });
}

/** What is known to be a score: what was made here, and what was found right once. Scores are never changed. */
const known = /* @__PURE__ */ new WeakSet<object>();

/**
 * Refuses what is no score: one that was not made by {@link makeScore} has to be as it would make it, in order of time.
 *
 * @throws MusicError with the code for what lacks the fields of a score, the codes of {@link makeScore} for one that can't be
 */
export function checkScore(score: unknown, code: MusicErrorCode): asserts score is Score {
  if (typeof score === "object" && score !== null && known.has(score)) return;
  check(scoreShape, score, code);
  const made = asScore(score);
  if (made.feel !== score.feel && made.feel === straight && score.feel.id !== straight.id)
    throw new MusicError({
      code,
      input: score.feel,
      expected: "a straight feel, for this metre has no pairs to swing",
    });
  for (const part of ["chords", "right", "left", "bass", "drums", "phrases"] as const) {
    const sorted = made[part] ?? [];
    if ((score[part] ?? []).some((span, i) => !sameMoment(span, sorted[i])))
      throw new MusicError({ code, input: part, expected: `${part} in order of time, pitches from low to high` });
  }
  known.add(score);
}

const sameMoment = (a: TimeSpan & { readonly pitches?: NoteEvent["pitches"] }, b: typeof a | undefined): boolean =>
  b !== undefined &&
  compareBeats(a.at, b.at) === 0 &&
  compareBeats(a.duration, b.duration) === 0 &&
  (a.pitches ?? []).every((p, i) => p.semitones === b.pitches?.[i]?.semitones);

interface Parts extends Omit<ScoreInput, "key" | "metre" | "feel" | "tempo"> {
  readonly key: Key;
  readonly metre: Metre;
  readonly feel?: Feel | string | undefined;
  readonly tempo?: number | undefined;
}

const asScore = (parts: Parts): Score => {
  const { title = "", key, metre, bars, tempo = 120, feel = straight, bass, drums, phrases, form, recipe } = parts;
  const pickup = printablePickup(parts.pickup ?? ZERO, metre);
  if (!Number.isInteger(bars) || bars < 1 || bars > 10_000)
    throw refused("bars", bars, "a whole number of bars from 1 to 10,000");
  if (typeof tempo !== "number" || !(tempo >= 10 && tempo <= 1000))
    throw refused("tempo", tempo, "10 to 1,000 quarter notes a minute");
  allow("bars", bars);
  allow("notes", notesIn(parts));
  const metres = settledMetres(metre, parts.metres, bars);
  const length = barLength(metre);
  if (pickup.num < 0 || compareBeats(pickup, length) >= 0) {
    throw refused(
      "pickup",
      formatBeats(pickup),
      `a length from 0 to less than a bar (${formatBeats(length)} quarter notes)`,
    );
  }
  const frame: Frame = { start: subtractBeats(ZERO, pickup), end: barStartInMetres({ metre, metres }, bars + 1) };
  const score: Score = {
    kind: "score",
    version: 1,
    title,
    key,
    metre,
    ...(metres && { metres }),
    tempo,
    feel: feelIn(feel, tempo, { metre, metres }),
    pickup,
    bars,
    chords: apart(parts.chords ?? [], frame, "chord symbols"),
    right: notes(parts.right ?? [], frame, "right hand"),
    left: notes(parts.left ?? [], frame, "left hand"),
    ...(bass && { bass: notes(bass, frame, "bass") }),
    ...(drums && { drums: strokes(drums, frame) }),
    ...(phrases && { phrases: apart(phrases, frame, "phrases") }),
    ...(form && { form: fittingForm(form, bars) }),
    ...(recipe && { recipe }),
  };
  known.add(score);
  return score;
};

const notesIn = ({ right = [], left = [], bass = [], drums = [] }: Parts): number =>
  [right, left, bass].flat().reduce((sum, { pitches }) => sum + pitches.length, drums.length);

const settledMetres = (
  metre: Metre,
  metres: readonly MetreChange[] | undefined,
  bars: number,
): readonly MetreChange[] | undefined => {
  if (metres === undefined || metres.length === 0) return undefined;
  metres.forEach((change, i) => {
    const before = metres[i - 1] ?? { bar: 1, metre };
    if (!Number.isInteger(change.bar) || change.bar <= before.bar || change.bar > bars)
      throw refused("metres", change.bar, `changes of metre in order, from bar 2 to bar ${bars}`);
  });
  return metres;
};

const fittingForm = (form: WrittenForm, bars: number): WrittenForm => {
  if (form.order.length !== bars)
    throw refused("form", form.order.length, `an order of ${bars} bars, as many as are played`);
  return form;
};

// One feel throughout: where a bar has no pairs to swing, or pairs would lie across its beats, all are straight.
const feelIn = (feel: Feel | string, tempo: number, form: InMetres): Feel => {
  const stretches = metreStretches(form);
  const own = feelFor(feel, tempo, form.metre);
  const swings = stretches.every(({ at, metre }) => at.den === 1 && feelFor(feel, tempo, metre) !== straight);
  return swings || own.id === straight.id ? own : straight;
};

// A pickup of part of a tuplet is printed with the rest of its beat.
const printablePickup = (pickup: Beats, metre: Metre): Beats => {
  if ((pickup.den & (pickup.den - 1)) === 0) return pickup;
  const count = beatsOf(4, metre.unit);
  return multiplyBeats(count, beats(floorBeats(divideBeats(pickup, count)) + 1));
};

interface Frame {
  readonly start: Beats;
  readonly end: Beats;
}

const refused = (what: string, input: unknown, expected: string, hint?: string): MusicError =>
  new MusicError({ code: `score/${what}`, input, expected, ...(hint === undefined ? {} : { hint }) });

const endOf = (span: TimeSpan): Beats => addBeats(span.at, span.duration);

const requireInside = (span: TimeSpan, frame: Frame, where: string): void => {
  const outside = compareBeats(span.at, frame.start) < 0 || compareBeats(endOf(span), frame.end) > 0;
  if (span.duration.num <= 0 || outside) {
    throw refused(
      "span",
      `${where}: ${formatBeats(span.duration)} from ${formatBeats(span.at)}`,
      `a length above 0 between ${formatBeats(frame.start)} and ${formatBeats(frame.end)}, in quarter notes from the first bar line`,
    );
  }
};

const byTime = (a: TimeSpan, b: TimeSpan): number => compareBeats(a.at, b.at) || compareBeats(b.duration, a.duration);

const apart = <S extends TimeSpan>(spans: readonly S[], frame: Frame, what: string): readonly S[] => {
  const sorted = spans.map((span) => ({ ...span })).sort(byTime);
  sorted.forEach((span, i) => {
    requireInside(span, frame, what);
    const before = sorted[i - 1];
    if (before !== undefined && compareBeats(endOf(before), span.at) > 0) {
      throw refused(
        "overlap",
        `${what} at ${formatBeats(before.at)} and ${formatBeats(span.at)}`,
        `${what} that follow one another`,
      );
    }
  });
  return sorted;
};

const requireVelocity = (velocity: number | undefined): void => {
  if (velocity !== undefined && !(Number.isInteger(velocity) && velocity >= 1 && velocity <= 127)) {
    throw refused("velocity", velocity, "a whole MIDI velocity from 1 to 127");
  }
};

const requireFinger = (finger: Finger | undefined): void => {
  if (finger !== undefined && !isFinger(finger)) throw refused("fingers", finger, "a finger from 1 (thumb) to 5");
};

const compareLowest = ({ pitches: [a] }: NoteEvent, { pitches: [b] }: NoteEvent): number =>
  a === undefined || b === undefined ? 0 : comparePitches(a, b);

const notes = (events: readonly NoteEvent[], frame: Frame, where: string): readonly NoteEvent[] => {
  const ordered = events.map((event) => playable(event, frame, where));
  ordered.sort((a, b) => byTime(a, b) || compareLowest(a, b));
  // One key can't go down twice: the last to hold each key must have let go.
  const held = new Map<number, NoteEvent>();
  for (const event of ordered) {
    for (const p of event.pitches) {
      const before = held.get(p.semitones);
      if (before !== undefined && compareBeats(endOf(before), event.at) > 0) {
        throw refused(
          "overlap",
          `${where}: ${pitchName(p)} at ${formatBeats(event.at)}`,
          `the key to be released before it is struck again (it is held from ${formatBeats(before.at)} to ${formatBeats(endOf(before))})`,
        );
      }
      held.set(p.semitones, event);
    }
  }
  return ordered;
};

const playable = (event: NoteEvent, frame: Frame, where: string): NoteEvent => {
  step();
  requireInside(event, frame, where);
  requireVelocity(event.velocity);
  event.graces?.forEach((grace) => requireFinger(grace.finger));
  const { pitches, fingers } = event;
  if (pitches.length === 0)
    throw refused("pitches", `${where} at ${formatBeats(event.at)}: none`, "at least one pitch");
  if (fingers !== undefined && fingers.length !== pitches.length) {
    throw refused(
      "fingers",
      `${where} at ${formatBeats(event.at)}: ${fingers.length} for ${pitches.length} pitches`,
      "one finger a pitch",
    );
  }
  fingers?.forEach(requireFinger);
  const sorted = pitches
    .map((pitch, i) => ({ pitch, finger: fingers?.[i] }))
    .sort((a, b) => comparePitches(a.pitch, b.pitch));
  const twice = sorted.find(({ pitch }, i) => sorted[i - 1]?.pitch.semitones === pitch.semitones);
  if (twice !== undefined)
    throw refused(
      "pitches",
      `${where}: ${pitchName(twice.pitch)} at ${formatBeats(event.at)}`,
      "each key once in an event",
    );
  const fingered = sorted.map(({ finger }) => finger).filter((finger) => finger !== undefined);
  return { ...event, pitches: sorted.map(({ pitch }) => pitch), ...(fingers && { fingers: fingered }) };
};

const strokes = (events: readonly DrumEvent[], frame: Frame): readonly DrumEvent[] => {
  for (const event of events) {
    requireInside(event, frame, "drums");
    requireVelocity(event.velocity);
    if (!Number.isInteger(event.midi) || event.midi < 35 || event.midi > 81) {
      throw refused("drum", event.midi, "a key of the General MIDI percussion map, 35 to 81");
    }
  }
  const ordered = events.map((event) => ({ ...event })).sort((a, b) => byTime(a, b) || a.midi - b.midi);
  const held = new Map<number, DrumEvent>();
  for (const event of ordered) {
    const before = held.get(event.midi);
    if (before !== undefined && compareBeats(endOf(before), event.at) > 0) {
      throw refused(
        "overlap",
        `drums: ${event.midi} at ${formatBeats(event.at)}`,
        "strokes on one instrument that follow one another",
      );
    }
    held.set(event.midi, event);
  }
  return ordered;
};
