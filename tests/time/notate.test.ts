import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Beats, Metre, NotatedPiece } from "../../src/time/index.ts";
import {
  addBeats,
  barLength,
  barPosition,
  barStart,
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  equalBeats,
  formatBeats,
  formatMetre,
  isCompound,
  metre,
  notate,
  parseMetre,
  pulseLength,
  subtractBeats,
  valueLength,
} from "../../src/time/index.ts";

const metres = fc.constantFrom(
  metre("4/4"),
  metre("3/4"),
  metre("2/4"),
  metre("6/8"),
  metre("12/8"),
  metre("5/4"),
  metre("2/2"),
);

// Moments on one grid: straight sixteenths or eighth triplets of a quarter.
const spanOn = (grid: number) =>
  fc
    .tuple(fc.integer({ min: -4 * grid, max: 20 * grid }), fc.integer({ min: 1, max: 9 * grid }))
    .map(([at, length]) => ({ at: beatsOf(at, grid), duration: beatsOf(length, grid) }));

const described = (pieces: readonly NotatedPiece[]): string[] =>
  pieces.map(
    ({ value }) =>
      `${value.type}${value.dots === 1 ? "." : ""}${value.tuplet === undefined ? "" : `/${value.tuplet.actual}`}`,
  );

const total = (pieces: readonly NotatedPiece[]): Beats =>
  pieces.reduce((sum, piece) => addBeats(sum, piece.duration), beats(0));

const laws = (at: Beats, duration: Beats, m: Metre, rest: boolean): void => {
  const pieces = notate(at, duration, m, { rest });
  expect(formatBeats(total(pieces))).toBe(formatBeats(duration));
  let from = at;
  for (const piece of pieces) {
    expect(formatBeats(piece.at)).toBe(formatBeats(from));
    expect(equalBeats(valueLength(piece.value), piece.duration)).toBe(true);
    const { offset } = barPosition(piece.at, m);
    expect(compareBeats(addBeats(offset, piece.duration), barLength(m))).toBeLessThanOrEqual(0);
    from = addBeats(from, piece.duration);
  }
};

