import { nth } from "../../ground/list.ts";

/** A moment of the score that was heard, and whether the next one here is the next one written, so that its duration can be named. */
export interface RhythmMoment {
  readonly beat: number;
  readonly seconds: number;
  readonly named: boolean;
}

/** A duration that was played as another one. */
export interface Misread {
  /** Index of the moment that it begins at. */
  readonly index: number;
  /** Quarter notes as written, and as played. */
  readonly asked: number;
  readonly played: number;
}

/** Durations that have a name, in quarter notes. */
export const NAMED = [0.25, 0.5, 0.75, 1, 1.5, 2, 3, 4] as const;

// In natural logarithms of odds, our own: a duration is misread once in some thousand, a stop is likelier than a longer note.
const MISREAD = 8;
const MISREAD_LONGER = 9.5;
const STOP = 11;
const OUTLIER = 18;
// Of a duration and its neighbour less than this apart, nobody can tell.
const LEAST_RATIO = Math.log(1.32);
const MOST_RATIO = Math.log(2.1);
const LEAST_BEATS = 0.24;
// What hands do: some milliseconds, and a share of the interval (Wing, A. M. & Kristofferson, A. B. (1973), The timing of interresponse
// intervals, Perception & Psychophysics 13(3), 455-460: variance of a clock that grows with the interval, and of the motor part; from memory).
export const MOTOR = 0.02;
const SHARE = 0.03;
// A step of tempo is 3 %, and 1.2 of them a root of a beat are usual; more at the ends.
const STEP = Math.log(1.03);
const USUAL = 1.2;
const AT_THE_END = 3;
const LAST_BEATS = 4;

/** The least and greatest tempo, in steps about the usual one. */
const REACH = 24;

const usualChange = (quarters: number, ending: boolean): number =>
  USUAL * Math.sqrt(Math.max(0.25, quarters)) * (ending ? AT_THE_END : 1);

/** What a change of tempo by some steps over some quarter notes costs: a square that goes on as a line. */
export const changeCost = (steps: number, quarters: number, ending: boolean): number => {
  const by = Math.abs(steps) / usualChange(quarters, ending);
  return by <= 2 ? (by * by) / 2 : 2 * by - 2;
};

/** What an interval costs at a tempo, were it meant to last so many quarter notes. */
export const intervalCost = (seconds: number, quarters: number, pace: number, motor = MOTOR): number => {
  const meant = quarters * pace;
  const spread = Math.hypot(motor, SHARE * meant);
  return Math.min(OUTLIER, (seconds - meant) ** 2 / (2 * spread * spread));
};

/** The readings of a written duration: as it is, and misread, each with its price. */
export const readingsOf = (
  asked: number,
  named: boolean,
): readonly { readonly quarters: number; readonly price: number }[] => [
  { quarters: asked, price: 0 },
  ...(named && NAMED.some((name) => Math.abs(name - asked) < 0.01)
    ? NAMED.filter((name) => isConfusable(asked, name)).map((quarters) => ({
        quarters,
        price: quarters > asked ? MISREAD_LONGER : MISREAD,
      }))
    : []),
];

/** What a stop costs where an interval lasts longer than written; Infinity where it doesn't. */
export const stopCost = (seconds: number, quarters: number, pace: number): number =>
  seconds > quarters * pace ? STOP : Infinity;

// A dotted eighth is mistaken for a sixteenth's neighbour, not for an eighth or a quarter that lasts a little longer or shorter.
const isConfusable = (asked: number, name: number): boolean =>
  Math.abs(name - asked) > LEAST_BEATS &&
  Math.abs(Math.log(name / asked)) > LEAST_RATIO &&
  Math.abs(Math.log(name / asked)) < MOST_RATIO &&
  (name !== 0.75 || asked < 0.4 || asked > 1.2);

interface Interval {
  readonly asked: number;
  readonly seconds: number;
  readonly ending: boolean;
  readonly readings: ReturnType<typeof readingsOf>;
}

/**
 * By tempo, what it costs at least to come to it from another one, and from which. The cost of a change is a square up to twice the usual and
 * a line beyond, so that all changes beyond come from the best so far on either side.
 */
