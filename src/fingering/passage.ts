import type { Finger, Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
import { step } from "../ground/watch.ts";
import type { Pitch } from "../pitch/index.ts";
import { keyColour } from "../pitch/index.ts";
import { LARGEST_INTERVAL, MOVE_KINDS } from "./model.ts";
import type { MoveKind } from "./rules.ts";
import type { HandSpans } from "./spans.ts";

/** A key under the hand: the note that struck it, now or before. */
export interface SoundingKey {
  /** Index of its note in the fingering. */
  readonly note: number;
  readonly struck: boolean;
}

/** What a hand does at one moment. */
export interface Moment {
  /** From the thumb's side outward. */
  readonly keys: readonly SoundingKey[];
  readonly kind: MoveKind;
}

/** The ways in which a hand can lie on the keys of one moment, in the order in which ties are won. */
export interface Grips {
  readonly count: number;
  /** Keys under the hand. */
  readonly width: number;
  /** Fingers less one, grip after grip, from the thumb's side outward. */
  readonly fingers: Uint8Array;
  /** Fingers less one on the innermost and on the outermost struck key, by grip. */
  readonly inner: Uint8Array;
  readonly outer: Uint8Array;
}

/** What the solver knows of a passage: arrays over its moments, and over its notes. */
export interface Passage {
  /** Moments. */
  readonly length: number;
  readonly moments: readonly Moment[];
  readonly grips: readonly Grips[];
  /** How each moment follows the one before: an index of MOVE_KINDS. */
  readonly kinds: Uint8Array;
  /** 1 where one key is struck, with nothing held. */
  readonly single: Uint8Array;
  /** 1 where more than one key is struck. */
  readonly chord: Uint8Array;
  /** 1 where the innermost, the outermost, and every struck key is black. */
  readonly innerBlack: Uint8Array;
  readonly outerBlack: Uint8Array;
  readonly allBlack: Uint8Array;
  /** Semitones from the moment before, for a right hand, clamped; at 0 the step from the last moment. */
  readonly innerMoves: Int8Array;
  readonly outerMoves: Int8Array;
  /** By note: 1 where its key is black. */
  readonly black: Uint8Array;
  /** By note: its key as a right hand would reach it. */
  readonly keys: Int16Array;
  /** By note: what it is to its scale or sequence, `roleOf`. */
  readonly role: Uint8Array;
  /** By note: bit f - 1 is set where finger f may play. */
  readonly allowed: Uint8Array;
}

export const ALL_FINGERS = 31;

const ANY: Grips = {
  count: 5,
  width: 1,
  fingers: Uint8Array.of(0, 1, 2, 3, 4),
  inner: Uint8Array.of(0, 1, 2, 3, 4),
  outer: Uint8Array.of(0, 1, 2, 3, 4),
};

const FINGERS: readonly Finger[] = [1, 2, 3, 4, 5];

/** Rising sets of so many fingers, in the order in which ties are won. */
const risingFingers = (count: number, from = 1): readonly (readonly Finger[])[] =>
  count === 0
    ? [[]]
    : FINGERS.filter((finger) => finger >= from).flatMap((finger) =>
        risingFingers(count - 1, finger + 1).map((rest) => [finger, ...rest]),
      );

const CHOICES = /* @__PURE__ */ new Map<number, readonly (readonly Finger[])[]>();

/** Every way in which a hand reaches keys at once, from the thumb's side outward. */
export const reaches = (
  keys: readonly number[],
  allowed: readonly number[],
  spans: HandSpans,
): readonly (readonly Finger[])[] =>
  kept(CHOICES, Math.min(keys.length, 6), (count) => risingFingers(count)).filter((fingers) =>
    fingers.every((finger, i) => {
      if ((((allowed[i] ?? 0) >> (finger - 1)) & 1) === 0) return false;
      for (let j = 0; j < i; j++) {
        const other = fingers[j] ?? finger;
        const span = (keys[i] ?? 0) - (keys[j] ?? 0);
        const { maxPractical, minPractical } = spans.between(other, finger);
        if (span > maxPractical || span < minPractical) return false;
      }
      return true;
    }),
  );

const gripsOf = (
  moment: Moment,
  keys: Int16Array,
  allowed: Uint8Array,
  spans: HandSpans,
  onHeld: number,
  known: Map<string, Grips>,
): Grips => {
  const [first] = moment.keys;
  if (first !== undefined && moment.keys.length === 1) {
    const mask = allowed[first.note] ?? ALL_FINGERS;
    if (mask === ALL_FINGERS) return ANY;
    return kept(known, `${mask}`, () =>
      packed(
        FINGERS.filter((f) => (mask >> (f - 1)) & 1).map((f) => [f]),
        [true],
      ),
    );
  }
  const struck = moment.keys.map((key) => key.struck);
  const places = moment.keys.map(({ note }) => keys[note] ?? 0);
  const masks = moment.keys.map(({ note, struck: now }) => (now ? (allowed[note] ?? ALL_FINGERS) : onHeld));
  const [lowest = 0] = places;
  const name = `${places.map((key) => key - lowest).join()} ${masks.join()} ${struck.join()}`;
  return kept(known, name, () => packed(reaches(places, masks, spans), struck));
};

const packed = (choices: readonly (readonly Finger[])[], struck: readonly boolean[]): Grips => {
  const [inner, outer] = [struck.indexOf(true), struck.lastIndexOf(true)];
  return {
    count: choices.length,
    width: struck.length,
    fingers: Uint8Array.from(choices.flat(), (finger) => finger - 1),
    inner: Uint8Array.from(choices, (fingers) => (fingers[inner] ?? 1) - 1),
    outer: Uint8Array.from(choices, (fingers) => (fingers[outer] ?? 1) - 1),
  };
};

const THIRD = 4;
const SEVENTH = 10;
const isThird = (semitones: number): boolean => semitones === 3 || semitones === 4;

/**
 * How a chord follows the moment before, where that depends on its shape: struck again it keeps its fingers, however fast. Elsewhere the hand moves as it is:
 * by more than a third; and by any step, its keys a semitone more or less as the scale has it, where it is a seventh or wider, a triad in thirds, or four keys.
 */
const chordKind = (before: Moment | undefined, { keys: now, kind }: Moment, keys: Int16Array): MoveKind => {
  if (now.length < 2 || before?.keys.length !== now.length || kind === "free") return kind;
  const at = (key: SoundingKey | undefined): number => keys[key?.note ?? 0] ?? 0;
  if (!now.every((key, i) => key.struck && before.keys[i]?.struck)) return kind;
  const moves = now.map((key, i) => at(key) - at(before.keys[i]));
  const [least, most] = [Math.min(...moves), Math.max(...moves)];
  if (least === 0 && most === 0) return "plain";
  if (least * most <= 0 || most - least > 1) return kind;
  const thirds = now.length === 3 && now.every((key, i) => i === 0 || isThird(at(key) - at(now[i - 1])));
  const wide = now.length === 2 ? at(now[1]) - at(now[0]) >= SEVENTH : now.length > 3 || thirds;
  return wide || (most === least && Math.abs(most) > THIRD) ? "moved" : kind;
};

const clamped = (interval: number): number => Math.max(-LARGEST_INTERVAL, Math.min(LARGEST_INTERVAL, interval));

/** The keys of pitches as a right hand would reach them: a left hand's are turned round. */
export const outwardKeys = (pitches: readonly Pitch[], hand: Hand): Int16Array =>
  Int16Array.from(pitches, ({ semitones }) => (hand === "right" ? semitones : -semitones));

/** One moment for each note. */
export const oneByOne = (length: number): readonly Moment[] =>
  Array.from({ length }, (_, note): Moment => ({ keys: [{ note, struck: true }], kind: "plain" }));

/**
 * The arrays that the solver reads.
 *
 * @param onHeld - the fingers that may stand on a key that is held, whichever struck it
 */
export const passageOf = (
  pitches: readonly Pitch[],
  hand: Hand,
  moments: readonly Moment[],
  spans: HandSpans,
  allowed: Uint8Array,
  onHeld: number,
): Passage => {
  const length = moments.length;
  const keys = outwardKeys(pitches, hand);
  const black = Uint8Array.from(pitches, (p) => (keyColour(p) === "black" ? 1 : 0));
  const [single, chord, kinds] = [new Uint8Array(length), new Uint8Array(length), new Uint8Array(length)];
  const [innerBlack, outerBlack, allBlack] = [new Uint8Array(length), new Uint8Array(length), new Uint8Array(length)];
  const [inner, outer] = [new Int16Array(length), new Int16Array(length)];
  const known = new Map<string, Grips>();
  const grips: Grips[] = [];
  for (let i = 0; i < length; i++) {
    const moment = nth(moments, i);
    step();
    let [first, last, every, struck] = [-1, -1, 1, 0];
    for (const key of moment.keys) {
      if (!key.struck) continue;
      if (first < 0) first = key.note;
      last = key.note;
      struck++;
      every &= black[key.note] ?? 0;
    }
    single[i] = moment.keys.length === 1 ? 1 : 0;
    chord[i] = struck > 1 ? 1 : 0;
    kinds[i] = MOVE_KINDS.indexOf(chordKind(moments[i - 1], moment, keys));
    innerBlack[i] = black[first] ?? 0;
    outerBlack[i] = black[last] ?? 0;
    allBlack[i] = every;
    inner[i] = keys[first] ?? 0;
    outer[i] = keys[last] ?? 0;
    grips.push(gripsOf(moment, keys, allowed, spans, onHeld, known));
  }
  const steps = (places: Int16Array): Int8Array =>
    Int8Array.from(places, (key, i) => clamped(key - (places[i === 0 ? length - 1 : i - 1] ?? 0)));
  return {
    length,
    moments,
    grips,
    kinds,
    single,
    chord,
    innerBlack,
    outerBlack,
    allBlack,
    innerMoves: steps(inner),
    outerMoves: steps(outer),
    black,
    keys,
    role: new Uint8Array(pitches.length),
    allowed,
  };
};

/** All fingers but those that rest. */
export const playingFingers = (resting: readonly Finger[] | undefined): number =>
  (resting ?? []).reduce((mask, finger) => mask & ~(1 << (finger - 1)), ALL_FINGERS);

/** The fingers that are allowed by settled ones and by fingers that rest. */
export const allowedOf = (
  length: number,
  fixed: Readonly<Record<number, Finger>> | undefined,
  resting: readonly Finger[] | undefined,
): Uint8Array => {
  const allowed = new Uint8Array(length).fill(playingFingers(resting));
  for (const [index, finger] of Object.entries(fixed ?? {})) {
    const i = Number(index);
    if (!Number.isInteger(i) || i < 0 || i >= length || !FINGERS.includes(finger)) {
      throw new MusicError({
        code: "fingering/fixed",
        input: { [index]: finger },
        expected: `fingers 1 to 5 by the index of a note, 0 to ${length - 1}`,
      });
    }
    allowed[i] = 1 << (finger - 1);
  }
  return allowed;
};
