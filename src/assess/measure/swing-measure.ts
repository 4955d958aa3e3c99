import * as v from "valibot";
import { check } from "../../ground/check.ts";
import { MusicError } from "../../ground/errors.ts";
import type { Feel } from "../../swing/index.ts";

/** A measured number with the range in which it lies with a confidence of about 95 %. */
export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** What {@link measureSwing} finds in a take. */
export interface SwingMeasurement {
  readonly kind: "swing-measurement";
  readonly unit: Feel["unit"];
  /** How many pairs of notes the figures rest on. */
  readonly pairs: number;
  /** Where the offbeat divides the beat of the pulse: what a feel's ratio sets. */
  readonly ratio: Estimate;
  /** The ratio of the two sounding lengths, as heard from the late downbeat: below `ratio` where downbeats are late. */
  readonly beatUpbeatRatio: Estimate;
  /** How late the first notes of the pairs are, in quarter notes; negative when early. */
  readonly downbeatDelay: Estimate;
}

/** Options of {@link measureSwing}. */
export interface MeasureSwingOptions {
  /** @defaultValue `"eighth"` */
  readonly unit?: Feel["unit"] | undefined;
}

// Shares of a pair within which its first and its second note are looked for, each pair a tenth before its beat at the
// earliest; wide enough for every legal feel.
const MOST_ONSETS = 1_000_000;

const onsetsShape = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(/* @__PURE__ */ v.pipe(v.number(), v.minValue(-1e9), v.maxValue(1e9))),
  /* @__PURE__ */ v.maxLength(MOST_ONSETS),
);

const optionsShape = /* @__PURE__ */ v.strictObject({
  unit: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["eighth", "16th"])),
});

const EARLIEST = -0.1;
const isPair = (first: number, second: number): boolean => first <= 0.25 && second >= 0.4;
const FEWEST_PAIRS = 4;

/**
 * Measures swing from the onsets of one part: the beat-upbeat ratio, and how late the downbeats are.
 *
 * Only beats with exactly two notes count, one near the beat and one near the offbeat, so triplets, sixteenths and held
 * notes do no harm. The ranges are two standard errors of the mean on each side, carried over to ratios; they
 * tell how well the mean is known, not how evenly the player plays.
 *
 * @param onsets - quarter notes on the pulse of the rhythm section, from low to high in any order; beats are whole numbers
 * @returns figures that are measured, so decimal
 * @throws MusicError `assess/onsets` for what is no list of at most a million numbers, `assess/pairs` when fewer than four beats hold a pair
 *
 * @example
 * ```ts
 * import { measureSwing } from "hands-together/assess";
 *
 * measureSwing([0, 0.75, 1, 1.75, 2, 2.75, 3, 3.75]).ratio; // => { value: 3, low: 3, high: 3 }
 * measureSwing([0, 1, 2, 3]); // throws "assess/pairs"
 * ```
 */
export function measureSwing(onsets: readonly number[], options: MeasureSwingOptions = {}): SwingMeasurement {
  check(onsetsShape, onsets, "assess/onsets");
  check(optionsShape, options, "assess/argument");
  const unit = options.unit ?? "eighth";
  const pair = unit === "eighth" ? 1 : 0.5;
  const found = pairsIn(onsets, pair);
  if (found.length < FEWEST_PAIRS) {
    throw new MusicError({
      code: "assess/pairs",
      input: found.length,
      expected: `at least ${FEWEST_PAIRS} beats with one note on the beat and one on the offbeat`,
      reason: "cannot-be-done",
    });
  }
  return {
    kind: "swing-measurement",
    unit,
    pairs: found.length,
    ratio: estimate(
      found.map(([, second]) => second),
      shareToRatio,
    ),
    beatUpbeatRatio: estimate(
      found.map(([first, second]) => second - first),
      shareToRatio,
    ),
    downbeatDelay: estimate(
      found.map(([first]) => first),
      (share) => share * pair,
    ),
  };
}

const pairsIn = (onsets: readonly number[], pair: number): readonly (readonly [number, number])[] => {
  const byPair = new Map<number, Set<number>>();
  for (const onset of onsets) {
    const share = onset / pair;
    const index = Math.floor(share - EARLIEST);
    byPair.set(index, (byPair.get(index) ?? new Set()).add(share - index));
  }
  return [...byPair.values()].flatMap((shares) => {
    const [first, second, third] = [...shares].sort((a, b) => a - b);
    return first !== undefined && second !== undefined && third === undefined && isPair(first, second)
      ? [[first, second] as const]
      : [];
  });
};

const shareToRatio = (share: number): number => share / (1 - share);

const estimate = (values: readonly number[], toUnit: (mean: number) => number): Estimate => {
  const n = values.length;
  const mean = values.reduce((sum, v) => sum + v, 0) / n;
  const variance = values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n - 1);
  const reach = 2 * Math.sqrt(variance / n);
  return { value: toUnit(mean), low: toUnit(mean - reach), high: toUnit(mean + reach) };
};
