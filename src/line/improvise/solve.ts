import type { Problem } from "./problem.ts";
import { BACK, CHROMATIC, INTERVALS, LEAP, NO_STEP, SILENT, WIDEST, mayFollow } from "./problem.ts";

const OUT = -0x40000000;

// What a state remembers besides its pitch: nothing, that the note repeats the last, a leap that has to turn back, or a step
// down, which lets a chromatic note go on falling.
const PLAIN = 0;
const REPEATED = 1;
const LEAPT_UP = 2;
const LEAPT_DOWN = 3;
const STEPPED_DOWN = 4;
const MEMORIES = 5;

const memoryOf = (interval: number, to: number): number =>
  interval === 0 ? REPEATED
  : interval >= LEAP ? LEAPT_UP
  : interval <= -LEAP ? LEAPT_DOWN
  : to === CHROMATIC && interval < 0 && interval >= -2 ? STEPPED_DOWN
  : PLAIN;

/** The best line and its score. */
export interface Solution {
  readonly pitches: readonly number[];
  readonly points: number;
}

/**
 * The line of the highest score, exactly, by dynamic programming over pitch and the kind of the last interval; of several it
 * gives always the same one. `undefined` when no line keeps what it must.
 */
export const solve = (problem: Problem): Solution | undefined => {
  const { length, width, classes, unary, letters, taste, motif, starts, motifPoints, recoveryPoints, fallPoints, apart, resolve, limitRepeats } = problem;
  const states = width * MEMORIES;
  let now = new Int32Array(states).fill(OUT);
  let next = new Int32Array(states);
  const back = new Int16Array(length * states);
  for (let p = 0; p < width; p++) if (classes[p] !== SILENT) now[p] = unary[p] as number;

  for (let i = 1; i < length; i++) {
    next.fill(OUT);
    const row = i * width;
    const tasteRow = i * INTERVALS + WIDEST;
    const backRow = i * states;
    const asked = motif[i] as number;
    const start = starts[i] === 1;
    for (let a = 0; a < width; a++) {
      const plain = now[a] as number;
      const repeated = now[width + a] as number;
      const up = now[2 * width + a] as number;
      const down = now[3 * width + a] as number;
      const falling = now[4 * width + a] as number;
      if (plain === OUT && repeated === OUT && up === OUT && down === OUT && falling === OUT) continue;
      const from = classes[row - width + a] as number;
      const fromLetter = letters[row - width + a] as number;
      const low = Math.max(0, a - WIDEST);
      const high = Math.min(width - 1, a + WIDEST);
      for (let b = low; b <= high; b++) {
        const to = classes[row + b] as number;
        if (to === SILENT) continue;
        const d = b - a;
        if (!start && resolve && from >= CHROMATIC && !mayFollow(from, to, d)) continue;
        const hangs = from === CHROMATIC && d < 0 && !start ? fallPoints : 0;
        let best = plain === OUT ? OUT : plain - hangs;
        let memory = PLAIN;
        if (falling > best) {
          best = falling;
          memory = STEPPED_DOWN;
        }
        if (repeated > best && (start || d !== 0 || !limitRepeats)) {
          best = repeated;
          memory = REPEATED;
        }
        const afterUp = up === OUT ? OUT : (start || (d < 0 && d >= -BACK) ? up : up - recoveryPoints) - hangs;
        if (afterUp > best) {
          best = afterUp;
          memory = LEAPT_UP;
        }
        const afterDown = down === OUT ? OUT : (start || (d > 0 && d <= BACK) ? down : down - recoveryPoints) - hangs;
        if (afterDown > best) {
          best = afterDown;
          memory = LEAPT_DOWN;
        }
        if (best === OUT) continue;
        const edge = start
          ? -apart * Math.abs(d)
          : (taste[tasteRow + d] as number) + (asked !== NO_STEP && (letters[row + b] as number) - fromLetter === asked ? motifPoints : 0);
        const points = best + edge + (unary[row + b] as number);
        const state = (start ? PLAIN : memoryOf(d, to)) * width + b;
        if (points > (next[state] as number)) {
          next[state] = points;
          back[backRow + state] = memory * width + a;
        }
      }
    }
    [now, next] = [next, now];
  }

  let state = 0;
  for (let s = 1; s < states; s++) if ((now[s] as number) > (now[state] as number)) state = s;
  const points = now[state] as number;
  if (points === OUT) return undefined;
  const pitches = new Array<number>(length);
  for (let i = length - 1; i >= 0; i--) {
    pitches[i] = state % width;
    state = back[i * states + state] as number;
  }
  return { pitches, points };
};
