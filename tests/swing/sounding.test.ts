import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Feel } from "../../src/swing/index.ts";
import {
  parseSwingRatio,
  partFeel,
  soundingSpan,
  soundingTime,
  straight,
  swungFeel,
  writtenTime,
} from "../../src/swing/index.ts";
import type { Beats } from "../../src/time/index.ts";
import { addBeats, beats, beatsOf, compareBeats, equalBeats, subtractBeats } from "../../src/time/index.ts";

const ratios = fc
  .tuple(fc.integer({ min: 10, max: 80 }), fc.constant(10))
  .map(([first, second]) => ({ first, second }));
const units = fc.constantFrom("eighth" as const, "16th" as const);
const undelayed = fc.record({ ratio: ratios, unit: units }).map(({ ratio, unit }) => swungFeel(ratio, { unit }));
const feels: fc.Arbitrary<Feel> = fc
  .record({ ratio: ratios, unit: units, delay: fc.integer({ min: 0, max: 60 }) })
  .map(({ ratio, unit, delay }) => swungFeel(ratio, { unit, downbeatDelay: beatsOf(delay, 960) }));
const binary = fc
  .tuple(fc.integer({ min: -400, max: 4000 }), fc.constantFrom(1, 2, 4, 8, 16))
  .map(([n, d]) => beatsOf(n, d));
const thirds = fc.integer({ min: -100, max: 900 }).map((n) => beatsOf(n, 3));

