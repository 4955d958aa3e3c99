import type { Problem } from "../../src/line/improvise/problem.ts";
import { BLUE, CHROMATIC, INTERVALS, NO_STEP, SILENT, WIDEST } from "../../src/line/improvise/problem.ts";

/** The score of a line, read off the definition of the problem; `undefined` for a line that breaks a must. */
export const scoreOf = (problem: Problem, line: readonly number[]): number | undefined => {
  const at = (i: number, p: number): number => i * problem.width + p;
  let sum = 0;
  for (let i = 0; i < line.length; i++) {
    const p = line[i] as number;
    if (problem.classes[at(i, p)] === SILENT) return undefined;
    sum += problem.unary[at(i, p)] as number;
    if (i === 0) continue;
    const q = line[i - 1] as number;
    const interval = p - q;
    if (Math.abs(interval) > WIDEST) return undefined;
    if (problem.starts[i] === 1) {
      sum -= problem.apart * Math.abs(interval);
      continue;
    }
    const from = problem.classes[at(i - 1, q)] as number;
    if (problem.resolve && [CHROMATIC, BLUE].includes(from)) {
      const isStep = [-2, -1, 1, 2].includes(interval);
      const belongs = ![CHROMATIC, BLUE].includes(problem.classes[at(i, p)] as number);
      if (!isStep || (from === CHROMATIC && !belongs)) return undefined;
    }
    sum += problem.taste[i * INTERVALS + WIDEST + interval] as number;
    const asked = problem.motif[i] as number;
    if (
      asked !== NO_STEP &&
      (problem.letters[at(i, p)] as number) - (problem.letters[at(i - 1, q)] as number) === asked
    )
      sum += problem.motifPoints;
    const before = problem.starts[i - 1] === 1 ? undefined : q - (line[i - 2] as number);
    if (from === CHROMATIC && interval < 0 && !(before === -1 || before === -2)) sum -= problem.fallPoints;
    if (before === undefined) continue;
    if (before === 0 && interval === 0 && problem.limitRepeats) return undefined;
    if (Math.abs(before) >= 8) {
      const back = Math.sign(interval) === -Math.sign(before) && Math.abs(interval) <= 4;
      if (!back) sum -= problem.recoveryPoints;
    } else if (before * interval < 0) {
      sum -= problem.turnPoints;
    }
  }
  return sum;
};

/** Every line that sounds allowed pitches only. */
export const everyLine = function* ({ length, width, classes }: Problem): Generator<readonly number[]> {
  const allowed = Array.from({ length }, (_, i) =>
    Array.from({ length: width }, (_p, p) => p).filter((p) => classes[i * width + p] !== SILENT),
  );
  const count = allowed.reduce((product, pitches) => product * pitches.length, 1);
  for (let n = 0; n < count; n++) {
    let left = n;
    yield allowed.map((pitches) => {
      const pitch = pitches[left % pitches.length] as number;
      left = Math.floor(left / pitches.length);
      return pitch;
    });
  }
};
