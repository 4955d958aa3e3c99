import { nth } from "../../ground/list.ts";
/** A moment of the score that was heard: quarter notes, and seconds. */
export interface Heard {
  readonly beat: number;
  readonly seconds: number;
}

/** Where the player stopped and went on. */
export interface Pause {
  /** The quarter note before which it lies. */
  readonly beat: number;
  /** How much longer than the beat it took. */
  readonly seconds: number;
}

/** A player's own clock through one run: smooth, so that what is left is timing. */
export interface Clock {
  readonly pauses: readonly Pause[];
  /** Seconds at a quarter note. */
  secondsAt(beat: number): number;
  /** The quarter note at a second; never falls as seconds rise. */
  beatAt(seconds: number): number;
  /** The tempo along the run, in quarter notes a minute. */
  readonly tempos: readonly { readonly beat: number; readonly tempo: number }[];
}

/** Steps of the clock in which neighbours weigh on each other, each way: two bars of four. */
const REACH = 8;
const FEWEST = 6;
const ROUNDS = 3;
// A gap longer than the music by this much of a beat and this many seconds is a stop, not a slowing.
const STOP_BEATS = 0.6;
const STOP_SECONDS = 0.3;

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? nth(sorted, middle) : (nth(sorted, middle - 1) + nth(sorted, middle)) / 2;
};

/** Seconds a quarter note between neighbouring moments. */
const slopes = (heard: readonly Heard[]): readonly number[] =>
  heard.slice(1).map((h, i) => (h.seconds - nth(heard, i).seconds) / (h.beat - nth(heard, i).beat));

/** The usual seconds a quarter note of a run; undefined for fewer than two moments. */
export const usualPace = (heard: readonly Heard[]): number | undefined => {
  const positive = slopes(heard).filter((slope) => slope > 0);
  return positive.length === 0 ? undefined : median(positive);
};

const splitAtPauses = (
  heard: readonly Heard[],
): { readonly pieces: readonly (readonly Heard[])[]; readonly pauses: readonly Pause[] } => {
  const all = slopes(heard);
  const pieces: Heard[][] = [];
  const pauses: Pause[] = [];
  heard.forEach((h, i) => {
    const before = heard[i - 1];
    if (before !== undefined) {
      const near = [...all.slice(Math.max(0, i - 1 - FEWEST), i - 1), ...all.slice(i, i + FEWEST)];
      const pace = near.length === 0 ? nth(all, i - 1) : median(near);
      const excess = (from: Heard, to: Heard): number => to.seconds - from.seconds - pace * (to.beat - from.beat);
      // One moment that was read wrong is no stop: those beside it must tell the same.
      const [earlier, later] = [heard[i - 2] ?? before, heard[i + 1] ?? h];
      const least = Math.min(excess(before, h), excess(earlier, h), excess(before, later));
      if (least > Math.max(STOP_BEATS * pace, STOP_SECONDS)) pauses.push({ beat: h.beat, seconds: excess(before, h) });
      else {
        nth(pieces, -1).push(h);
        return;
      }
    }
    pieces.push([h]);
  });
  return { pieces, pauses };
};

interface Piece {
  readonly beats: readonly number[];
  readonly seconds: readonly number[];
}

const bisquare = (x: number): number => (Math.abs(x) >= 1 ? 0 : (1 - x * x) ** 2);

/**
 * Local parabolas through the heard moments at every step (Cleveland, W. S. (1979), Robust locally weighted regression and
 * smoothing scatterplots, JASA 74, 829-836: tricube weights, bisquare against outliers).
 */
