import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Heard } from "../../src/assess/align/clock.ts";
import { fitClock, median, usualPace } from "../../src/assess/align/clock.ts";

const steady = (count: number, pace: number, start = 0, first = 0): readonly Heard[] =>
  Array.from({ length: count }, (_, i) => ({ beat: first + i, seconds: start + pace * (first + i) }));

/** Least squares by Gaussian elimination on the normal equations: the value at 0 of the polynomial of a degree. */
const weightedFit = (
  points: readonly { readonly x: number; readonly y: number; readonly w: number }[],
  degree: number,
): number => {
  const size = degree + 1;
  const rows = Array.from({ length: size }, (_, r) => [
    ...Array.from({ length: size }, (_, c) => points.reduce((sum, { x, w }) => sum + w * x ** (r + c), 0)),
    points.reduce((sum, { x, y, w }) => sum + w * y * x ** r, 0),
  ]);
  for (let c = 0; c < size; c++) {
    const best = rows
      .slice(c)
      .reduce(
        (at, row, i) => (Math.abs(row[c] as number) > Math.abs((rows[at] as number[])[c] as number) ? c + i : at),
        c,
      );
    [rows[c], rows[best]] = [rows[best] as number[], rows[c] as number[]];
    for (let r = 0; r < size; r++) {
      if (r === c) continue;
      const factor = ((rows[r] as number[])[c] as number) / ((rows[c] as number[])[c] as number);
      rows[r] = (rows[r] as number[]).map((value, i) => value - factor * ((rows[c] as number[])[i] as number));
    }
  }
  return ((rows[0] as number[])[size] as number) / ((rows[0] as number[])[0] as number);
};

/**
 * Robust locally weighted regression as published (Cleveland, W. S. (1979), JASA 74, 829-836; from memory): tricube weights, local parabolas
 * over 8 steps each way and at least 6 points, two rounds of bisquare weights at 6 times the median residual; here a residual of 5 ms is nothing.
 */
const cleveland = (heard: readonly Heard[], step: number, pace: number): readonly number[] => {
  const [first, last] = [heard[0] as Heard, heard.at(-1) as Heard];
  const from = Math.floor(first.beat / step);
  const knots = Array.from(
    { length: Math.max(from + 1, Math.ceil(last.beat / step)) - from + 1 },
    (_, i) => (from + i) * step,
  );
  let trust = heard.map(() => 1);
  let values: number[] = [];
  for (let round = 0; round < 3; round++) {
    values = [];
    for (const knot of knots) {
      const inside = heard.filter((h) => Math.abs(h.beat - knot) <= 8 * step);
      const near =
        inside.length >= Math.min(6, heard.length)
          ? inside
          : [...heard]
              .sort((a, b) => Math.abs(a.beat - knot) - Math.abs(b.beat - knot) || b.beat - a.beat)
              .slice(0, Math.min(6, heard.length));
      const reach = 1.001 * Math.max(8 * step, ...near.map((h) => Math.abs(h.beat - knot)));
      // Where every note nearby is an outlier, none is.
      const weights = near.every((h) => trust[heard.indexOf(h)] === 0) ? heard.map(() => 1) : trust;
      const points = near.map((h) => ({
        x: h.beat - knot,
        y: h.seconds - pace * h.beat,
        w: (weights[heard.indexOf(h)] as number) * (1 - (Math.abs(h.beat - knot) / reach) ** 3) ** 3,
      }));
      // Two points tell of a line alone, one of a mean.
      const telling = points.filter(({ w }) => w > 1e-9).length;
      const fitted = pace * knot + weightedFit(points, Math.min(near.length >= 6 ? 2 : 1, telling - 1));
      const before = values.at(-1);
      // Time runs: a step takes at least a fifth of the usual pace.
      values.push(before === undefined ? fitted : Math.max(fitted, before + 0.2 * pace * step));
    }
    const at = (beat: number): number => {
      const k = Math.max(0, Math.min(knots.length - 2, Math.floor(beat / step + 1e-12) - from));
      const [a, b] = [values[k] as number, values[k + 1] as number];
      return a + ((b - a) * (beat - (knots[k] as number))) / step;
    };
    const errors = heard.map((h) => h.seconds - at(h.beat));
    const scale = 6 * Math.max(0.005, median(errors.map(Math.abs)));
    trust = errors.map((error) => (Math.abs(error) >= scale ? 0 : (1 - (error / scale) ** 2) ** 2));
  }
  return values;
};