export const cheapestChange = (
  costs: Float64Array,
  asked: number,
  ending: boolean,
): { readonly least: Float64Array; readonly from: Int16Array } => {
  const width = costs.length;
  const changes = Float64Array.from({ length: width }, (_, by) => changeCost(by, asked, ending));
  const slope = 2 / usualChange(asked, ending);
  const bend = Math.min(width, Math.ceil(2 * usualChange(asked, ending)));
  const [least, from] = [new Float64Array(width), new Int16Array(width)];
  // From below: of all tempos further off than the bend the one from which the line starts lowest.
  let low = 0;
  for (let t = 0; t < width; t++) {
    let best = Infinity;
    const first = Math.max(0, t - bend);
    if (t > bend) {
      if ((costs[t - bend - 1] ?? 0) - slope * (t - bend - 1) < (costs[low] ?? 0) - slope * low) low = t - bend - 1;
    }
    const last = Math.min(width - 1, t + bend);
    let origin = first;
    if (t > bend) [best, origin] = [(costs[low] ?? 0) + (changes[t - low] ?? 0), low];
    for (let s = first; s <= last; s++) {
      const cost = (costs[s] ?? 0) + (changes[Math.abs(t - s)] ?? 0);
      if (cost < best) [best, origin] = [cost, s];
    }
    least[t] = best;
    from[t] = origin;
  }
  let high = width - 1;
  for (let t = width - 1 - bend - 1; t >= 0; t--) {
    const s = t + bend + 1;
    if ((costs[s] ?? 0) + slope * s < (costs[high] ?? 0) + slope * high) high = s;
    const cost = (costs[high] ?? 0) + (changes[high - t] ?? 0);
    if (cost < (least[t] ?? 0)) [least[t], from[t]] = [cost, high];
  }
  return { least, from };
};

/**
 * The likeliest reading of a rhythm: the exact optimum, over every course of tempo in steps of 3 % and every reading of each duration, of
 * what changes of tempo, misread durations, stops and the unevenness of hands cost.
 *
 * @param moments - in order of beat
 * @param pace - seconds a quarter note that are usual
 * @param motor - seconds by which an interval is uneven, whatever its length
 * @returns the misread durations, in order, and the cost
 */
export const readRhythm = (
  moments: readonly RhythmMoment[],
  pace: number,
  reach = REACH,
  motor = MOTOR,
): { readonly cost: number; readonly misread: readonly Misread[] } => {
  const last = moments.at(-1)?.beat ?? 0;
  const intervals = moments.slice(1).map((moment, i): Interval => {
    const before = nth(moments, i);
    const asked = moment.beat - before.beat;
    return {
      asked,
      seconds: moment.seconds - before.seconds,
      ending: last - moment.beat < LAST_BEATS,
      readings: readingsOf(asked, before.named),
    };
  });
  const width = 2 * reach + 1;
  const paces = Array.from({ length: width }, (_, t) => pace * Math.exp(STEP * (t - reach)));
  let costs = new Float64Array(width);
  const choices: Int8Array[] = [];
  const origins: Int16Array[] = [];
  for (const { asked, seconds, ending, readings } of intervals) {
    const { least, from } = cheapestChange(costs, asked, ending);
    const next = new Float64Array(width);
    const choice = new Int8Array(width);
    for (let t = 0; t < width; t++) {
      let [best, chosen] = [stopCost(seconds, asked, nth(paces, t)), -1];
      readings.forEach(({ quarters, price }, r) => {
        const cost = price + intervalCost(seconds, quarters, nth(paces, t), motor);
        if (cost < best) [best, chosen] = [cost, r];
      });
      next[t] = (least[t] ?? 0) + best;
      choice[t] = chosen;
    }
    choices.push(choice);
    origins.push(from);
    costs = next;
  }
  const cost = costs.reduce((a, b) => Math.min(a, b), Infinity);
  let t = costs.indexOf(cost);
  const misread: Misread[] = [];
  for (let index = intervals.length - 1; index >= 0; index--) {
    const { asked, readings } = nth(intervals, index);
    const chosen = nth(nth(choices, index), t);
    if (chosen > 0) misread.push({ index, asked, played: nth(readings, chosen).quarters });
    t = nth(nth(origins, index), t);
  }
  return { cost, misread: misread.reverse() };
};

/** A beat of the score as a beat of what was played, and back, where durations were misread. */
export interface Warp {
  readonly played: (beat: number) => number;
  readonly written: (beat: number) => number;
}

export const warpOf = (moments: readonly RhythmMoment[], misread: readonly Misread[]): Warp => {
  const knots: { readonly written: number; readonly played: number }[] = [];
  let shift = 0;
  for (const { index, asked, played } of misread) {
    const { beat } = nth(moments, index);
    knots.push({ written: beat, played: beat + shift });
    shift += played - asked;
    knots.push({ written: beat + asked, played: beat + asked + shift });
  }
  const along =
    (from: "written" | "played", to: "written" | "played") =>
    (beat: number): number => {
      let [after, end] = [0, knots.length];
      while (after < end) {
        const middle = (after + end) >> 1;
        if (nth(knots, middle)[from] > beat) end = middle;
        else after = middle + 1;
      }
      if (after === 0) return beat;
      const before = nth(knots, after - 1);
      if (after === knots.length) return before[to] + beat - before[from];
      const next = nth(knots, after);
      return before[to] + ((beat - before[from]) * (next[to] - before[to])) / (next[from] - before[from]);
    };
  return { played: along("written", "played"), written: along("played", "written") };
};