const smooth = (heard: readonly Heard[], step: number, pace: number): Piece => {
  const first = nth(heard, 0).beat;
  const last = nth(heard, -1).beat;
  const from = Math.floor(first / step);
  const to = Math.max(from + 1, Math.ceil(last / step));
  const beats = Array.from({ length: to - from + 1 }, (_, i) => (from + i) * step);
  if (heard.length < 3) {
    const start = median(heard.map((h) => h.seconds - pace * h.beat));
    return { beats, seconds: beats.map((beat) => start + pace * beat) };
  }
  const at = Float64Array.from(heard, (h) => h.beat);
  // Seconds beyond the usual pace keep the sums small.
  const over = Float64Array.from(heard, (h) => h.seconds - pace * h.beat);
  const all = new Float64Array(heard.length).fill(1);
  const lineAt = (beat: number, low: number, trust: Float64Array): number => {
    let lo = low;
    let hi = low;
    while (hi < at.length && (at[hi] ?? 0) <= beat + REACH * step) hi++;
    while (hi - lo < Math.min(FEWEST, at.length)) {
      const left = lo > 0 ? beat - (at[lo - 1] ?? 0) : Infinity;
      const right = hi < at.length ? (at[hi] ?? 0) - beat : Infinity;
      if (left < right) lo--;
      else hi++;
    }
    const reach = Math.max(REACH * step, beat - (at[lo] ?? 0), (at[hi - 1] ?? 0) - beat) * 1.001;
    let w = 0;
    let wx = 0;
    let wxx = 0;
    let wxxx = 0;
    let wxxxx = 0;
    let wy = 0;
    let wxy = 0;
    let wxxy = 0;
    for (let i = lo; i < hi; i++) {
      const x = (at[i] ?? 0) - beat;
      const y = over[i] ?? 0;
      const near = Math.abs(x) / reach;
      const cube = 1 - near * near * near;
      const weight = (trust[i] ?? 0) * cube * cube * cube;
      const weighted = weight * x;
      const square = weighted * x;
      w += weight;
      wx += weighted;
      wxx += square;
      wxxx += square * x;
      wxxxx += square * x * x;
      wy += weight * y;
      wxy += weighted * y;
      wxxy += square * y;
    }
    // Where every note nearby is an outlier, none is.
    if (w === 0) return lineAt(beat, low, all);
    const plain = pace * beat;
    // The constant of the weighted least-squares parabola, by Cramer's rule; of the line or the mean, where the points tell no more.
    const a = wxx * wxxxx - wxxx * wxxx;
    const b = wx * wxxxx - wxx * wxxx;
    const c = wx * wxxx - wxx * wxx;
    const parabola = w * a - wx * b + wxx * c;
    const unit = step * step;
    if (heard.length >= FEWEST && parabola > 1e-6 * w ** 3 * unit ** 3)
      return plain + (wy * a - wxy * b + wxxy * c) / parabola;
    const line = w * wxx - wx * wx;
    return plain + (line > 1e-6 * w * w * unit ? (wy * wxx - wx * wxy) / line : wy / w);
  };
  const fit = (trust: Float64Array): Piece => {
    let low = 0;
    const seconds = beats.map((beat) => {
      while ((at[low] ?? Infinity) < beat - REACH * step) low++;
      return lineAt(beat, low, trust);
    });
    return rising(beats, seconds, pace);
  };
  const trustOf = ({ seconds }: Piece): Float64Array => {
    const errors = heard.map((h) => h.seconds - valueAt(beats, seconds, h.beat));
    const scale = 6 * Math.max(0.005, median(errors.map(Math.abs)));
    return Float64Array.from(errors, (error) => bisquare(error / scale));
  };
  let piece = fit(all);
  for (let round = 1; round < ROUNDS; round++) piece = fit(trustOf(piece));
  return piece;
};

/** Keeps time running: a step takes at least a fifth of the usual pace. */
const rising = (beats: readonly number[], seconds: readonly number[], pace: number): Piece => {
  const kept: number[] = [];
  seconds.forEach((s, i) => {
    const before = kept[i - 1];
    kept.push(before === undefined ? s : Math.max(s, before + 0.2 * pace * (nth(beats, i) - nth(beats, i - 1))));
  });
  return { beats, seconds: kept };
};

/** Straight between points, and straight on at either end. */
const valueAt = (xs: readonly number[], ys: readonly number[], x: number): number => {
  let [low, high] = [0, xs.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (nth(xs, middle) <= x) low = middle;
    else high = middle;
  }
  const [x0, x1, y0, y1] = [nth(xs, low), nth(xs, high), nth(ys, low), nth(ys, high)];
  return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
};

/**
 * The clock of one run.
 *
 * @param heard - in order of beat, one for each, at least one; seconds mostly rise
 * @param step - quarter notes between the points of the clock: the pulse
 * @param pace - seconds a quarter note where the run itself does not tell
 */
export const fitClock = (heard: readonly Heard[], step: number, pace: number): Clock => {
  const usual = usualPace(heard) ?? pace;
  const { pieces: parts, pauses } = splitAtPauses(heard);
  const pieces = parts.map((part) => smooth(part, step, usual));
  const edges = parts.map((part) => ({ first: nth(part, 0), last: nth(part, -1) }));
  const pieceAt = (beat: number): number => {
    let [low, high] = [0, edges.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (beat >= nth(edges, middle).first.beat - 1e-9) low = middle;
      else high = middle - 1;
    }
    return low;
  };
  return {
    pauses,
    secondsAt: (beat) => {
      const piece = nth(pieces, pieceAt(beat));
      return valueAt(piece.beats, piece.seconds, beat);
    },
    beatAt: (seconds) => {
      let [found, last] = [0, edges.length - 1];
      // A key belongs to the stretch after a stop from a little before its first beat on.
      while (found < last) {
        const middle = (found + last + 1) >> 1;
        if (seconds >= nth(edges, middle).first.seconds - 0.25 * usual) found = middle;
        else last = middle - 1;
      }
      const piece = nth(pieces, found);
      const next = edges[found + 1];
      const beat = valueAt(piece.seconds, piece.beats, seconds);
      const floor = found > 0 ? nth(edges, found).first.beat - 0.5 : -Infinity;
      return Math.max(floor, next === undefined ? beat : Math.min(beat, next.first.beat - 0.5));
    },
    tempos: pieces.flatMap(({ beats, seconds }, p) =>
      beats
        .slice(1)
        .map((beat, i) => ({
          beat: nth(beats, i),
          tempo: (60 * (beat - nth(beats, i))) / (nth(seconds, i + 1) - nth(seconds, i)),
          p,
        }))
        .filter(() => nth(parts, p).length >= 3)
        .map(({ beat, tempo }) => ({ beat, tempo })),
    ),
  };
};