describe("sounding time", () => {
  it("MusicXML 4.0, type swing (read in source): 2:1 is a quarter and an eighth in a triplet", () => {
    const swing = swungFeel("2:1");
    expect(soundingSpan(swing, { at: beats(0), duration: beats("1/2") })).toEqual({
      at: beats(0),
      duration: beats("2/3"),
    });
    expect(soundingSpan(swing, { at: beats("1/2"), duration: beats("1/2") })).toEqual({
      at: beats("2/3"),
      duration: beats("1/3"),
    });
  });

  // First fraction of the beat by ratio: computed, second/(first + second) in exact terms.
  it.each([
    ["1:1", "1/2"],
    ["1.3:1", "13/23"],
    ["3:2", "3/5"],
    ["2:1", "2/3"],
    ["3:1", "3/4"],
    ["3.5:1", "7/9"],
  ])("swing tick table (computed): the offbeat of %s lies at %s of the beat", (ratio, place) => {
    expect(soundingTime(swungFeel(ratio), beats("13/2"))).toEqual(addBeats(beats(6), beats(place)));
  });

  it("law: undelayed feels leave every beat and so every bar line in place", () => {
    fc.assert(
      fc.property(undelayed, fc.integer({ min: -8, max: 4000 }), (feel, n) => {
        expect(soundingTime(feel, beats(n))).toEqual(beats(n));
      }),
    );
  });

  it("law: bars keep their length, delayed or not", () => {
    fc.assert(
      fc.property(feels, fc.integer({ min: -2, max: 500 }), fc.integer({ min: 1, max: 12 }), (feel, from, length) => {
        expect(soundingSpan(feel, { at: beats(from), duration: beats(length) }).duration).toEqual(beats(length));
      }),
    );
  });

  it("law: order is kept on the eighth and sixteenth grid, and no two moments meet", () => {
    fc.assert(
      fc.property(feels, binary, binary, (feel, a, b) => {
        expect(Math.sign(compareBeats(soundingTime(feel, a), soundingTime(feel, b)))).toBe(
          Math.sign(compareBeats(a, b)),
        );
      }),
    );
  });

  it("law: order is kept inside a beat of tuplets, its beats included", () => {
    const inBeat = fc
      .constantFrom(3, 5, 6, 7)
      .chain((parts) => fc.tuple(fc.integer({ min: 0, max: 200 }), fc.constant(parts)));
    fc.assert(
      fc.property(feels, inBeat, (feel, [beat, parts]) => {
        let last: Beats | undefined;
        for (let k = 0; k < parts; k++) {
          const span = soundingSpan(feel, {
            at: addBeats(beats(beat), beatsOf(k, parts)),
            duration: beatsOf(1, parts),
          });
          expect(span.duration.num).toBeGreaterThan(0);
          if (last !== undefined && !(feel.unit === "16th" && parts === 6))
            expect(equalBeats(span.at, last)).toBe(true);
          last = addBeats(span.at, span.duration);
        }
      }),
    );
  });

  it("law: writtenTime undoes soundingTime", () => {
    fc.assert(
      fc.property(feels, binary, (feel, at) => {
        expect(writtenTime(feel, soundingTime(feel, at), "binary")).toEqual(at);
      }),
    );
  });

  it("law: writtenTime undoes soundingTime on the tuplets' grid, late downbeats included", () => {
    // No delay that meets a note of a septuplet or a quintuplet.
    const grid = fc
      .tuple(fc.integer({ min: -60, max: 400 }), fc.constantFrom(3, 5, 7))
      .map(([n, parts]) => beatsOf(n, parts));
    fc.assert(
      fc.property(feels, grid, (feel, at) => {
        expect(writtenTime(feel, soundingTime(feel, at), "tuplet")).toEqual(at);
      }),
    );
    expect(writtenTime(swungFeel("2:1", { downbeatDelay: "1/12" }), beats("37/12"), "tuplet")).toEqual(beats(3));
  });

  it("law: triplets off the beat stay exact", () => {
    fc.assert(
      fc.property(feels, thirds, (feel, at) => {
        fc.pre(at.den === 3);
        expect(soundingTime(feel, at)).toEqual(at);
        expect(writtenTime(feel, at, "tuplet")).toEqual(at);
      }),
    );
  });

  it("law: straight time is the identity", () => {
    fc.assert(
      fc.property(binary, (at) => {
        expect(soundingTime(straight, at)).toEqual(at);
      }),
    );
  });

  it("a pickup on the last triplet of the bar before meets the offbeat of 2:1", () => {
    expect(soundingTime(swungFeel("2:1"), beats("-1/2"))).toEqual(beats("-1/3"));
    expect(soundingTime(swungFeel("2:1"), beats("-1/3"))).toEqual(beats("-1/3"));
  });

  it("sixteenths inside swung eighths move evenly on each side of the offbeat", () => {
    const swing = swungFeel("2:1");
    expect(soundingTime(swing, beats("1/4"))).toEqual(beats("1/3"));
    expect(soundingTime(swing, beats("3/4"))).toEqual(beats("5/6"));
  });

  it("sixteenth swing leaves eighths in place", () => {
    const swing = swungFeel("3:1", { unit: "16th" });
    expect(soundingTime(swing, beats("1/2"))).toEqual(beats("1/2"));
    expect(soundingTime(swing, beats("3/4"))).toEqual(beats("7/8"));
  });

  it("a delay moves the first note of each pair and not the second", () => {
    const swing = swungFeel("2:1", { downbeatDelay: "1/12" });
    expect(soundingTime(swing, beats(3))).toEqual(beats("37/12"));
    expect(soundingTime(swing, beats("7/2"))).toEqual(beats("11/3"));
  });

  it("straight time may have late downbeats too", () => {
    const late = swungFeel("1:1", { downbeatDelay: "1/12" });
    expect([beats(2), beats("5/2"), beats("9/4")].map((at) => soundingTime(late, at))).toEqual([
      beats("25/12"),
      beats("5/2"),
      beats("55/24"),
    ]);
  });

  it("the fourth of six sixteenths lies on the offbeat and does not swing; the first is as late as any downbeat", () => {
    const swing = swungFeel("2:1", { downbeatDelay: "1/12" });
    const six = Array.from(
      { length: 6 },
      (_, k) => soundingSpan(swing, { at: beatsOf(6 + k, 6), duration: beatsOf(1, 6) }).at,
    );
    expect(six).toEqual([beats("13/12"), beats("7/6"), beats("4/3"), beats("3/2"), beats("5/3"), beats("11/6")]);
    // What reaches into the next pair is no part of one tuplet.
    expect(soundingSpan(swungFeel("2:1"), { at: beats("1/2"), duration: beats("5/6") })).toEqual({
      at: beats("2/3"),
      duration: beats("2/3"),
    });
  });

  it("one part may do otherwise", () => {
    const feel = swungFeel("3:1", {
      parts: { right: { ratio: { first: 13, second: 10 }, downbeatDelay: beats("1/12") } },
    });
    expect(partFeel(feel, "right").ratio).toEqual({ first: 13, second: 10 });
    expect(partFeel(feel, "drums")).toEqual({
      kind: "feel",
      id: "swing 3:1",
      ratio: { first: 3, second: 1 },
      unit: "eighth",
    });
    expect(subtractBeats(soundingTime(partFeel(feel, "right"), beats(0)), beats(0))).toEqual(beats("1/12"));
  });

  it("a part without a ratio or delay of its own has the feel's; a delay of 0 sits on the beat", () => {
    const feel = swungFeel("2:1", {
      downbeatDelay: "1/12",
      parts: { bass: { downbeatDelay: beats(0) }, left: { ratio: { first: 3, second: 1 } } },
    });
    expect(partFeel(swungFeel("2:1"), "bass")).toEqual(swungFeel("2:1"));
    expect(partFeel(feel, "bass")).toEqual({
      kind: "feel",
      id: "swing 2:1",
      ratio: { first: 2, second: 1 },
      unit: "eighth",
    });
    expect(partFeel(feel, "left")).toEqual({
      kind: "feel",
      id: "swing 2:1",
      ratio: { first: 3, second: 1 },
      unit: "eighth",
      downbeatDelay: { num: 1, den: 12 },
    });
    expect(partFeel(feel, "right")).toEqual({
      kind: "feel",
      id: "swing 2:1",
      ratio: { first: 2, second: 1 },
      unit: "eighth",
      downbeatDelay: { num: 1, den: 12 },
    });
  });

  it("a feel is plain data, with nothing where nothing was asked for", () => {
    expect(swungFeel("2:1")).toStrictEqual({
      kind: "feel",
      id: "swing 2:1",
      ratio: { first: 2, second: 1 },
      unit: "eighth",
    });
    expect(swungFeel("4:2", { id: "mine", unit: "16th", downbeatDelay: 0 })).toStrictEqual({
      kind: "feel",
      id: "mine",
      ratio: { first: 2, second: 1 },
      unit: "16th",
    });
    const feel = swungFeel("3:2", { downbeatDelay: "1/16", parts: { right: { downbeatDelay: beats("1/12") } } });
    expect(JSON.parse(JSON.stringify(feel))).toStrictEqual(feel);
    expect(feel.parts).toEqual({ right: { downbeatDelay: { num: 1, den: 12 } } });
    expect(straight).toStrictEqual({ kind: "feel", id: "straight", ratio: { first: 1, second: 1 }, unit: "eighth" });
    expect([straight, straight.ratio].every(Object.isFrozen)).toBe(true);
  });
});