describe("a player's clock", () => {
  it("the middle of numbers, and the usual pace", () => {
    expect([median([3]), median([9, 1, 5]), median([4, 1, 9, 2]), median([10, 9, 100])]).toEqual([3, 5, 3, 10]);
    expect(
      usualPace([
        { beat: 0, seconds: 0 },
        { beat: 1, seconds: 0.5 },
        { beat: 3, seconds: 1.5 },
        { beat: 4, seconds: 9 },
      ]),
    ).toBe(0.5);
    // A moment that was read before the one it follows tells nothing.
    expect(
      usualPace([
        { beat: 0, seconds: 1 },
        { beat: 1, seconds: 0 },
        { beat: 2, seconds: 3 },
      ]),
    ).toBe(3);
    expect(
      usualPace([
        { beat: 0, seconds: 1 },
        { beat: 1, seconds: 1 },
        { beat: 2, seconds: 1 },
      ]),
    ).toBeUndefined();
    expect(usualPace([{ beat: 0, seconds: 1 }])).toBeUndefined();
  });

  it("law: at an even tempo it tells that tempo, between the notes and beyond them", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 20 }),
        fc.double({ min: 0.2, max: 2, noNaN: true }),
        fc.integer({ min: -4, max: 9 }),
        fc.constantFrom(1, 1.5),
        fc.double({ min: -8, max: 30, noNaN: true }),
        fc.constantFrom(1, 4),
        (count, pace, first, step, beat, apart) => {
          // A note on every beat, or one in a bar.
          const heard = Array.from({ length: count }, (_, i) => first + apart * i).map((at) => ({
            beat: at,
            seconds: 3 + pace * at,
          }));
          const clock = fitClock(heard, step, 99);
          expect(clock.secondsAt(beat)).toBeCloseTo(3 + pace * beat, 8);
          expect(clock.beatAt(3 + pace * beat)).toBeCloseTo(beat, 6);
          expect(clock.pauses).toEqual([]);
          for (const { tempo } of clock.tempos) expect(tempo).toBeCloseTo(60 / pace, 6);
        },
      ),
      { numRuns: 30 },
    );
  });

  it("tells tempos at the steps from the first note to the last, of three notes or more", () => {
    expect(fitClock(steady(5, 0.5, 0, 2), 1, 9).tempos.map(({ beat }) => beat)).toEqual([2, 3, 4, 5]);
    expect(fitClock(steady(4, 0.5, 0, 1), 1.5, 9).tempos.map(({ beat }) => beat)).toEqual([0, 1.5, 3]);
    expect(fitClock(steady(3, 0.5), 1, 9).tempos).toHaveLength(2);
    expect(fitClock(steady(2, 0.5), 1, 9).tempos).toEqual([]);
  });

  it("a note or two alone take the pace that is given, or their own", () => {
    const one = fitClock([{ beat: 2, seconds: 5 }], 1, 0.5);
    expect([one.secondsAt(2), one.secondsAt(6), one.beatAt(6)]).toEqual([5, 7, 4]);
    const two = fitClock(
      [
        { beat: 2, seconds: 5 },
        { beat: 4, seconds: 7 },
      ],
      1,
      0.25,
    );
    expect([two.secondsAt(2), two.secondsAt(8)]).toEqual([5, 11]);
    // Two moments that do not rise: the pace that is given, through the middle of both.
    const fallen = fitClock(
      [
        { beat: 0, seconds: 1 },
        { beat: 1, seconds: 1 },
      ],
      1,
      0.5,
    );
    expect(fallen.secondsAt(0)).toBeCloseTo(0.75, 9);
  });

  it("time runs on where all was heard at once: at a fifth of the usual pace, by the quarter or the dotted quarter note", () => {
    for (const step of [1, 1.5]) {
      const clock = fitClock(
        Array.from({ length: 9 }, (_, i) => ({ beat: i * step, seconds: 3 })),
        step,
        0.5,
      );
      for (const i of [0, 1, 4, 8]) expect(clock.secondsAt(i * step)).toBeCloseTo(3 + 0.2 * 0.5 * i * step, 9);
    }
  });

  it("law: a tempo that changes evenly is followed exactly, for a local parabola fits a parabola", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.002, max: 0.004, noNaN: true }),
        fc.uniqueArray(fc.integer({ min: 1, max: 39 }), { maxLength: 10 }),
        fc.constantFrom(1, 1.5),
        (bend, silent, step) => {
          const at = (beat: number): number => 2 + 0.5 * beat + bend * beat * beat;
          const heard = Array.from({ length: 41 }, (_, i) => i)
            .filter((i) => !silent.includes(i))
            .map((beat) => ({ beat: beat * step, seconds: at(beat * step) }));
          const clock = fitClock(heard, step, 9);
          if (clock.pauses.length > 0) return;
          for (let k = 0; k <= 40; k++) expect(clock.secondsAt(k * step)).toBeCloseTo(at(k * step), 6);
        },
      ),
      { numRuns: 20 },
    );
  });

  it("law: between, it is robust locally weighted regression as published", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 3 }), fc.integer({ min: -60, max: 60 })), {
          minLength: 2,
          maxLength: 30,
        }),
        fc.constantFrom(1, 1.5),
        (gaps, step) => {
          let beat = 0;
          const heard = [
            { beat, seconds: 1 },
            ...gaps.map(([gap, late]) => ({ beat: (beat += gap / 2), seconds: 1 + 0.6 * beat + late / 1000 })),
          ];
          const clock = fitClock(heard, step, 9);
          if (clock.pauses.length > 0) return;
          const values = cleveland(heard, step, usualPace(heard) as number);
          values.forEach((value, i) => expect(clock.secondsAt(i * step)).toBeCloseTo(value, 7));
        },
      ),
      {
        numRuns: 60,
        examples: [
          [
            [
              [1, 0],
              [1, 0],
              [1, 0],
              [1, 700],
              [1, 0],
              [1, 0],
              [1, 0],
              [1, 0],
              [1, 0],
              [1, 0],
              [1, 0],
              [1, 0],
              [1, -300],
            ],
            1,
          ],
          [
            [
              [2, 0],
              [2, -60],
              [2, 60],
            ],
            1,
          ],
        ],
      },
    );
  });

  it("law: a passage played wildly tells its own time", () => {
    const wild = [0, 1, 2, 3, 4, 5].map((i) => ({ beat: i, seconds: 60 + 0.5 * i + (i % 2 === 0 ? 0.08 : -0.08) }));
    const heard = [...wild, ...steady(40, 0.5, 60, 30)];
    const clock = fitClock(heard, 1, 9);
    expect(clock.pauses).toEqual([]);
    for (const h of heard) expect(Math.abs(clock.secondsAt(h.beat) - h.seconds)).toBeLessThan(0.1);
    cleveland(heard, 1, 0.5).forEach((value, i) => expect(clock.secondsAt(i)).toBeCloseTo(value, 3));
  });

  it("is not moved by one note far off", () => {
    const heard = steady(32, 0.5).map((h) => (h.beat === 16 ? { ...h, seconds: h.seconds + 0.25 } : h));
    expect(Math.abs(fitClock(heard, 1, 9).secondsAt(16) - 8)).toBeLessThan(0.002);
  });

  it("law: time never stands still or runs back, whatever is heard", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 20_000 }), { minLength: 2, maxLength: 24 }),
        fc.constantFrom(1, 1.5),
        (milliseconds, step) => {
          const heard = milliseconds.map((at, i) => ({ beat: i * step, seconds: at / 1000 }));
          const clock = fitClock(heard, step, 0.5);
          let beat = -Infinity;
          for (let at = -2; at < 22; at += 0.25) {
            expect(clock.beatAt(at)).toBeGreaterThanOrEqual(beat);
            beat = clock.beatAt(at);
          }
          if (clock.pauses.length > 0) return;
          const least = 0.2 * (usualPace(heard) ?? 0.5) * step;
          for (let k = 1; k < heard.length; k++)
            expect(clock.secondsAt(k * step) - clock.secondsAt((k - 1) * step)).toBeGreaterThan(least - 1e-6);
        },
      ),
      { numRuns: 40 },
    );
  });

  it.each([1, 1.5])(
    "is never faster than five times the usual tempo, however far back the moments go (steps of %d)",
    (step) => {
      const heard = Array.from(
        { length: 24 },
        (_, i): Heard => ({ beat: i * step, seconds: i * step * 0.5 - (i >= 12 ? 6 : 0) }),
      );
      expect(Math.max(...fitClock(heard, step, 0.5).tempos.map(({ tempo }) => tempo))).toBeCloseTo(5 * 120, 6);
    },
  );

  describe("stops", () => {
    /** An even pace with one gap that is so many seconds longer. */
    const gap = (extra: number, pace: number, at = 8, count = 16): readonly Heard[] =>
      steady(count, pace).map((h) => (h.beat >= at ? { ...h, seconds: h.seconds + extra } : h));

    it("are gaps longer by three fifths of a beat and by three tenths of a second", () => {
      for (const [pace, least] of [
        [1, 0.6],
        [0.5, 0.3],
        [0.25, 0.3],
      ] as const) {
        expect(fitClock(gap(least - 0.01, pace), 1, 9).pauses).toEqual([]);
        const { pauses } = fitClock(gap(least + 0.01, pace), 1, 9);
        expect(pauses.map(({ beat }) => beat)).toEqual([8]);
        expect(pauses[0]?.seconds).toBeCloseTo(least + 0.01, 9);
      }
    });

    it("are measured by the pace nearby", () => {
      // Thirty quick notes, then twelve slow ones: 0.59 s more is no stop at one second a beat, 0.31 s is one at a quarter of a second.
      const slowing = (extra: number, at: number): readonly number[] => {
        let seconds = 0;
        const heard = Array.from(
          { length: 43 },
          (_, beat): Heard => ({
            beat,
            seconds: beat === 0 ? 0 : (seconds += (beat <= 30 ? 0.25 : 1) + (beat === at ? extra : 0)),
          }),
        );
        return fitClock(heard, 1, 9).pauses.map(({ beat }) => beat);
      };
      expect(slowing(0, 0)).toEqual([]);
      expect(slowing(0.31, 10)).toEqual([10]);
      expect(slowing(0.59, 37)).toEqual([]);
      expect(slowing(0.61, 37)).toEqual([37]);
      expect(
        fitClock(
          [
            { beat: 0, seconds: 0 },
            { beat: 1, seconds: 0.5 },
            { beat: 2, seconds: 1.4 },
          ],
          1,
          9,
        ).pauses,
      ).toMatchObject([{ beat: 2, seconds: expect.closeTo(0.4, 9) as number }]);
    });

    it("are told anywhere, before the second note and the last too, and more than once", () => {
      for (const at of [1, 2, 3, 14, 15])
        expect(fitClock(gap(2, 0.5, at), 1, 9).pauses).toMatchObject([
          { beat: at, seconds: expect.closeTo(2, 9) as number },
        ]);
      const twice = gap(2, 0.5).map((h) => (h.beat >= 12 ? { ...h, seconds: h.seconds + 1 } : h));
      expect(fitClock(twice, 1, 9).pauses).toMatchObject([
        { beat: 8, seconds: expect.closeTo(2, 9) as number },
        { beat: 12, seconds: expect.closeTo(1, 9) as number },
      ]);
      // Two notes have no pace but their own.
      expect(
        fitClock(
          [
            { beat: 0, seconds: 0 },
            { beat: 1, seconds: 9 },
          ],
          1,
          0.5,
        ).pauses,
      ).toEqual([]);
    });

    it("are none where a single note came late or early, nor where the music is slower from there", () => {
      const one = (by: number): readonly Heard[] =>
        steady(16, 0.5).map((h) => (h.beat === 8 ? { ...h, seconds: h.seconds + by } : h));
      expect(fitClock(one(0.45), 1, 9).pauses).toEqual([]);
      expect(fitClock(one(-0.45), 1, 9).pauses).toEqual([]);
      expect(
        fitClock(
          steady(16, 0.5).map((h) => (h.beat > 8 ? { ...h, seconds: h.seconds + 0.29 * (h.beat - 8) } : h)),
          1,
          9,
        ).pauses,
      ).toEqual([]);
    });

    it("part the clock: each side keeps its own time, and no beat is told on the wrong side", () => {
      const clock = fitClock(gap(2, 0.5), 1, 9);
      for (const beat of [0, 3, 7, 7.5]) expect(clock.secondsAt(beat)).toBeCloseTo(0.5 * beat, 6);
      for (const beat of [8, 12, 20]) expect(clock.secondsAt(beat)).toBeCloseTo(0.5 * beat + 2, 6);
      // The note before the stop at 3.5 s, the one after it at 6 s; it is led up to by a quarter of a beat.
      expect(clock.beatAt(3.5)).toBeCloseTo(7, 6);
      expect(clock.beatAt(5)).toBe(7.5);
      expect(clock.beatAt(5.87)).toBe(7.5);
      expect(clock.beatAt(5.88)).toBeCloseTo(7.76, 6);
      expect(clock.beatAt(6)).toBeCloseTo(8, 6);
      expect(clock.tempos).toHaveLength(7 + 7);
      for (const { tempo } of clock.tempos) expect(tempo).toBeCloseTo(120, 6);
      const short = fitClock(gap(2, 0.5, 2, 12), 1, 9);
      expect(short.tempos).toHaveLength(9);
      expect(short.secondsAt(1)).toBeCloseTo(0.5, 9);
    });
  });
});
