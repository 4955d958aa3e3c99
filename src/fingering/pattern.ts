import type { Finger, Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import { memo } from "../ground/memo.ts";
import type { Pitch } from "../pitch/index.ts";
import { degreeInterval, pitchAtOrAbove, pitchInOctave, transpose } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale } from "../scale/index.ts";
import { MOVE_KINDS, roleOf } from "./model.ts";
import type { Passage } from "./passage.ts";
import { ALL_FINGERS, oneByOne, passageOf } from "./passage.ts";
import { byteAt, fingerOf } from "./reading.ts";
import type { FingeringRuleOptions } from "./rule-set.ts";
import { modelFor } from "./rule-set.ts";
import { fingersOfWay, solveRanked } from "./solve.ts";
import { spansOf } from "./spans.ts";

/** Every finger but the 5th, which belongs to the ends. */
const INNER_FINGERS = 0b01111;
// Every key belongs to the chromatic scale; none of them is its home under the hand.
const CHROMATIC = 12;

// Twelve keys of a few scales for both hands.
const patterns = memo<readonly Finger[]>(128);

const modulo12 = (n: number): number => ((n % 12) + 12) % 12;

/** The pitches of one octave of a scale from a tonic, without the octave. */
export const octaveOf = (scale: Scale, tonic: Pitch): readonly Pitch[] =>
  scale.degrees.map((degree) => transpose(tonic, degreeInterval(degree)));

/** Refuses pitches that do not rise within one octave. */
const requireOctave = (pitches: readonly Pitch[]): void => {
  const rising = pitches.every((p, i) => i === 0 || p.semitones > nth(pitches, i - 1).semitones);
  if (pitches.length < 2 || !rising || nth(pitches, -1).semitones - nth(pitches, 0).semitones >= CHROMATIC) {
    throw new MusicError({
      code: "fingering/scale",
      input: pitches,
      expected: "two to twelve different notes that rise within one octave, the octave itself left out",
    });
  }
};

/**
 * The fingers that a scale or arpeggio has in every octave, by step from its first note: the cheapest of all fingerings
 * that repeat at the octave, by the rules of scales. It is worked out away from the body (rising for the right hand,
 * falling for the left) from the note after the tonic; ties go to the lower finger there.
 */
export const octavePattern = (
  pitches: readonly Pitch[],
  hand: Hand,
  options: FingeringRuleOptions,
  fixed: Readonly<Record<number, Finger>> = {},
): readonly Finger[] => {
  requireOctave(pitches);
  const { size, rules, weights, without } = options;
  const keys = pitches.map((p) => modulo12(p.semitones));
  return patterns(JSON.stringify([hand, keys, fixed, size, rules, weights, without]), () =>
    solvePattern(pitches, hand, options, fixed),
  );
};

const solvePattern = (
  pitches: readonly Pitch[],
  hand: Hand,
  options: FingeringRuleOptions,
  fixed: Readonly<Record<number, Finger>>,
): readonly Finger[] => {
  const length = pitches.length;
  // Steps in playing order: the tonic comes last, so that ties are settled by what follows it.
  const order = Array.from({ length }, (_, i) => (hand === "right" ? (i + 1) % length : length - 1 - i));
  const passage = octavePassage(
    order.map((step) => nth(pitches, step)),
    hand,
    order.map((step) => distanceTo(pitches, step, hand)),
    order.map((step) => (fixed[step] === undefined ? INNER_FINGERS : 1 << (fixed[step] - 1))),
  );
  order.forEach((step, i) => (passage.role[i] = roleOf(step === 0 && length < CHROMATIC, 0)));
  const best = nth(solveRanked(modelFor({ ...options, rules: options.rules ?? "scale" }), passage, 1, true), 0);
  const found = fingersOfWay(passage, best, length);
  const fingers = new Array<Finger>(length);
  order.forEach((step, i) => {
    fingers[step] = fingerOf(byteAt(found, i));
  });
  return fingers;
};