describe("swing ratio", () => {
  it("MusicXML 4.0, type swing (read in source): 6:4 must be written 3:2", () => {
    expect(parseSwingRatio("6:4")).toEqual({ first: 3, second: 2 });
    expect(parseSwingRatio({ first: 6, second: 4 })).toEqual({ first: 3, second: 2 });
  });

  it("reads decimals and blanks, from 1:1 to 8:1", () => {
    expect(
      [" 2 : 1 ", "1.3:1", "1:1", "8:1", "10:7.5", "1.0625:1.0000", "0004:0002", "80:10"].map((text) =>
        Object.values(parseSwingRatio(text)).join(":"),
      ),
    ).toEqual(["2:1", "13:10", "1:1", "8:1", "4:3", "17:16", "2:1", "8:1"]);
  });

  it.each([
    "2",
    "2:0",
    "1:2",
    "9:1",
    "8.1:1",
    "0:0",
    "",
    "x:1",
    "2:1x",
    "x2:1",
    "-2:-1",
    "2:1:1",
    "2::1",
    "2.:1",
    "00002:1",
    "2:00001",
    "2.00000:1",
    "2:1.00000",
    "1/2:1",
    undefined,
    null,
    2,
    ["2:1"],
  ])("refuses %j", (text) => {
    expect(() => swungFeel(text as string)).toThrow(
      expect.objectContaining({
        code: "swing/ratio",
        reason: "bad-input",
        input: text,
        expected: expect.stringContaining("1:1 to 8:1") as string,
      }),
    );
  });

  it.each([
    { first: 2.5, second: 1 },
    { first: 2, second: 0.5 },
    { first: 2, second: 0 },
    { first: -2, second: -1 },
    { first: 1, second: 2 },
    { first: 9, second: 1 },
    { first: NaN, second: 1 },
  ])("refuses %j, for a part too", (ratio) => {
    expect(() => swungFeel(ratio)).toThrow(expect.objectContaining({ code: "swing/ratio", input: ratio }));
    expect(() => swungFeel("2:1", { parts: { bass: { ratio } } })).toThrow(
      expect.objectContaining({ code: "swing/ratio", input: ratio }),
    );
  });

  it("a delay reaches from 0 to an eighth of the pair, in every part", () => {
    for (const [unit, most] of [
      ["eighth", "1/8"],
      ["16th", "1/16"],
    ] as const) {
      expect(
        swungFeel("2:1", { unit, downbeatDelay: most, parts: { right: { downbeatDelay: beats(most) } } }).downbeatDelay,
      ).toEqual(beats(most));
      for (const delay of [addBeats(beats(most), beats("1/960")), beats("-1/960")]) {
        const refused = expect.objectContaining({
          code: "swing/delay",
          reason: "bad-input",
          input: delay,
          expected: expect.stringContaining(`from 0 to ${most} `) as string,
        }) as Error;
        expect(() => swungFeel("2:1", { unit, downbeatDelay: delay })).toThrow(refused);
        expect(() => swungFeel("2:1", { unit, parts: { drums: { downbeatDelay: delay } } })).toThrow(refused);
      }
    }
  });
});