describe("notate", () => {
  it("law: nothing is lost or added, no piece crosses a bar line, each has its printed length", () => {
    fc.assert(fc.property(spanOn(4), metres, fc.boolean(), ({ at, duration }, m, rest) => laws(at, duration, m, rest)));
    fc.assert(
      fc.property(spanOn(3), fc.constantFrom(metre("4/4"), metre("3/4")), fc.boolean(), ({ at, duration }, m, rest) =>
        laws(at, duration, m, rest),
      ),
    );
    for (const grid of [5, 7]) {
      fc.assert(
        fc.property(
          spanOn(grid),
          fc.constantFrom(metre("4/4"), metre("3/4")),
          fc.boolean(),
          ({ at, duration }, m, rest) => laws(at, duration, m, rest),
        ),
        { numRuns: 50 },
      );
    }
  });

  it("law: a piece runs across beats only from a beat, in compound metres for whole beats, across the middle only in one of two values", () => {
    fc.assert(
      fc.property(spanOn(4), metres, fc.boolean(), ({ at, duration }, m, rest) => {
        for (const piece of notate(at, duration, m, { rest })) {
          const { offset } = barPosition(piece.at, m);
          const [from, to] = [offset, addBeats(offset, piece.duration)].map((moment) =>
            divideBeats(moment, pulseLength(m)),
          ) as [Beats, Beats];
          if (Math.ceil(to.num / to.den) - Math.floor(from.num / from.den) === 1) continue;
          expect(from.den).toBe(1);
          if (isCompound(m)) expect(to.den).toBe(1);
          const middle = beatsOf(barLength(m).num, 2 * barLength(m).den);
          const pulses = divideBeats(barLength(m), pulseLength(m)).num;
          if (
            pulses % 4 !== 0 ||
            compareBeats(offset, middle) >= 0 ||
            compareBeats(addBeats(offset, piece.duration), middle) <= 0
          )
            continue;
          expect([offset.num, ["whole", "half"].includes(piece.value.type)]).toEqual([0, true]);
        }
      }),
    );
  });

  it("law: rests in simple metres have no dots", () => {
    fc.assert(
      fc.property(
        spanOn(8),
        metres.filter((m) => !isCompound(m)),
        ({ at, duration }, m) => {
          for (const { value } of notate(at, duration, m, { rest: true })) expect(value.dots).toBe(0);
        },
      ),
    );
  });

  it("a value outside tuplets names no tuplet", () => {
    for (const [at, length, type] of [
      ["0", "1", "quarter"],
      ["1/2", "1/2", "eighth"],
    ] as const) {
      expect(notate(beats(at), beats(length), metre("4/4"))).toStrictEqual([
        { at: beats(at), duration: beats(length), value: { type, dots: 0 } },
      ]);
    }
  });

  // MusicXML 4.0, note-type-value, counted in quarters.
  it.each([
    ["whole", "4"],
    ["half", "2"],
    ["quarter", "1"],
    ["eighth", "1/2"],
    ["16th", "1/4"],
    ["32nd", "1/8"],
    ["64th", "1/16"],
  ] as const)("a note of type %s lasts %s quarters", (type, length) => {
    expect(formatBeats(valueLength({ type, dots: 0 }))).toBe(length);
    expect(valueLength({ type, dots: 1 })).toEqual(divideBeats(beatsOf(3, 2), divideBeats(beats(1), beats(length))));
    expect(valueLength({ type, dots: 0, tuplet: { actual: 5, normal: 4 } })).toEqual(
      divideBeats(beats(length), beatsOf(5, 4)),
    );
    expect(described(notate(beats(0), beats(length), metre("4/4")))).toEqual([type]);
  });

  it("law: a piece that starts off the pulse ends at the next pulse or before it", () => {
    fc.assert(
      fc.property(spanOn(4), metres, ({ at, duration }, m) => {
        for (const piece of notate(at, duration, m)) {
          const pulse = pulseLength(m);
          const { offset } = barPosition(piece.at, m);
          const into = (offset.num * pulse.den) % (pulse.num * offset.den);
          if (into === 0) continue;
          const left = subtractBeats(pulse, beatsOf(into, offset.den * pulse.den));
          expect(compareBeats(piece.duration, left)).toBeLessThanOrEqual(0);
        }
      }),
    );
  });

  // Ties at the bar line, the middle of the bar and the beat: Gould, E. (2011), Behind Bars, "Rhythmic notation" (from memory).
  it.each([
    ["0", "4", "4/4", ["whole"]],
    ["0", "3", "4/4", ["half."]],
    ["1", "2", "4/4", ["half"]],
    ["1", "3", "4/4", ["half."]],
    ["1", "3", "5/4", ["half."]],
    ["3/2", "5/2", "4/4", ["eighth", "half"]],
    ["1/2", "1", "4/4", ["eighth", "eighth"]],
    ["0", "3/2", "4/4", ["quarter."]],
    ["7/2", "9/2", "4/4", ["eighth", "whole"]],
    ["2/3", "10/3", "4/4", ["eighth/3", "half."]],
    ["0", "2/3", "4/4", ["quarter/3"]],
    ["1/3", "1/3", "4/4", ["eighth/3"]],
    ["1/4", "1/2", "4/4", ["eighth"]],
    ["1/4", "3/4", "4/4", ["eighth."]],
    ["0", "3", "3/4", ["half."]],
    ["0", "3", "6/8", ["half."]],
    ["0", "3/2", "6/8", ["quarter."]],
    ["1/2", "1", "6/8", ["quarter"]],
    ["1/2", "5/2", "6/8", ["quarter", "quarter."]],
    ["0", "6", "12/8", ["whole."]],
    ["0", "1/5", "4/4", ["16th/5"]],
    ["-1", "3", "4/4", ["quarter", "half"]],
    ["0", "1/7", "4/4", ["16th/7"]],
    ["0", "7/2", "4/4", ["half", "quarter."]],
    ["0", "7/2", "5/4", ["half.", "eighth"]],
    ["0", "3/2", "2/4", ["quarter."]],
    ["1/2", "1", "2/4", ["eighth", "eighth"]],
    ["0", "2", "12/8", ["quarter.", "eighth"]],
    ["0", "5/2", "12/8", ["quarter.", "quarter"]],
    ["0", "2", "9/8", ["quarter.", "eighth"]],
    ["0", "9/2", "9/8", ["half.", "quarter."]],
    ["0", "2", "6/8", ["quarter.", "eighth"]],
    ["3/2", "3", "12/8", ["quarter.", "quarter."]],
    ["0", "3", "2/2", ["half."]],
    ["1", "2", "2/2", ["quarter", "quarter"]],
    ["1/3", "5/3", "2/2", ["quarter/3", "quarter"]],
    ["1/6", "5/6", "12/8", ["eighth/3", "eighth"]],
    ["1/2", "5/6", "2/2", ["eighth", "eighth/3"]],
    ["0", "2/3", "2/2", ["quarter/3"]],
    ["2/3", "2/3", "2/2", ["quarter/3"]],
    ["4/3", "2/3", "2/2", ["quarter/3"]],
    ["0", "4/3", "2/2", ["half/3"]],
    ["2/3", "4/3", "2/2", ["half/3"]],
    ["2/3", "2/3", "4/4", ["eighth/3", "eighth/3"]],
    ["2/5", "4/5", "2/2", ["quarter/5"]],
    ["1/3", "1", "2/2", ["quarter/3", "eighth/3"]],
    ["2/3", "5/3", "2/2", ["half/3", "eighth/3"]],
    ["2/3", "8/15", "2/2", ["eighth/3", "16th/5"]],
    ["4/7", "4/7", "2/2", ["quarter/7"]],
    ["3/10", "3/10", "12/8", ["16th/5", "32nd/5"]],
  ] as const)("from %s for %s in %s is %j", (at, duration, signature, values) => {
    expect(described(notate(beats(at), beats(duration), metre(signature)))).toEqual(values);
  });

  it("rests are not dotted in simple metres", () => {
    expect(described(notate(beats(0), beats("3/2"), metre("4/4"), { rest: true }))).toEqual(["quarter", "eighth"]);
    expect(described(notate(beats(1), beats(3), metre("4/4"), { rest: true }))).toEqual(["quarter", "half"]);
    expect(described(notate(beats(0), beats(3), metre("4/4"), { rest: true }))).toEqual(["half", "quarter"]);
    expect(described(notate(beats(0), beats(4), metre("4/4"), { rest: true }))).toEqual(["whole"]);
    expect(described(notate(beats(0), beats("3/2"), metre("12/8"), { rest: true }))).toEqual(["quarter."]);
    expect(described(notate(beats("1/4"), beats("3/4"), metre("12/8"), { rest: true }))).toEqual(["eighth."]);
  });

  it("refuses what can't be printed", () => {
    for (const length of ["0", "-1"]) {
      expect(() => notate(beats(0), beats(length), metre("4/4"))).toThrowError(
        expect.objectContaining({ code: "time/value", reason: "bad-input", input: length }),
      );
    }
    for (const [at, length] of [
      ["0", "1/11"],
      ["0", "1/1024"],
      ["0", "1/9"],
      ["1/3", "1/5"],
    ] as const) {
      expect(() => notate(beats(at), beats(length), metre("4/4"))).toThrowError(
        expect.objectContaining({ code: "time/value", reason: "cannot-be-done", input: length }),
      );
    }
    const value = { type: "128th", dots: 0 };
    expect(() => valueLength(value as never)).toThrowError(
      expect.objectContaining({ code: "time/value", reason: "bad-input", input: value }),
    );
  });
});

