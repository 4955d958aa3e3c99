import type { Finger } from "../event/index.ts";
import { check } from "../ground/check.ts";
import { fingerShape, spanOptions } from "./shape.ts";

/** How large a hand is taken to be; it only scales the table of spans. */
export type HandSize = "small" | "medium" | "large";

/**
 * What two fingers of one hand can span, in semitones from the lower-numbered finger to the higher-numbered one;
 * negative where the thumb has passed under the other finger.
 */
export interface FingerSpan {
  /** Least practicable span. */
  readonly minPractical: number;
  /** Least comfortable span. */
  readonly minComfortable: number;
  /** Least span of a relaxed hand. */
  readonly minRelaxed: number;
  /** Largest span of a relaxed hand. */
  readonly maxRelaxed: number;
  /** Largest comfortable span. */
  readonly maxComfortable: number;
  /** Largest practicable span. */
  readonly maxPractical: number;
}

type Row = readonly [low: Finger, high: Finger, ...values: [number, number, number, number, number, number]];

// Parncutt et al. (1997), Table 1 (right hand): MinPrac, MinComf, MinRel, MaxRel, MaxComf, MaxPrac. Read through a
// re-implementation; nine others agree, one gives MaxRel(1-5) = 11.
const MEDIUM: readonly Row[] = [
  [1, 2, -5, -3, 1, 5, 8, 10],
  [1, 3, -4, -2, 3, 7, 10, 12],
  [1, 4, -3, -1, 5, 9, 12, 14],
  [1, 5, -1, 1, 7, 10, 13, 15],
  [2, 3, 1, 1, 1, 2, 3, 5],
  [2, 4, 1, 1, 3, 4, 5, 7],
  [2, 5, 2, 2, 5, 6, 8, 10],
  [3, 4, 1, 1, 1, 2, 2, 4],
  [3, 5, 1, 1, 3, 4, 5, 7],
  [4, 5, 1, 1, 1, 2, 3, 5],
];

// Ours: a small or large hand differs in how far it opens, by two semitones from the thumb and one between other
// fingers; how it lies relaxed follows the fingers' numbers and stays.
const OPENING: Readonly<Record<HandSize, { readonly thumb: number; readonly other: number }>> = {
  small: { thumb: -2, other: -1 },
  medium: { thumb: 0, other: 0 },
  large: { thumb: 2, other: 1 },
};

const SAME_FINGER: FingerSpan = {
  minPractical: 0,
  minComfortable: 0,
  minRelaxed: 0,
  maxRelaxed: 0,
  maxComfortable: 0,
  maxPractical: 0,
};

/** The spans of a hand by pair of fingers; lower-numbered finger first. */
export interface HandSpans {
  readonly size: HandSize;
  readonly between: (a: Finger, b: Finger) => FingerSpan;
}

const buildSpans = (size: HandSize): HandSpans => {
  const table: FingerSpan[] = Array.from({ length: 36 }, () => SAME_FINGER);
  for (const [
    low,
    high,
    minPractical,
    minComfortable,
    minRelaxed,
    maxRelaxed,
    maxComfortable,
    maxPractical,
  ] of MEDIUM) {
    const wider = low === 1 ? OPENING[size].thumb : OPENING[size].other;
    const span: FingerSpan = {
      minPractical,
      minComfortable,
      minRelaxed,
      maxRelaxed,
      maxComfortable: Math.max(maxRelaxed, maxComfortable + wider),
      maxPractical: Math.max(maxRelaxed, maxPractical + wider),
    };
    table[low * 6 + high] = span;
    table[high * 6 + low] = span;
  }
  return { size, between: (a, b) => table[a * 6 + b] as FingerSpan };
};

const SPANS: Readonly<Record<HandSize, HandSpans>> = {
  small: buildSpans("small"),
  medium: buildSpans("medium"),
  large: buildSpans("large"),
};

/** The span table of a hand size. */
export const spansOf = (size: HandSize): HandSpans => SPANS[size];

/**
 * The span that two fingers are asked to make by an interval played from one to the other, counted in the fingers'
 * natural order: positive when they lie as they grow, negative when they cross.
 */
export const naturalSpan = (from: Finger, to: Finger, interval: number): number =>
  from === to ? Math.abs(interval) : from < to ? interval : -interval;

/** Options of {@link fingerSpan}. */
export interface FingerSpanOptions {
  /** The hand. @defaultValue `"medium"` */
  readonly size?: HandSize | undefined;
}

/**
 * What two fingers of one hand can span, in semitones, for a hand of a given size.
 *
 * The medium hand is the published one; the others are ours (thumb pairs open two semitones less or more, other pairs
 * one). No span is safe for every hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * Source: Parncutt, R., Sloboda, J. A., Clarke, E. F., Raekallio, M. & Desain, P. (1997). An ergonomic model of
 * keyboard fingering for melodic fragments. Music Perception 14(4), 341–382, Table 1.
 *
 * @example
 * ```ts
 * import { fingerSpan } from "hands-together/fingering";
 *
 * fingerSpan(1, 5).maxPractical; // => 15
 * fingerSpan(1, 5, { size: "small" }).maxPractical; // => 13
 * ```
 */
export function fingerSpan(a: Finger, b: Finger, options: FingerSpanOptions = {}): FingerSpan {
  for (const finger of [a, b]) check(fingerShape, finger, "fingering/argument");
  check(spanOptions, options, "fingering/argument");
  return spansOf(options.size ?? "medium").between(a, b);
}
