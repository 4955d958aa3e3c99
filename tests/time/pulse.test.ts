import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  addBeats,
  beats,
  beatsOf,
  compareBeats,
  equalBeats,
  formatBeats,
  isCompound,
  metre,
  multiplyBeats,
  pulseLength,
  pulseTime,
} from "../../src/time/index.ts";

const metres = fc
  .constantFrom("2/4", "3/4", "4/4", "5/4", "2/2", "6/8", "9/8", "12/8")
  .map((text) => metre(text as "4/4"));
const pulses = fc
  .tuple(fc.integer({ min: -20, max: 20 }), fc.constantFrom("0", "1/4", "1/3", "1/2", "3/4"))
  .map(([n, rest]) => addBeats(beats(n), beats(rest)));

describe("pulseTime", () => {
  it("common practice: the and of 2", () => {
    expect(
      ["4/4", "3/4", "2/2", "6/8", "12/8"].map((text) => formatBeats(pulseTime(beats("3/2"), metre(text as "4/4")))),
    ).toEqual(["3/2", "3/2", "3", "5/2", "5/2"]);
  });

  it("law: whole pulses are themselves, a pulse later is a pulse later, and in simple metres it is a product", () => {
    fc.assert(
      fc.property(pulses, metres, (p, m) => {
        if (p.den === 1) expect(pulseTime(p, m)).toEqual(multiplyBeats(p, pulseLength(m)));
        expect(equalBeats(pulseTime(addBeats(p, beats(1)), m), addBeats(pulseTime(p, m), pulseLength(m)))).toBe(true);
        if (!isCompound(m)) expect(pulseTime(p, m)).toEqual(multiplyBeats(p, pulseLength(m)));
      }),
    );
  });

  it("law: order is kept among quarters and halves, and in compound metres an offbeat lies on an eighth", () => {
    fc.assert(
      fc.property(fc.integer({ min: -20, max: 20 }), fc.integer({ min: -20, max: 20 }), metres, (a, b, m) => {
        const [x, y] = [beatsOf(a, 4), beatsOf(b, 4)];
        expect(Math.sign(compareBeats(pulseTime(x, m), pulseTime(y, m)))).toBe(Math.sign(a - b));
        expect(2 % pulseTime(beatsOf(a, 2), m).den).toBe(0);
      }),
    );
  });
});