describe("metre", () => {
  it("law: bar and offset say the moment again", () => {
    fc.assert(
      fc.property(spanOn(12), metres, ({ at }, m) => {
        const { bar, offset } = barPosition(at, m);
        expect(addBeats(barStart(bar, m), offset)).toEqual(at);
        expect(compareBeats(offset, beats(0))).toBeGreaterThanOrEqual(0);
        expect(compareBeats(offset, barLength(m))).toBeLessThan(0);
      }),
    );
  });

  it("counts beats from one, and a pickup as bar 0", () => {
    expect(barPosition(beats(0), metre("4/4"))).toMatchObject({ bar: 1, beat: { num: 1, den: 1 } });
    expect(barPosition(beats("-1/3"), metre("4/4"))).toMatchObject({ bar: 0, beat: { num: 14, den: 3 } });
    expect(barPosition(beats("3/2"), metre("6/8"))).toMatchObject({ bar: 1, beat: { num: 2, den: 1 } });
  });

  // Which metres have a dotted pulse; common practice, no source.
  it.each([
    ["2/4", false],
    ["3/4", false],
    ["4/4", false],
    ["6/4", false],
    ["2/2", false],
    ["3/2", false],
    ["3/8", false],
    ["5/8", false],
    ["7/8", false],
    ["3/16", false],
    ["6/8", true],
    ["9/8", true],
    ["12/8", true],
    ["6/16", true],
    ["9/16", true],
  ] as const)("common practice: is %s compound? %s", (text, compound) => {
    expect(isCompound(parseMetre(text))).toBe(compound);
    expect(formatMetre(parseMetre(text))).toBe(text);
  });

  it("reads counts of 1 to 32 over 2, 4, 8 and 16", () => {
    for (const count of [1, 9, 10, 32]) {
      for (const unit of [2, 4, 8, 16]) expect(parseMetre(`${count}/${unit}`)).toEqual({ kind: "metre", count, unit });
    }
  });

  it.each(["", "4", "4/3", "0/4", "33/4", "4/4 ", "-4/4", "4/32", "x4/4", "44/", undefined, null, 4, ["4/4"]])(
    "refuses %j",
    (text) => {
      expect(() => parseMetre(text as string)).toThrowError(
        expect.objectContaining({ code: "time/metre", input: text }),
      );
    },
  );
});
