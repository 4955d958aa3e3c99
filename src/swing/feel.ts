import type { OptionTests } from "../ground/check.ts";
import { need, needOptions } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Beats, BeatsLike } from "../time/index.ts";
import { beats, beatsOf, compareBeats, divideBeats, formatBeats, multiplyBeats } from "../time/index.ts";

/**
 * How a pair of equal written notes is divided: `first` to `second`, whole numbers in lowest terms. MusicXML's
 * swing element holds the same two numbers.
 */
export interface SwingRatio {
  readonly first: number;
  readonly second: number;
}

const PARTS = ["right", "left", "bass", "drums"] as const;

/** The parts of a score that a feel can treat apart. */
export type ScorePart = (typeof PARTS)[number];

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
  readonly unit?: "eighth" | "16th" | undefined;
  /** Quarter notes by which the first note of a pair is late, from 0 to an eighth of the pair. @defaultValue none */
  readonly downbeatDelay?: BeatsLike | undefined;
  /** Parts that play another ratio or delay. @defaultValue none */
  readonly parts?: Readonly<Partial<Record<ScorePart, PartFeel>>> | undefined;
  /** @defaultValue `"swing "` and the ratio */
  readonly id?: string | undefined;
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
  needOptions(options, OPTIONS, "swing/argument");
  const lowest = parseSwingRatio(ratio);
  const { unit = "eighth", parts, id = `swing ${lowest.first}:${lowest.second}`, downbeatDelay = 0 } = options;
  const delay = delayIn(downbeatDelay, unit);
  for (const part of Object.values<PartFeel | undefined>(parts ?? {})) {
    if (part?.ratio !== undefined) parseSwingRatio(part.ratio);
    if (part?.downbeatDelay !== undefined) delayIn(part.downbeatDelay, unit);
  }
  return { ...feelOf(id, lowest, unit, delay), ...(parts && { parts }) };
}

const isUnit = (value: unknown): boolean => value === "eighth" || value === "16th";

const isPartFeel = (value: unknown): boolean =>
  value === undefined ||
  (typeof value === "object" &&
    value !== null &&
    Object.keys(value).every((name) => name === "ratio" || name === "downbeatDelay"));

const OPTIONS: OptionTests = {
  id: [(id) => typeof id === "string" && id.length > 0 && id.length <= 100, "a name"],
  unit: [isUnit, "eighth or 16th"],
  downbeatDelay: [() => true, ""],
  parts: [
    (parts) =>
      typeof parts === "object" &&
      parts !== null &&
      Object.keys(parts).every((part) => PARTS.some((name) => name === part)) &&
      Object.values(parts).every(isPartFeel),
    `ratio and downbeatDelay for ${PARTS.join(", ")}`,
  ],
};

const known = /* @__PURE__ */ new WeakSet<object>();

/** Whether a value is a feel: a ratio, delays and parts that {@link swungFeel} would take. */
export const isFeel = (value: unknown): value is Feel => {
  const own: object = Object(value);
  if (known.has(own)) return true;
  const { kind, id, unit, ratio, ...options }: Partial<Feel> = own;
  if (kind !== "feel" || ratio === undefined || unit === undefined || id === undefined) return false;
  try {
    swungFeel(ratio, { id, unit, downbeatDelay: options.downbeatDelay, parts: options.parts });
    known.add(own);
    return true;
  } catch {
    return false;
  }
};

/** Refuses what is no feel. */
export const needFeel: (feel: unknown) => asserts feel is Feel = (feel) =>
  need(isFeel, feel, "swing/argument", "a feel, as parseFeel reads one from text");

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
  const [, ...texts] = (typeof ratio === "string" && RATIO.exec(ratio)) || [];
  const { first, second }: Partial<SwingRatio> = Object(ratio);
  const [over, under] = texts.length > 0 ? texts : [first, second].filter(Number.isSafeInteger);
  const size = Number(over) / Number(under);
  if (over !== undefined && under !== undefined && Number(under) > 0 && size >= 1 && size <= 8) {
    const { num, den } = divideBeats(over, under);
    return { first: num, second: den };
  }
  throw new MusicError({
    code: "swing/ratio",
    input: ratio,
    expected: 'a ratio from 1:1 to 8:1, such as "2:1" or "1.3:1"',
  });
}

const RATIO = /^\s*(\d{1,4}(?:\.\d{1,4})?)\s*:\s*(\d{1,4}(?:\.\d{1,4})?)\s*$/;

/** The length of a pair in quarter notes: a quarter of two eighths, an eighth of two sixteenths. */
export const pairLength = (unit: Feel["unit"]): Beats => beatsOf(1, unit === "eighth" ? 1 : 2);

const delayIn = (given: BeatsLike, unit: Feel["unit"]): Beats => {
  const delay = beats(given);
  const limit = multiplyBeats(pairLength(unit), beatsOf(1, 8));
  if (delay.num >= 0 && compareBeats(delay, limit) <= 0) return delay;
  throw new MusicError({
    code: "swing/delay",
    input: given,
    expected: `a downbeat delay from 0 to ${formatBeats(limit)} of a quarter note`,
  });
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
  needFeel(feel);
  need((name): name is ScorePart => PARTS.some((one) => one === name), part, "swing/argument", PARTS.join(", "));
  const own = feel.parts?.[part];
  return feelOf(feel.id, own?.ratio ?? feel.ratio, feel.unit, own?.downbeatDelay ?? feel.downbeatDelay);
}
