import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Shift } from "../../src/assess/align/shift.ts";
import { findShift } from "../../src/assess/align/shift.ts";
import type { Struck, Wanted } from "../../src/assess/align/solve.ts";
import { cheapestWithJumps } from "./brute-force.ts";

/** Every transposition of both hands up to two octaves, and octaves of either hand: the nearer first, and what each costs. */
const SHIFTS: readonly {
  readonly shift: Shift;
  readonly price: number;
  readonly apart: number;
  readonly distance: number;
}[] = (() => {
  const both = Array.from({ length: 49 }, (_, i) => ({ right: i - 24, left: i - 24 }));
  const apart = [-12, 0, 12]
    .flatMap((right) => [-12, 0, 12].map((left) => ({ right, left })))
    .filter(({ right, left }) => right !== left);
  const isOctave = (by: number): boolean => [-24, -12, 0, 12, 24].includes(by);
  return [...both, ...apart].map((shift) => ({
    shift,
    price: shift.right === 0 && shift.left === 0 ? 0 : isOctave(shift.right) && isOctave(shift.left) ? 4 : 6,
    apart: shift.right === shift.left ? 0 : 1,
    distance: Math.abs(shift.right) + Math.abs(shift.left),
  }));
})();

const line = (keys: readonly number[]): readonly Wanted[] =>
  keys.map((midi, i) => ({ hand: "right", midi, sounds: i / 2 }));

const pieces: fc.Arbitrary<readonly Wanted[]> = fc
  .array(
    fc.record({
      hand: fc.constantFrom("right" as const, "left" as const),
      midi: fc.integer({ min: 55, max: 75 }),
      sounds: fc.integer({ min: 0, max: 5 }),
    }),
    { minLength: 2, maxLength: 5 },
  )
  .map((notes) => notes.sort((a, b) => a.sounds - b.sounds));

/** A take of a piece in some shift, perhaps begun again, with wrong keys and keys left out. */
const takes = pieces.chain((asked) =>
  fc.record({
    asked: fc.constant(asked),
    played: fc
      .tuple(
        fc.constantFrom(...SHIFTS),
        fc.nat({ max: 2 }),
        fc.array(fc.constantFrom(0, 0, 0, 0, 0, 1, -7, undefined), { minLength: 7, maxLength: 7 }),
        fc.boolean(),
      )
      .map(([{ shift }, again, slips, told]) =>
        [...asked, ...asked.slice(0, again)].flatMap(({ midi, hand }, i): Struck[] => {
          const slip = slips[i];
          return slip === undefined ? [] : [{ midi: midi + shift[hand] + slip, ...(told ? { hand } : {}) }];
        }),
      ),
  }),
);

describe("the key that a take was played in", () => {
  it("law: of all shifts the chosen one has the least cost of all, the written key before octaves before keys, both hands before one, the nearer before the further", () => {
    fc.assert(
      fc.property(takes, ({ asked, played }) => {
        const ranked = SHIFTS.map((one) => ({
          ...one,
          cost:
            one.price +
            cheapestWithJumps(
              asked.map((note) => ({ ...note, midi: note.midi + one.shift[note.hand] })),
              played,
            ),
        })).sort((a, b) => a.cost - b.cost || a.price - b.price || a.apart - b.apart || a.distance - b.distance);
        const { cost, price, apart, distance } = ranked[0] as (typeof ranked)[number];
        const equal = ranked
          .filter((one) => one.cost === cost && one.price === price && one.apart === apart && one.distance === distance)
          .map((one) => one.shift);
        expect(equal).toContainEqual(findShift(asked, played));
      }),
      { numRuns: 60 },
    );
  });

  it("two octaves up or down are within reach, more is not; each hand may be an octave off", () => {
    const keys = [60, 62, 66, 67, 71, 73, 74];
    const by = (semitones: number): number =>
      findShift(
        line(keys),
        keys.map((midi) => ({ midi: midi + semitones })),
      ).right;
    expect([0, 1, -1, 12, 23, -23, 24, -24].map(by)).toEqual([0, 1, -1, 12, 23, -23, 24, -24]);
    expect(Math.abs(by(25))).not.toBe(25);
    const two = keys.flatMap((midi, i): Wanted[] => [
      { hand: "right", midi: midi + 12, sounds: i },
      { hand: "left", midi: midi - 12, sounds: i },
    ]);
    const shifts: readonly Shift[] = [
      [12, 0],
      [-12, 0],
      [0, 12],
      [0, -12],
      [12, -12],
      [-12, 12],
    ].map(([right, left]) => ({ right: right as number, left: left as number }));
    for (const shift of shifts)
      expect(
        findShift(
          two,
          two.map(({ midi, hand }) => ({ midi: midi + shift[hand], hand })),
        ),
      ).toEqual(shift);
  });

  it("another octave must save more than 4, another key more than 6", () => {
    // A key beside the score costs 2, and any number of them may be all there is.
    const up = (by: number, ...keys: readonly number[]): Shift =>
      findShift(
        line(keys),
        keys.map((midi) => ({ midi: midi + by })),
      );
    expect(up(12, 60, 64)).toEqual({ right: 0, left: 0 });
    expect(up(12, 60, 64, 67)).toEqual({ right: 12, left: 12 });
    expect(up(8, 60, 64, 67)).toEqual({ right: 0, left: 0 });
    expect(up(8, 60, 64, 67, 71)).toEqual({ right: 8, left: 8 });
  });

  it("a player who goes ahead and back is not taken for one who plays in another key", () => {
    const asked = line([66, 64, 62, 64, 62, 62, 66, 60]);
    const played = [66, 64, 66, 60, 66, 64, 62].map((midi) => ({ midi }));
    const cost = (by: number): number =>
      cheapestWithJumps(
        asked.map((note) => ({ ...note, midi: note.midi + by })),
        played,
      );
    // Two notes, ahead to the last two, back to the first three, and away: three jumps at most.
    expect(cost(0)).toBeLessThanOrEqual(30);
    expect(cost(2) + 6).toBeGreaterThan(cost(0));
    expect(findShift(asked, played)).toEqual({ right: 0, left: 0 });
  });

  it("is told by the first 48 keys", () => {
    const keys = Array.from({ length: 120 }, (_, i) => 50 + ((i * i * 7) % 31));
    const turns = (at: number): number =>
      findShift(
        line(keys),
        keys.map((midi, i) => ({ midi: midi + (i < at ? 0 : 5) })),
      ).right;
    expect([48, 8].map(turns)).toEqual([0, 5]);
  });
});
