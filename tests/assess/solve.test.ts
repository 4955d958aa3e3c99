import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { COST } from "../../src/assess/align/cost.ts";
import type { Struck, Wanted } from "../../src/assess/align/solve.ts";
import { solve } from "../../src/assess/align/solve.ts";
import { cheapestPairing, cheapestWithJumps, costOfPairs } from "./brute-force.ts";

// Few keys and few moments, so that chords, repeated notes and near misses are common.
const wanted = (most: number): fc.Arbitrary<Wanted[]> =>
  fc
    .array(
      fc.record({
        hand: fc.constantFrom("right" as const, "left" as const),
        midi: fc.integer({ min: 60, max: 65 }),
        sounds: fc.integer({ min: 0, max: 6 }).map((half) => half / 2),
        grace: fc.boolean(),
      }),
      { maxLength: most },
    )
    .map((notes) => notes.sort((a, b) => a.sounds - b.sounds));

const struck = (most: number): fc.Arbitrary<Struck[]> =>
  fc.array(
    fc.record(
      { midi: fc.integer({ min: 58, max: 67 }), hand: fc.constantFrom("right" as const, "left" as const) },
      { requiredKeys: ["midi"] },
    ),
    { maxLength: most },
  );

const timed = (most: number): fc.Arbitrary<Struck[]> =>
  fc
    .tuple(struck(most), fc.array(fc.integer({ min: -4, max: 16 }), { minLength: most, maxLength: most }))
    .map(([keys, times]) => {
      const sorted = times.slice(0, keys.length).sort((a, b) => a - b);
      return keys.map((key, i) => ({ ...key, sounds: (sorted[i] as number) / 4 }));
    });

