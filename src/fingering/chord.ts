import type { Finger, Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { Pitch } from "../pitch/index.ts";
import { keyColour, pitchName } from "../pitch/index.ts";
import type { FingeringRemark } from "./fingering.ts";
import type { FingeredKey } from "./rules.ts";
import { handFrame } from "./rules.ts";
import { chordOptions, pitchesOf, requireHand, requireOptions } from "./shape.ts";
import type { FingerSpan, HandSize } from "./spans.ts";
import { spansOf } from "./spans.ts";

/** What {@link fingerChord} is asked. */
export interface ChordFingeringOptions {
  /** Which hand plays. */
  readonly hand: Hand;
  /** How far the hand opens; no span is safe for every hand. @defaultValue `"medium"` */
  readonly size?: HandSize | undefined;
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
// Ours, weighed against the spans so that triads and sevenths come out as they are taught.
const OUTER_FINGER = 2;
const HAND_FRAME = 6;

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
export function fingerChord(notes: readonly Pitch[] | string, options: ChordFingeringOptions): ChordFingering {
  requireOptions(chordOptions, options);
  const pitches = pitchesOf(notes);
  requireHand(options.hand);
  return chordFingers(pitches, options);
}

/** The same, of notes and options that were looked at. */
export const chordFingers = (pitches: readonly Pitch[], options: ChordFingeringOptions): ChordFingering => {
  const rising = [...pitches].sort((a, b) => a.semitones - b.semitones);
  if (rising.length > 5 || rising.some((p, i) => i > 0 && p.semitones === (rising[i - 1] as Pitch).semitones)) {
    throw new MusicError({
      code: "fingering/chord",
      input: pitches.map(pitchName),
      expected: "at most five notes on different keys",
    });
  }
  const size = options.size ?? "medium";
  // From the thumb's side outward, so that both hands are one case.
  const outward = options.hand === "right" ? rising : [...rising].reverse();
  const fixed = new Map(
    Object.entries(options.fixed ?? {}).map(([place, finger]) => [
      options.hand === "right" ? Number(place) : rising.length - 1 - Number(place),
      finger,
    ]),
  );
  requireFixed(fixed, rising.length, options.fixed);
  let best: { readonly fingers: readonly Finger[]; readonly cost: number } | undefined;
  for (const fingers of choices(rising.length)) {
    if ([...fixed].some(([place, finger]) => fingers[place] !== finger)) continue;
    const cost = chordCost(outward, fingers, size);
    if (cost !== undefined && (best === undefined || cost < best.cost)) best = { fingers, cost };
  }
  const span = (rising.at(-1) as Pitch).semitones - (rising[0] as Pitch).semitones;
  if (best === undefined) throw outOfReach(rising, span, size);
  return {
    kind: "chord-fingering",
    hand: options.hand,
    pitches: rising,
    fingers: options.hand === "right" ? best.fingers : [...best.fingers].reverse(),
    span,
    cost: best.cost,
    remarks:
      span <= OCTAVE
        ? []
        : [
            {
              kind: "wide-span",
              message: `it opens the hand ${span} semitones, more than an octave: roll it or leave a note out if it strains, and stop at pain`,
            },
          ],
  };
};

const requireFixed = (fixed: ReadonlyMap<number, Finger>, length: number, input: unknown): void => {
  for (const [place, finger] of fixed) {
    if (!Number.isInteger(place) || place < 0 || place >= length || ![1, 2, 3, 4, 5].includes(finger)) {
      throw new MusicError({
        code: "fingering/fixed",
        input,
        expected: `fingers 1 to 5 by place from the lowest note, 0 to ${length - 1}`,
      });
    }
  }
};

// Rising sets of fingers, in the order in which ties are won.
const choices = (count: number): readonly (readonly Finger[])[] => {
  const grow = (from: number, left: number): readonly (readonly Finger[])[] =>
    left === 0
      ? [[]]
      : [1, 2, 3, 4, 5]
          .filter((f) => f >= from)
          .flatMap((f) => grow(f + 1, left - 1).map((rest) => [f as Finger, ...rest]));
  return grow(1, count);
};

const chordCost = (outward: readonly Pitch[], fingers: readonly Finger[], size: HandSize): number | undefined => {
  const spans = spansOf(size);
  const whites = outward.some((p) => keyColour(p) === "white");
  let cost = fingers.length < 3 ? 0 : (fingers[0] === 1 ? 0 : OUTER_FINGER) + (fingers.at(-1) === 5 ? 0 : OUTER_FINGER);
  for (let i = 0; i + 2 < fingers.length - 1; i++) cost += HAND_FRAME * frame(outward, fingers, i);
  for (let i = 0; i < fingers.length; i++) {
    const finger = fingers[i] as Finger;
    if (whites && keyColour(outward[i] as Pitch) === "black" && (finger === 1 || finger === 5))
      cost += finger === 1 ? 3 : 2;
    for (let j = i + 1; j < fingers.length; j++) {
      const reach = spans.between(finger, fingers[j] as Finger);
      const span = Math.abs((outward[j] as Pitch).semitones - (outward[i] as Pitch).semitones);
      if (span > reach.maxPractical || span < reach.minPractical) return undefined;
      cost += pairCost(span, reach, finger === 1);
    }
  }
  return cost;
};

const frame = (outward: readonly Pitch[], fingers: readonly Finger[], i: number): number => {
  const key = (at: number): FingeredKey => ({
    finger: fingers[at] as Finger,
    black: keyColour(outward[at] as Pitch) === "black",
  });
  const gap = (at: number): number => Math.abs((outward[at + 1] as Pitch).semitones - (outward[at] as Pitch).semitones);
  return handFrame({ first: key(i), middle: key(i + 1), last: key(i + 2), before: gap(i), after: gap(i + 1) });
};

const pairCost = (span: number, reach: FingerSpan, thumb: boolean): number =>
  2 * Math.max(0, span - reach.maxComfortable, reach.minComfortable - span) +
  Math.max(0, span - reach.maxRelaxed, reach.minRelaxed - span) * (thumb ? 1 : 2);

const outOfReach = (rising: readonly Pitch[], span: number, size: HandSize): MusicError => {
  const widest = spansOf(size).between(1, 5).maxPractical;
  return new MusicError({
    code: "fingering/out-of-reach",
    input: rising.map(pitchName),
    expected: `notes that one ${size} hand reaches, at most ${widest} semitones from thumb to little finger; these need ${span}`,
    hint:
      span > widest
        ? "leave a note out, roll the chord, or give a note to the other hand"
        : "two of its fingers would have to open too far; leave a note out or spread it otherwise",
    reason: "cannot-be-done",
  });
};
