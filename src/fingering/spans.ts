import * as v from "valibot";
import type { Finger } from "../event/index.ts";
import { check, isRecord, shapeOf } from "../ground/check.ts";

/** How large a hand is taken to be; it only scales the table of spans. */
export type HandSize = "small" | "medium" | "large";

/** Two fingers, the lower number first. */
export type FingerPair = "1-2" | "1-3" | "1-4" | "1-5" | "2-3" | "2-4" | "2-5" | "3-4" | "3-5" | "4-5";

/** A hand that was measured: the widest span in semitones that it can practically play, by pair of fingers. */
export interface MeasuredHand {
  /** Pairs that were not measured follow the ones that were; 1-5 alone will do. */
  readonly widest: Readonly<Partial<Record<FingerPair, number>>>;
}

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
  /** The span of two fingers, in either order. */
  readonly between: (a: Finger, b: Finger) => FingerSpan;
}

const buildSpans = (widestOf: (low: Finger, high: Finger, medium: number) => number): HandSpans => {
  const table: FingerSpan[] = Array.from({ length: 36 }, () => SAME_FINGER);
  for (const [low, high, minPractical, minComfortable, minRelaxed, maxRelaxed, , maxPractical] of MEDIUM) {
    const widest = Math.max(minRelaxed, widestOf(low, high, maxPractical));
    const span: FingerSpan = {
      minPractical,
      minComfortable,
      minRelaxed,
      maxRelaxed: Math.min(maxRelaxed, widest),
      // In the table the comfortable span is everywhere two semitones below the practicable one.
      maxComfortable: Math.max(Math.min(maxRelaxed, widest), widest - 2),
      maxPractical: widest,
    };
    table[low * 6 + high] = span;
    table[high * 6 + low] = span;
  }
  return { between: (a, b) => table[a * 6 + b] ?? SAME_FINGER };
};

const sized = (size: HandSize): HandSpans =>
  buildSpans((low, high, medium) => {
    const relaxed = MEDIUM.find((row) => row[0] === low && row[1] === high)?.[5] ?? 0;
    return Math.max(relaxed, medium + (low === 1 ? OPENING[size].thumb : OPENING[size].other));
  });

const SPANS: Readonly<Record<HandSize, HandSpans>> = /* @__PURE__ */ (() => ({
  small: sized("small"),
  medium: sized("medium"),
  large: sized("large"),
}))();

const isPair = (name: string): name is FingerPair => MEDIUM.some(([low, high]) => name === `${low}-${high}`);

/** The span table of a hand: of a size, or measured. */
export const spansOf = (hand: HandSize | MeasuredHand): HandSpans => {
  if (typeof hand === "string") return SPANS[hand];
  // How much wider than the medium hand it opens, on the average of what was measured with the thumb, and half of it elsewhere.
  const over = MEDIUM.flatMap((row) => {
    const [low, high, ...values] = row;
    const name = `${low}-${high}`;
    const measured = isPair(name) ? hand.widest[name] : undefined;
    return measured === undefined ? [] : [(measured - values[5]) * (low === 1 ? 1 : 2)];
  });
  const wider = over.length === 0 ? 0 : over.reduce((sum, by) => sum + by, 0) / over.length;
  return buildSpans((low, high, medium) => {
    const name = `${low}-${high}`;
    return (isPair(name) ? hand.widest[name] : undefined) ?? medium + Math.round(low === 1 ? wider : wider / 2);
  });
};

/**
 * The span that two fingers are asked to make by an interval played from one to the other, counted in the fingers'
 * natural order: positive when they lie as they grow, negative when they cross.
 */
export const naturalSpan = (from: Finger, to: Finger, interval: number): number =>
  from === to ? Math.abs(interval) : from < to ? interval : -interval;

const PAIRS: readonly string[] = ["1-2", "1-3", "1-4", "1-5", "2-3", "2-4", "2-5", "3-4", "3-5", "4-5"];

/** Whether a value is a size of hand, or a hand that was measured. */
export const isHandSize = (value: unknown): value is HandSize | MeasuredHand =>
  value === "small" ||
  value === "medium" ||
  value === "large" ||
  (isRecord(value) &&
    isRecord(value.widest) &&
    Object.entries(value.widest).every(
      ([pair, span]) =>
        PAIRS.includes(pair) &&
        (span === undefined || (typeof span === "number" && Number.isInteger(span) && span > 0 && span <= 24)),
    ));

export const fingerShape = /* @__PURE__ */ v.picklist([1, 2, 3, 4, 5]);
export const spanOptions = /* @__PURE__ */ v.strictObject({
  size: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(isHandSize, "a small, medium or large hand, or a measured one"),
  ),
});

/** Options of {@link fingerSpan}. */
export interface FingerSpanOptions {
  /** The hand. @defaultValue `"medium"` */
  readonly size?: HandSize | MeasuredHand | undefined;
}

/**
 * What two fingers of one hand can span, in semitones, for a hand of a given size.
 *
 * The medium hand is the published one; the others are ours (thumb pairs open two semitones less or more, other pairs
 * one). A hand that was measured is taken at its word. No span is safe for every hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician.
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
 * fingerSpan(1, 4, { size: { widest: { "1-5": 12 } } }).maxPractical; // => 11
 * ```
 */
export function fingerSpan(a: Finger, b: Finger, options: FingerSpanOptions = {}): FingerSpan {
  for (const finger of [a, b]) check(fingerShape, finger, "fingering/argument");
  check(spanOptions, options, "fingering/argument");
  return spansOf(options.size ?? "medium").between(a, b);
}
