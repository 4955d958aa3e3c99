import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Beats, Metre, NotatedPiece } from "../../src/time/index.ts";
import {
  addBeats, barLength, barPosition, barStart, beats, beatsOf, compareBeats, equalBeats, formatBeats, metre, notate, parseMetre, pulseLength, subtractBeats, valueLength,
} from "../../src/time/index.ts";

const metres = fc.constantFrom(metre("4/4"), metre("3/4"), metre("2/4"), metre("6/8"), metre("12/8"), metre("5/4"), metre("2/2"));

// Moments on one grid: straight sixteenths or eighth triplets of a quarter.
const spanOn = (grid: number) =>
  fc.tuple(fc.integer({ min: -4 * grid, max: 20 * grid }), fc.integer({ min: 1, max: 9 * grid })).map(([at, length]) => ({ at: beatsOf(at, grid), duration: beatsOf(length, grid) }));

const described = (pieces: readonly NotatedPiece[]): string[] =>
  pieces.map(({ value }) => `${value.type}${value.dots === 1 ? "." : ""}${value.tuplet === undefined ? "" : `/${value.tuplet.actual}`}`);

const total = (pieces: readonly NotatedPiece[]): Beats => pieces.reduce((sum, piece) => addBeats(sum, piece.duration), beats(0));

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
    fc.assert(fc.property(spanOn(3), fc.constantFrom(metre("4/4"), metre("3/4")), fc.boolean(), ({ at, duration }, m, rest) => laws(at, duration, m, rest)));
    fc.assert(fc.property(spanOn(5), fc.constantFrom(metre("4/4"), metre("3/4")), fc.boolean(), ({ at, duration }, m, rest) => laws(at, duration, m, rest)));
  });

  it("law: a piece that starts off the pulse ends at the next pulse or before it", () => {
    fc.assert(fc.property(spanOn(4), metres, ({ at, duration }, m) => {
      for (const piece of notate(at, duration, m)) {
        const pulse = pulseLength(m);
        const { offset } = barPosition(piece.at, m);
        const into = offset.num * pulse.den % (pulse.num * offset.den);
        if (into === 0) continue;
        const left = subtractBeats(pulse, beatsOf(into, offset.den * pulse.den));
        expect(compareBeats(piece.duration, left)).toBeLessThanOrEqual(0);
      }
    }));
  });

  // Ties at the bar line, the middle of the bar and the beat: Gould, E. (2011), Behind Bars, "Rhythmic notation" (from memory).
  it.each([
    ["0", "4", "4/4", ["whole"]], ["0", "3", "4/4", ["half."]], ["1", "2", "4/4", ["quarter", "quarter"]], ["1", "3", "4/4", ["quarter", "half"]],
    ["3/2", "5/2", "4/4", ["eighth", "half"]], ["1/2", "1", "4/4", ["eighth", "eighth"]], ["0", "3/2", "4/4", ["quarter."]],
    ["7/2", "9/2", "4/4", ["eighth", "whole"]], ["2/3", "10/3", "4/4", ["eighth/3", "quarter", "half"]], ["0", "2/3", "4/4", ["quarter/3"]],
    ["1/3", "1/3", "4/4", ["eighth/3"]], ["1/4", "1/2", "4/4", ["eighth"]], ["1/4", "3/4", "4/4", ["eighth."]], ["0", "3", "3/4", ["half."]],
    ["0", "3", "6/8", ["half."]], ["0", "3/2", "6/8", ["quarter."]], ["1/2", "1", "6/8", ["quarter"]], ["1/2", "5/2", "6/8", ["quarter", "quarter."]],
    ["0", "6", "12/8", ["whole."]], ["0", "1/5", "4/4", ["16th/5"]], ["-1", "3", "4/4", ["quarter", "half"]],
  ] as const)("from %s for %s in %s is %j", (at, duration, signature, values) => {
    expect(described(notate(beats(at), beats(duration), metre(signature)))).toEqual(values);
  });

  it("rests are not dotted in simple metres", () => {
    expect(described(notate(beats(0), beats("3/2"), metre("4/4"), { rest: true }))).toEqual(["quarter", "eighth"]);
    expect(described(notate(beats(1), beats(3), metre("4/4"), { rest: true }))).toEqual(["quarter", "half"]);
    expect(described(notate(beats(0), beats("3/2"), metre("12/8"), { rest: true }))).toEqual(["quarter."]);
  });

  it("refuses what can't be printed", () => {
    expect(() => notate(beats(0), beats(0), metre("4/4"))).toThrowError(expect.objectContaining({ code: "time/value", reason: "bad-input" }));
    expect(() => notate(beats(0), beats("1/11"), metre("4/4"))).toThrowError(expect.objectContaining({ code: "time/value", reason: "cannot-be-done" }));
    expect(() => notate(beats(0), beats("1/1024"), metre("4/4"))).toThrowError(expect.objectContaining({ code: "time/value" }));
  });
});

describe("metre", () => {
  it("law: bar and offset say the moment again", () => {
    fc.assert(fc.property(spanOn(12), metres, ({ at }, m) => {
      const { bar, offset } = barPosition(at, m);
      expect(addBeats(barStart(bar, m), offset)).toEqual(at);
      expect(compareBeats(offset, beats(0))).toBeGreaterThanOrEqual(0);
      expect(compareBeats(offset, barLength(m))).toBeLessThan(0);
    }));
  });

  it("counts beats from one, and a pickup as bar 0", () => {
    expect(barPosition(beats(0), metre("4/4"))).toMatchObject({ bar: 1, beat: { num: 1, den: 1 } });
    expect(barPosition(beats("-1/3"), metre("4/4"))).toMatchObject({ bar: 0, beat: { num: 14, den: 3 } });
    expect(barPosition(beats("3/2"), metre("6/8"))).toMatchObject({ bar: 1, beat: { num: 2, den: 1 } });
  });

  it.each(["", "4", "4/3", "0/4", "33/4", "4/4 ", "-4/4", "4/32"])("refuses %j", (text) => {
    expect(() => parseMetre(text)).toThrowError(expect.objectContaining({ code: "time/metre", input: text }));
  });
});
