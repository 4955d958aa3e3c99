import type { Problem } from "./problem.ts";
import { BACK, CHROMATIC, INTERVALS, LEAP, mayFollow, NO_STEP, SILENT, WIDEST } from "./problem.ts";

const OUT = -0x40000000;
const FORBIDDEN = 0x10000000;

// What a state remembers besides its pitch: how the line came to it.
const NOTHING = 0;
const REPEATED = 1;
const ROSE = 2;
const FELL = 3;
const STEPPED_DOWN = 4;
const LEAPT_UP = 5;
const LEAPT_DOWN = 6;
const MEMORIES = 7;

const memoryOf = (interval: number): number =>
  interval === 0
    ? REPEATED
    : interval >= LEAP
      ? LEAPT_UP
      : interval <= -LEAP
        ? LEAPT_DOWN
        : interval > 0
          ? ROSE
          : interval >= -2
            ? STEPPED_DOWN
            : FELL;

const MEMORY_OF = Uint8Array.from({ length: INTERVALS }, (_, i) => memoryOf(i - WIDEST));

/** What the next interval costs after each memory: `MEMORIES × INTERVALS`. */
const chargesOf = ({ recoveryPoints, turnPoints, limitRepeats }: Problem): Int32Array => {
  const charges = new Int32Array(MEMORIES * INTERVALS);
  for (let d = -WIDEST; d <= WIDEST; d++) {
    const set = (memory: number, points: number): void => {
      charges[memory * INTERVALS + WIDEST + d] = points;
    };
    set(REPEATED, d === 0 && limitRepeats ? FORBIDDEN : 0);
    set(ROSE, d < 0 ? turnPoints : 0);
    set(FELL, d > 0 ? turnPoints : 0);
    set(STEPPED_DOWN, d > 0 ? turnPoints : 0);
    set(LEAPT_UP, d < 0 && d >= -BACK ? 0 : recoveryPoints);
    set(LEAPT_DOWN, d > 0 && d <= BACK ? 0 : recoveryPoints);
  }
  return charges;
};

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
  const { length, width, classes, unary, letters, taste, motif, starts, motifPoints, fallPoints, apart, resolve } =
    problem;
  const charges = chargesOf(problem);
  const most = Int32Array.from({ length: MEMORIES }, (_, m) =>
    Math.max(...charges.subarray(m * INTERVALS, (m + 1) * INTERVALS)),
  );
  const states = width * MEMORIES;
  let now = new Int32Array(states).fill(OUT);
  let next = new Int32Array(states);
  const back = new Int16Array(length * states);
  // The memories of one pitch that can still be part of the best line.
  const live = new Int32Array(MEMORIES);
  for (let p = 0; p < width; p++) if (classes[p] !== SILENT) now[p * MEMORIES] = unary[p] as number;

  for (let i = 1; i < length; i++) {
    next.fill(OUT);
    const row = i * width;
    const tasteRow = i * INTERVALS + WIDEST;
    const backRow = i * states;
    const asked = motif[i] as number;
    const start = starts[i] === 1;
    for (let a = 0; a < width; a++) {
      const base = a * MEMORIES;
      let best = OUT;
      let bestMemory = 0;
      for (let m = 0; m < MEMORIES; m++) {
        const points = now[base + m] as number;
        if (points > best) {
          best = points;
          bestMemory = m;
        }
      }
      if (best === OUT) continue;
      const from = classes[row - width + a] as number;
      const hanging = from === CHROMATIC && !start;
      // A memory whose score the best one keeps above whatever it is charged can't win.
      const floor = start ? best : best - (most[bestMemory] as number) - (hanging ? fallPoints : 0);
      let count = 0;
      for (let m = 0; m < MEMORIES; m++) if (m === bestMemory || (now[base + m] as number) > floor) live[count++] = m;

      const fromLetter = letters[row - width + a] as number;
      const low = Math.max(0, a - WIDEST);
      const high = Math.min(width - 1, a + WIDEST);
      for (let b = low; b <= high; b++) {
        const to = classes[row + b] as number;
        if (to === SILENT) continue;
        const d = b - a;
        if (start) {
          const points = best - apart * Math.abs(d) + (unary[row + b] as number);
          const state = b * MEMORIES + NOTHING;
          if (points > (next[state] as number)) {
            next[state] = points;
            back[backRow + state] = base + bestMemory;
          }
          continue;
        }
        if (resolve && from >= CHROMATIC && !mayFollow(from, to, d)) continue;
        const edge =
          (taste[tasteRow + d] as number) +
          (asked !== NO_STEP && (letters[row + b] as number) - fromLetter === asked ? motifPoints : 0) +
          (unary[row + b] as number);
        const state = b * MEMORIES + (MEMORY_OF[WIDEST + d] as number);
        const falls = hanging && d < 0;
        for (let k = 0; k < count; k++) {
          const m = live[k] as number;
          const charge = charges[m * INTERVALS + WIDEST + d] as number;
          if (charge === FORBIDDEN) continue;
          const points = (now[base + m] as number) + edge - charge - (falls && m !== STEPPED_DOWN ? fallPoints : 0);
          if (points > (next[state] as number)) {
            next[state] = points;
            back[backRow + state] = base + m;
          }
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
    pitches[i] = Math.floor(state / MEMORIES);
    state = back[i * states + state] as number;
  }
  return { pitches, points };
};
