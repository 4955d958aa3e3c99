import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Problem } from "../../src/line/improvise/problem.ts";
import { INTERVALS, NO_STEP } from "../../src/line/improvise/problem.ts";
import { solve } from "../../src/line/improvise/solve.ts";
import { everyLine, scoreOf } from "./reference.ts";

describe("the search", () => {
  const small: fc.Arbitrary<Problem> = fc
    .record({
      length: fc.integer({ min: 1, max: 6 }),
      width: fc.integer({ min: 1, max: 4 }),
      stretch: fc.constantFrom(1, 1, 2, 3, 4),
    })
    .chain(({ length, width, stretch }) => {
      const cells = length * width;
      const points = fc.integer({ min: -40, max: 40 });
      const filled = (size: number) => fc.array(points, { minLength: size, maxLength: size });
      return fc
        .record({
          classes: fc.array(fc.constantFrom(0, 1, 2, 3, 4, 4, 4, 5), { minLength: cells, maxLength: cells }),
          unary: filled(cells),
          taste: filled(length * INTERVALS),
          motif: fc.array(fc.constantFrom(NO_STEP, NO_STEP, -1, 0, 1), { minLength: length, maxLength: length }),
          starts: fc.array(fc.constantFrom(0, 0, 1), { minLength: length, maxLength: length }),
          charges: fc.array(fc.integer({ min: 0, max: 150 }), { minLength: 5, maxLength: 5 }),
          resolve: fc.boolean(),
          limitRepeats: fc.boolean(),
        })
        .map(
          (r): Problem => ({
            // Only every third key, say, sounds: so leaps are as common as steps.
            length,
            width: (width - 1) * stretch + 1,
            classes: spread(r.classes, length, width, stretch),
            unary: Int32Array.from(spread(r.unary, length, width, stretch, Int32Array)),
            letters: Int16Array.from({ length: length * ((width - 1) * stretch + 1) }, (_, i) =>
              Math.floor((i % ((width - 1) * stretch + 1)) / 2),
            ),
            taste: Int32Array.from(r.taste),
            motif: Int8Array.from(r.motif),
            starts: Uint8Array.from(r.starts.map((s, i) => (i === 0 ? 1 : s))),
            motifPoints: r.charges[0] as number,
            recoveryPoints: r.charges[1] as number,
            turnPoints: r.charges[2] as number,
            fallPoints: r.charges[3] as number,
            apart: r.charges[4] as number,
            resolve: r.resolve,
            limitRepeats: r.limitRepeats,
          }),
        );
    });

  function spread(values: readonly number[], length: number, width: number, stretch: number): Uint8Array;
  function spread(
    values: readonly number[],
    length: number,
    width: number,
    stretch: number,
    kind: typeof Int32Array,
  ): Int32Array;
  function spread(
    values: readonly number[],
    length: number,
    width: number,
    stretch: number,
    kind: typeof Int32Array | typeof Uint8Array = Uint8Array,
  ): Int32Array | Uint8Array {
    const wide = (width - 1) * stretch + 1;
    const out = new kind(length * wide);
    for (let i = 0; i < length; i++)
      for (let p = 0; p < width; p++) out[i * wide + p * stretch] = values[i * width + p] as number;
    return out;
  }

  it("law: no line of a small problem scores more than the one found, and none is found only where there is none", () => {
    fc.assert(
      fc.property(small, (problem) => {
        let best: number | undefined;
        for (const line of everyLine(problem)) {
          const score = scoreOf(problem, line);
          if (score !== undefined && (best === undefined || score > best)) best = score;
        }
        const found = solve(problem);
        expect(found?.points).toBe(best);
        if (found !== undefined) expect(scoreOf(problem, found.pitches)).toBe(found.points);
      }),
      { numRuns: 600 },
    );
  });
});