// One octave that leads to the next: its moves are told, since the last note leads to the first an octave on.
const octavePassage = (
  pitches: readonly Pitch[],
  hand: Hand,
  moves: readonly number[],
  allowed: readonly number[],
): Passage => {
  const { length } = pitches;
  const passage = passageOf(pitches, hand, oneByOne(length), spansOf("medium"), Uint8Array.from(allowed), ALL_FINGERS);
  passage.innerMoves.set(moves);
  passage.outerMoves.set(moves);
  return passage;
};

// Semitones to a step from the step nearer to the body, both hands alike.
const distanceTo = (pitches: readonly Pitch[], step: number, hand: Hand): number => {
  const length = pitches.length;
  const nearer = hand === "right" ? (step + length - 1) % length : (step + 1) % length;
  const semitones = Math.abs(nth(pitches, step).semitones - nth(pitches, nearer).semitones);
  const wraps = hand === "right" ? step === 0 : nearer === 0;
  return wraps ? 12 - semitones : semitones;
};

/** The scale that is meant: itself, or read from its name. */
export const scaleOf = (scale: Scale | string): Scale => (typeof scale === "string" ? parseScale(scale) : scale);

/** The fingers of a scale in every octave, by pitch class. */
export const scalePatternByClass = (scale: Scale | string, hand: Hand): ReadonlyMap<number, Finger> => {
  const read = scaleOf(scale);
  const pitches = octaveOf(read, pitchAtOrAbove(read.tonic, pitchInOctave("C", 4)));
  const fingers = octavePattern(pitches, hand, {});
  return new Map(pitches.map((p, step) => [modulo12(p.semitones), nth(fingers, step)]));
};

/** Gives notes of a scale their fingers in it. */
export const giveScale = (pitches: readonly Pitch[], { role }: Passage, scale: Scale | string, hand: Hand): void => {
  const pattern = scalePatternByClass(scale, hand);
  pitches.forEach((p, i) => (role[i] = roleOf(false, pattern.get(modulo12(p.semitones)) ?? 0)));
};

/** A grace note that slides into a note of a scale, by pitch class. */
export interface PatternSlide {
  /** Pitch class of the main note. */
  readonly main: number;
  /** Semitones from the grace note up to the main note, negative from above. */
  readonly rise: number;
  /** Whether one finger can play both. */
  readonly oneFinger: boolean;
}

/** The fingers of a rising scale some of whose notes are slid into, by pitch class of the main notes. */
export const slidPatternByClass = (
  scale: Scale | string,
  hand: Hand,
  slides: readonly PatternSlide[],
): ReadonlyMap<number, Finger> => {
  const read = scaleOf(scale);
  const pitches = octaveOf(read, pitchAtOrAbove(read.tonic, pitchInOctave("C", 4)));
  // A note of the scale that serves as a grace note is not played by itself.
  const serving = new Set(slides.map((slide) => modulo12(slide.main - slide.rise)));
  const notes = pitches
    .filter((p) => !serving.has(modulo12(p.semitones)))
    .flatMap((p, step) => {
      const main = modulo12(p.semitones);
      const slide = slides.find((s) => s.main === main);
      const own = {
        at: p.semitones,
        main,
        grace: false,
        kind: slide === undefined ? "plain" : slide.oneFinger ? "slide" : "crushed",
        tonic: step === 0,
      } as const;
      return slide === undefined
        ? [own]
        : [{ at: p.semitones - slide.rise, main, grace: true, kind: "plain", tonic: false } as const, own];
    });
  const length = notes.length;
  const passage = octavePassage(
    notes.map(({ at }): Pitch => ({ kind: "pitch", steps: 0, semitones: at })),
    hand,
    notes.map(({ at }, i) => {
      const before = i === 0 ? nth(notes, -1).at - 12 : nth(notes, i - 1).at;
      return hand === "right" ? at - before : before - at;
    }),
    notes.map(() => INNER_FINGERS),
  );
  notes.forEach(({ kind, tonic }, i) => {
    passage.kinds[i] = MOVE_KINDS.indexOf(kind);
    passage.role[i] = roleOf(tonic, 0);
  });
  const way = nth(solveRanked(modelFor({ rules: "scale" }), passage, 1, true), 0);
  const fingers = fingersOfWay(passage, way, length);
  return new Map(notes.flatMap((note, i) => (note.grace ? [] : [[note.main, fingerOf(byteAt(fingers, i))] as const])));
};
