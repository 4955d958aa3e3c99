import { MusicError } from "../ground/errors.ts";
import type { Beats, BeatsLike } from "../time/index.ts";
import { beats, beatsOf, compareBeats, divideBeats, formatBeats, multiplyBeats, ZERO } from "../time/index.ts";

/**
 * How a pair of equal written notes is divided: `first` to `second`, whole numbers in lowest terms. MusicXML's
 * swing element holds the same two numbers.
 */
export interface SwingRatio {
  readonly first: number;
  readonly second: number;
}

/** The parts of a score that a feel can treat apart. */
export type ScorePart = "right" | "left" | "bass" | "drums";

/** What one part does otherwise than the rest. */
export interface PartFeel {
  readonly ratio?: SwingRatio;
  /** Quarter notes; 0 for a part that sits on the beat. */
  readonly downbeatDelay?: Beats;
}

/** How written time becomes sounding time. Plain data: it can be stored with a score. */
export interface Feel {
  readonly kind: "feel";
  /** `"straight"`, a preset's id, or the ratio, such as `"swing 2:1"`. */
  readonly id: string;
  /** 1:1 is straight. */
  readonly ratio: SwingRatio;
  /** The written value that comes in uneven pairs. */
  readonly unit: "eighth" | "16th";
  /** How late the first note of each pair sounds, in quarter notes; the second is not delayed. Absent for none. */
  readonly downbeatDelay?: Beats;
  /** Parts that play another ratio or another delay. */
  readonly parts?: Readonly<Partial<Record<ScorePart, PartFeel>>>;
}

/** Straight time: every note sounds where it is written. */
export const straight: Feel = Object.freeze({
  kind: "feel",
  id: "straight",
  ratio: Object.freeze({ first: 1, second: 1 }),
  unit: "eighth",
});

/** Options of {@link swungFeel}. */
export interface SwungFeelOptions {
  /** @defaultValue `"eighth"` */
  readonly unit?: "eighth" | "16th";
  /** Quarter notes by which the first note of a pair is late, from 0 to an eighth of the pair. @defaultValue none */
  readonly downbeatDelay?: BeatsLike;
  /** Parts that play another ratio or delay. @defaultValue none */
  readonly parts?: Readonly<Partial<Record<ScorePart, PartFeel>>>;
  /** @defaultValue `"swing "` and the ratio */
  readonly id?: string;
}

/**
 * A swung feel of a ratio.
 *
 * @param ratio - text such as `"2:1"` or `"1.3:1"`, or two whole numbers; reduced to lowest terms
 * @throws MusicError `swing/ratio` unless the ratio lies from 1:1 to 8:1, `swing/delay` when the delay is below 0 or above an eighth of the pair
 *
 * @example
 * ```ts
 * import { swungFeel } from "hands-together";
 *
 * swungFeel("2:1"); // => { kind: "feel", id: "swing 2:1", ratio: { first: 2, second: 1 }, unit: "eighth" }
 * swungFeel("1.3:1").ratio; // => { first: 13, second: 10 }
 * ```
 */
export function swungFeel(ratio: string | SwingRatio, options: SwungFeelOptions = {}): Feel {
  const lowest = parseSwingRatio(ratio);
  const { unit = "eighth", parts, id = `swing ${lowest.first}:${lowest.second}` } = options;
  const delay = beats(options.downbeatDelay ?? 0);
  for (const part of [{ downbeatDelay: delay }, ...Object.values<PartFeel>(parts ?? {})]) {
    if (part.ratio !== undefined) parseSwingRatio(part.ratio);
    requireDelay(part.downbeatDelay ?? ZERO, unit);
  }
  return { ...feelOf(id, lowest, unit, delay), ...(parts && { parts }) };
}

const feelOf = (id: string, ratio: SwingRatio, unit: Feel["unit"], delay: Beats | undefined): Feel => ({
  kind: "feel",
  id,
  ratio,
  unit,
  ...(delay?.num && { downbeatDelay: delay }),
});

/**
 * Reads a swing ratio into lowest terms.
 *
 * @throws MusicError `swing/ratio` unless it lies from 1:1 to 8:1
 *
 * @example
 * ```ts
 * import { parseSwingRatio } from "hands-together/swing";
 *
 * parseSwingRatio("6:4"); // => { first: 3, second: 2 }
 * ```
 */
export function parseSwingRatio(ratio: string | SwingRatio): SwingRatio {
  const match =
    typeof ratio === "string" ? /^\s*(\d{1,4}(?:\.\d{1,4})?)\s*:\s*(\d{1,4}(?:\.\d{1,4})?)\s*$/.exec(ratio) : null;
  const { first, second } = match === null ? (Object(ratio) as SwingRatio) : { first: match[1], second: match[2] };
  const size = Number(first) / Number(second);
  if (
    (match !== null || (Number.isSafeInteger(first) && Number.isSafeInteger(second))) &&
    Number(second) > 0 &&
    size >= 1 &&
    size <= 8
  ) {
    const { num, den } = divideBeats(beats(first as string), beats(second as string));
    return { first: num, second: den };
  }
  throw new MusicError({
    code: "swing/ratio",
    input: ratio,
    expected: 'a ratio from 1:1 to 8:1, such as "2:1" or "1.3:1"',
  });
}

/** The length of a pair in quarter notes: a quarter of two eighths, an eighth of two sixteenths. */
export const pairLength = (unit: Feel["unit"]): Beats => beatsOf(1, unit === "eighth" ? 1 : 2);

const requireDelay = (delay: Beats, unit: Feel["unit"]): void => {
  const limit = multiplyBeats(pairLength(unit), beatsOf(1, 8));
  if (delay.num < 0 || compareBeats(delay, limit) > 0) {
    throw new MusicError({
      code: "swing/delay",
      input: delay,
      expected: `a downbeat delay from 0 to ${formatBeats(limit)} of a quarter note`,
    });
  }
};

/**
 * The feel as one part plays it, with what that part does otherwise put in place.
 *
 * @example
 * ```ts
 * import { beats, swungFeel } from "hands-together";
 * import { partFeel } from "hands-together/swing";
 *
 * const laidBack = swungFeel("2:1", { parts: { right: { downbeatDelay: beats("1/12") } } });
 * partFeel(laidBack, "right").downbeatDelay; // => { num: 1, den: 12 }
 * partFeel(laidBack, "left").downbeatDelay; // => undefined
 * ```
 */
export function partFeel(feel: Feel, part: ScorePart): Feel {
  const own = feel.parts?.[part];
  return feelOf(feel.id, own?.ratio ?? feel.ratio, feel.unit, own?.downbeatDelay ?? feel.downbeatDelay);
}