describe("alignment", () => {
  it("law: the reading without a clock costs what the cheapest of all pairings costs", () => {
    fc.assert(
      fc.property(wanted(6), struck(5), (asked, played) => {
        const solution = solve(asked, played, { jumps: false });
        expect(solution?.cost).toBe(cheapestPairing(asked, played));
        expect(costOfPairs(asked, played, solution?.meant ?? [])).toBe(solution?.cost);
      }),
      { numRuns: 200 },
    );
  });

  it("law: the reading by the clock costs what the cheapest of all pairings costs", () => {
    fc.assert(
      fc.property(wanted(6), timed(5), (asked, played) => {
        const solution = solve(asked, played, { jumps: false });
        expect(solution?.cost).toBeCloseTo(cheapestPairing(asked, played), 9);
        expect(costOfPairs(asked, played, solution?.meant ?? [])).toBeCloseTo(solution?.cost ?? NaN, 9);
      }),
      { numRuns: 200 },
    );
  });

  it("law: the reading with jumps costs what the shortest path over all states and jumps costs", () => {
    const long = fc
      .tuple(wanted(8), struck(4), fc.array(fc.nat(8), { maxLength: 3 }))
      .map(([asked, extra, starts]) => ({
        asked,
        // Passages of the piece from several starts, so that going back and ahead pays.
        played: [
          ...starts.flatMap((start) =>
            asked.slice(start, start + 5).map(
              ({ midi }, i): Struck => ({
                midi,
                ...(start > 4
                  ? {}
                  : { jump: i === 0 ? COST.jump : COST.seamless, leave: i === 0 ? COST.depart : COST.leave }),
              }),
            ),
          ),
          ...extra,
        ],
      }));
    fc.assert(
      fc.property(long, ({ asked, played }) => {
        const solution = solve(asked, played, { jumps: true });
        expect(solution?.cost).toBe(cheapestWithJumps(asked, played));
        // What is meant for nothing is -1, or -2 outside of the score.
        expect(Math.min(-2, ...(solution?.meant ?? []))).toBe(-2);
      }),
      { numRuns: 150 },
    );
  });

  it("law: a bound that the best does not stay below gives no solution, and a higher bound changes nothing", () => {
    fc.assert(
      fc.property(wanted(6), struck(6), fc.boolean(), (asked, played, jumps) => {
        const { cost, meant } = solve(asked, played, { jumps }) ?? { cost: NaN, meant: [] };
        expect(solve(asked, played, { jumps, below: cost })).toBeUndefined();
        const bounded = solve(asked, played, { jumps, below: cost + 1 });
        expect(bounded?.cost).toBe(cost);
        expect(bounded?.meant.length).toBe(meant.length);
      }),
      { numRuns: 150 },
    );
  });

  it("reads a passage that is begun again as a jump, not as extra notes", () => {
    const asked = [60, 62, 63, 64, 67, 69, 72].map((midi, i): Wanted => ({ hand: "right", midi, sounds: i / 2 }));
    const played = [60, 62, 63, 64, 67, 60, 62, 63, 64, 67, 69, 72].map((midi): Struck => ({ midi }));
    const solution = solve(asked, played, { jumps: true });
    expect(solution?.jumps).toEqual([5]);
    expect([...(solution?.meant ?? [])]).toEqual([0, 1, 2, 3, 4, 0, 1, 2, 3, 4, 5, 6]);
  });

  it("reads a chord in any order, and a left hand that lags behind the next note of the right", () => {
    const asked: Wanted[] = [
      { hand: "right", midi: 72, sounds: 0 },
      { hand: "left", midi: 48, sounds: 0 },
      { hand: "left", midi: 55, sounds: 0 },
      { hand: "right", midi: 74, sounds: 0.5 },
    ];
    const solution = solve(
      asked,
      [55, 72, 74, 48].map((midi) => ({ midi })),
      { jumps: true },
    );
    expect(solution?.cost).toBe(0);
    expect([...(solution?.meant ?? [])]).toEqual([2, 0, 3, 1]);
  });

  it("costs what the guide to assessment says", () => {
    const cost = (asked: readonly number[], played: readonly number[], grace = false): number | undefined =>
      solve(
        asked.map((midi, i): Wanted => ({ hand: "right", midi, sounds: i, grace })),
        played.map((midi) => ({ midi })),
        { jumps: false },
      )?.cost;
    expect([0, 1, -2, 3, -7, 8, 11, 12, -12, 13].map((by) => cost([60], [60 + by]))).toEqual([
      0, 5, 5, 7, 7, 8, 8, 6, 6, 8,
    ]);
    expect([cost([60], []), cost([60], [], true), cost([], [60])]).toEqual([4, 2, 4]);
    const piece = [60, 62, 64, 65, 67, 69].map((midi, i): Wanted => ({ hand: "right", midi, sounds: i }));
    expect(
      solve(
        piece,
        [...piece.slice(0, 4), ...piece].map(({ midi }) => ({ midi })),
        { jumps: true },
      )?.cost,
    ).toBe(10);
  });

  const line = (...keys: readonly number[]): Wanted[] =>
    keys.map((midi, i): Wanted => ({ hand: "right", midi, sounds: i }));
  const read = (asked: readonly Wanted[], keys: readonly number[]): unknown => {
    const found = solve(
      asked,
      keys.map((midi) => ({ midi })),
      { jumps: true },
    );
    return { cost: found?.cost, jumps: found?.jumps, meant: [...(found?.meant ?? [])] };
  };

  it("a take that begins late or breaks off early lands there, and stops there at no cost", () => {
    const piece = line(60, 62, 64, 65, 67, 69, 71, 72);
    expect(read(piece, [60, 62, 64])).toEqual({ cost: 0, jumps: [3], meant: [0, 1, 2] });
    expect(read(piece, [65, 67, 69, 71, 72])).toEqual({ cost: 9, jumps: [0], meant: [3, 4, 5, 6, 7] });
    // Three keys may as well be nothing of it.
    expect(read(piece, [69, 71, 72])).toEqual({ cost: 6, jumps: [3], meant: [-2, -2, -2] });
    expect(read(piece, [60, 62, 64, 65, 67])).toEqual({ cost: 0, jumps: [5], meant: [0, 1, 2, 3, 4] });
    expect(read(piece, [60, 62, 64, 65, 67, 69])).toEqual({ cost: 0, jumps: [6], meant: [0, 1, 2, 3, 4, 5] });
  });

  it("of two places that fit as well, back is meant rather than ahead, and the nearer of two", () => {
    const motif = [40, 42, 44, 46];
    const other = [60, 61, 62, 63, 64, 65, 66];
    const indices = (...starts: readonly (readonly [from: number, count: number])[]): readonly number[] =>
      starts.flatMap(([from, count]) => Array.from({ length: count }, (_, i) => from + i));
    const tail = [30, 31, 32, 33];
    expect(read(line(...motif, ...other, 70, 71, 72, 73, ...motif, ...tail), [...other, ...motif])).toEqual({
      cost: 19,
      jumps: [0, 7, 11],
      meant: indices([4, 7], [0, 4]),
    });
    expect(read(line(...motif, 50, 51, 52, ...motif, ...other, ...tail), [...other, ...motif])).toEqual({
      cost: 19,
      jumps: [0, 7, 11],
      meant: indices([11, 7], [7, 4]),
    });
    expect(
      read(line(...other, 70, 71, 72, 73, ...motif, 50, 51, 52, 53, ...motif, ...tail), [...other, ...motif]),
    ).toEqual({ cost: 10, jumps: [7, 11], meant: indices([0, 7], [11, 4]) });
    // With a left hand that only ends the piece, too.
    const both = [
      ...line(...other, 70, 71, 72, 73, ...motif, 50, 51, 52, 53, ...motif, ...tail),
      ...[26, 27, 28].map((sounds): Wanted => ({ hand: "left", midi: 20, sounds })),
    ];
    expect(read(both, [...other, ...motif])).toEqual({ cost: 10, jumps: [7, 11], meant: indices([0, 7], [11, 4]) });
  });

  it("law: hands that begin at different places are read as both jumping there if they lie near enough, and as apart if not", () => {
    const piece = Array.from({ length: 7 }, (_, i): readonly Wanted[] => [
      { hand: "right", midi: 72 + 14 * i, sounds: i },
      { hand: "left", midi: 65 - 14 * i, sounds: i },
    ]).flat();
    const from = (hand: "right" | "left", start: number): readonly Struck[] =>
      piece
        .filter((note) => note.hand === hand && note.sounds >= start)
        .slice(0, 3)
        .map(({ midi }) => ({ midi }));
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 6 }),
        fc.integer({ min: 0, max: 6 }),
        fc.boolean(),
        (right, left, leftFirst) => {
          const hands = [from("right", right), from("left", left)];
          const played = [0, 1, 2].flatMap((i) =>
            (leftFirst ? [...hands].reverse() : hands).flatMap((keys) => keys.slice(i, i + 1)),
          );
          expect(solve(piece, played, { jumps: true })?.cost).toBe(cheapestWithJumps(piece, played));
        },
      ),
      { numRuns: 60 },
    );
  });

  it("law: in choruses that are alike the nearest places are enough: every place tried costs the same", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 60, max: 66 }), { minLength: 3, maxLength: 8 }),
        fc.integer({ min: 3, max: 8 }),
        fc.array(fc.tuple(fc.nat(60), fc.integer({ min: -2, max: 12 }), fc.integer({ min: 58, max: 68 })), {
          maxLength: 6,
        }),
        (chorus, times, slips) => {
          const asked = Array.from({ length: times }, () => chorus)
            .flat()
            .map((midi, i): Wanted => ({ hand: i % 3 === 0 ? "left" : "right", midi, sounds: i / 2 }));
          const keys = asked.map(({ midi }) => midi);
          // Some keys left out or played again, and another one instead.
          for (const [at, by, midi] of slips)
            if (by >= 0) keys.splice(at % keys.length, by, midi);
            else keys.splice(at % keys.length, 0, ...keys.slice(0, at % keys.length));
          const played = keys.slice(0, 120).map((midi): Struck => ({ midi }));
          const [few, all] = [2, 30].map((alike) => solve(asked, played, { jumps: true, alike })?.cost);
          expect(few).toBe(all);
        },
      ),
      { numRuns: 100 },
    );
  });

  it("going ahead costs as much in a long piece as in a short one", () => {
    for (const length of [40, 300]) {
      const piece = line(...Array.from({ length }, (_, i) => 30 + ((i * i) % 61)));
      const keys = piece.map((note) => note.midi);
      expect(read(piece, [...keys.slice(0, 12), ...keys.slice(-12)])).toMatchObject({
        cost: 10,
        jumps: expect.arrayContaining([12]),
      });
    }
  });

  it("law: hands played too high are read as notes that are asked for higher", () => {
    fc.assert(
      fc.property(
        wanted(7),
        struck(6),
        fc.integer({ min: -2, max: 2 }),
        fc.integer({ min: -2, max: 2 }),
        fc.boolean(),
        (asked, played, right, left, jumps) => {
          const moved = asked.map((note) => ({ ...note, midi: note.midi + (note.hand === "right" ? right : left) }));
          expect(solve(asked, played, { jumps, shift: { right, left } })).toEqual(solve(moved, played, { jumps }));
        },
      ),
      { numRuns: 100 },
    );
  });

  it("takes ten keys at once in a hand in any order, and more from the lowest up", () => {
    const chord = (count: number): Wanted[] =>
      Array.from({ length: count }, (_, i): Wanted => ({ hand: "left", midi: 40 + i, sounds: 0 }));
    const keys = [47, 40, 49, 44].map((midi): Struck => ({ midi }));
    expect(solve(chord(10), keys, { jumps: false })?.cost).toBe(6 * 4);
    expect(
      solve(
        chord(25),
        chord(25).map(({ midi }) => ({ midi })),
        { jumps: true },
      )?.cost,
    ).toBe(0);
  });
});
