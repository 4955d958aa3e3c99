import type { Finger, Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import { step } from "../ground/watch.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import { pitchName } from "../pitch/index.ts";
import type { FingeringRemark } from "./fingering.ts";
import { describe, wideSpan } from "./fingering.ts";
import { ALL_FINGERS, allowedOf, passageOf } from "./passage.ts";
import { modelFor } from "./rule-set.ts";
import { chordOptions, pitchesOf, requireHand, requireOptions } from "./shape.ts";
import { solveOpen } from "./solve.ts";
import type { HandSize, MeasuredHand } from "./spans.ts";
import { spansOf } from "./spans.ts";

/** What {@link fingerChord} is asked. */
export interface ChordFingeringOptions {
  /** Which hand plays. */
  readonly hand: Hand;
  /** How far the hand opens: a size, or a hand that was measured; no span is safe for every hand. @defaultValue `"medium"` */
  readonly size?: HandSize | MeasuredHand | undefined;
  /** Fingers that rest or can't play. @defaultValue none */
  readonly resting?: readonly Finger[] | undefined;
  /** Fingers that are settled, by place from the lowest note. @defaultValue none */
  readonly fixed?: Readonly<Record<number, Finger>> | undefined;
}

/** The fingers of notes struck together. */
export interface ChordFingering {
  readonly kind: "chord-fingering";
  readonly hand: Hand;
  /** From low to high. */
  readonly pitches: readonly Pitch[];
  /** One finger a note, in the same order. */
  readonly fingers: readonly Finger[];
  /** Semitones from the lowest note to the highest. */
  readonly span: number;
  /** What the spans and the keys cost, lowest of all choices of fingers. */
  readonly cost: number;
  /** What a teacher would point out: a span wider than an octave. */
  readonly remarks: readonly FingeringRemark[];
}

const OCTAVE = 12;

/**
 * The fingers of notes struck together by one hand: the choice whose every pair of fingers lies most at ease.
 *
 * The charges are those of spans beyond comfortable and relaxed, over every pair of fingers, of the thumb and the 5th
 * finger on black keys among white ones, of ends that are not played by them, and of a hand frame that arpeggios would not
 * use (the rule `hand-frame`). Ties go to the lower finger on the note nearest to the thumb's side. A span that one
 * hand reaches may hurt another: warm up, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * Source of the spans: Parncutt et al. (1997), Table 1; adding them up over a chord is ours.
 *
 * @param notes - one to five different pitches, or their names
 * @throws MusicError `fingering/out-of-reach` (cannot be done) when no fingers reach, with the span that is needed;
 *   `fingering/chord` for more than five notes or the same key twice, `fingering/notes`, `fingering/hand`, `fingering/fixed`
 *
 * @example
 * ```ts
 * import { fingerChord } from "hands-together";
 *
 * fingerChord("E3 G3 B3 D4", { hand: "left" }).fingers; // => [5, 3, 2, 1]
 * fingerChord("C2 B2 E3", { hand: "left" }); // throws "fingering/out-of-reach"
 * ```
 */
export function fingerChord(
  notes: readonly (Pitch | PitchName)[] | string,
  options: ChordFingeringOptions,
): ChordFingering {
  requireOptions(chordOptions, options);
  const pitches = pitchesOf(notes);
  requireHand(options.hand);
  return chordFingers(pitches, options);
}

/** The same, of notes and options that were looked at. */
export const chordFingers = (pitches: readonly Pitch[], options: ChordFingeringOptions): ChordFingering => {
  step();
  const rising = [...pitches].sort((a, b) => a.semitones - b.semitones);
  if (rising.length > 5 || rising.some((p, i) => i > 0 && p.semitones === nth(rising, i - 1).semitones)) {
    throw new MusicError({
      code: "fingering/chord",
      input: pitches.map(pitchName),
      expected: "at most five notes on different keys",
    });
  }
  const { hand, fixed } = options;
  const size = options.size ?? "medium";
  const model = modelFor({ size });
  const outward = hand === "right" ? [...rising.keys()] : [...rising.keys()].reverse();
  const allowed = allowedOf(rising.length, requireFixed(fixed, rising.length), options.resting);
  const moment = { keys: outward.map((note) => ({ note, struck: true })), kind: "plain" } as const;
  const span = nth(rising, -1).semitones - nth(rising, 0).semitones;
  const passage = passageOf(rising, hand, [moment], model.spans, allowed, ALL_FINGERS);
  if (passage.grips[0]?.count === 0) throw outOfReach(rising, span, size);
  const way = solveOpen(model, passage);
  const { fingers, cost } = describe(model, { hand, pitches: rising, passage, way, twins: [], cyclic: false }, false);
  return {
    kind: "chord-fingering",
    hand,
    pitches: rising,
    fingers,
    span,
    cost,
    remarks: span <= OCTAVE ? [] : [{ kind: "wide-span", message: wideSpan(span) }],
  };
};

const requireFixed = (
  fixed: Readonly<Record<number, Finger>> | undefined,
  length: number,
): Readonly<Record<number, Finger>> | undefined => {
  for (const [place, finger] of Object.entries(fixed ?? {})) {
    if (!/^\d+$/.test(place) || Number(place) >= length || ![1, 2, 3, 4, 5].includes(finger)) {
      throw new MusicError({
        code: "fingering/fixed",
        input: fixed,
        expected: `fingers 1 to 5 by place from the lowest note, 0 to ${length - 1}`,
      });
    }
  }
  return fixed;
};

/** A hand in words. */
export const sizeName = (size: HandSize | MeasuredHand): string => (typeof size === "string" ? size : "measured");

const outOfReach = (rising: readonly Pitch[], span: number, size: HandSize | MeasuredHand): MusicError => {
  const widest = spansOf(size).between(1, 5).maxPractical;
  return new MusicError({
    code: "fingering/out-of-reach",
    input: rising.map(pitchName),
    expected: `notes that one ${sizeName(size)} hand reaches, at most ${widest} semitones from thumb to little finger; these need ${span}`,
    hint:
      span > widest
        ? "leave a note out, roll the chord, or give a note to the other hand"
        : "two of its fingers would have to open too far; leave a note out or spread it otherwise",
    reason: "cannot-be-done",
  });
};
