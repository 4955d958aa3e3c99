import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { FeelRow } from "../../src/swing/index.ts";
import {
  downbeatDelayAtTempo,
  feelAtTempo,
  feelCatalogue,
  graceLength,
  parseFeel,
  partFeel,
  swingRatioAtTempo,
  swungFeel,
} from "../../src/swing/index.ts";
import { beats, beatsOf, beatsToNumber, compareBeats } from "../../src/time/index.ts";

const ratioAt = (tempo: number): number => {
  const { first, second } = swingRatioAtTempo(tempo);
  return first / second;
};
const tempos = fc.integer({ min: 30, max: 400 });

describe("ratio from tempo", () => {
  // Friberg, A. & Sundström, A. (2002), Music Perception 19(3), 333-349; verified: read in source (abstract).
  it("Friberg & Sundström 2002: falls with tempo, 3.5:1 at slow tempi, 1:1 at fast, 2:1 at one tempo only", () => {
    fc.assert(
      fc.property(tempos, tempos, (a, b) => {
        fc.pre(a < b);
        expect(ratioAt(a)).toBeGreaterThanOrEqual(ratioAt(b));
      }),
    );
    expect(ratioAt(60)).toBe(3.5);
    // Friberg & Sundström (1997), TMH-QPSR 4/1997: 3.5:1 around 120; verified: read in source.
    expect(ratioAt(120)).toBe(3.5);
    expect(ratioAt(300)).toBe(1);
    expect(ratioAt(360)).toBe(1);
    const two = Array.from({ length: 371 }, (_, i) => 30 + i).filter((tempo) => ratioAt(tempo) === 2);
    expect(two).toEqual([200]);
  });

  it("Friberg & Sundström 2002: the short note is about 100 ms and constant for medium to fast tempi", () => {
    fc.assert(
      fc.property(fc.integer({ min: 134, max: 300 }), (tempo) => {
        expect(60000 / tempo / (ratioAt(tempo) + 1)).toBeCloseTo(100, 9);
      }),
    );
  });

  // Table derived from the 100 ms constant (computed, not published).
  it.each([
    ["400/3", 7, 2],
    [150, 3, 1],
    [200, 2, 1],
    [240, 3, 2],
    [300, 1, 1],
  ])("derived table: %s a minute is %d:%d", (tempo, first, second) => {
    expect(swingRatioAtTempo(tempo)).toEqual({ first, second });
  });

  it.each([
    0,
    -10,
    Number.NaN,
    1e9,
    1001,
    "1000.1",
    "fast",
    "1/0",
    "1/00",
    "0/3",
    "0.0",
    "100x",
    "x100",
    "100.",
    ".5",
    "10000/11",
    "100/10000",
    "1.0000001",
    "",
    undefined,
    null,
  ])("refuses the tempo %s", (tempo) => {
    for (const ask of [swingRatioAtTempo, downbeatDelayAtTempo, feelAtTempo, graceLength]) {
      expect(() => ask(tempo as string)).toThrow(
        expect.objectContaining({ code: "swing/tempo", reason: "bad-input", input: tempo }),
      );
    }
  });

  it("takes a tempo as a number, a decimal text or a fraction", () => {
    expect([240, "240", "240.000000", "480/2", "480/02", "9600/40"].map((tempo) => swingRatioAtTempo(tempo))).toEqual(
      Array.from({ length: 6 }, () => ({ first: 3, second: 2 })),
    );
    expect(swingRatioAtTempo(1000)).toEqual({ first: 1, second: 1 });
    expect(swingRatioAtTempo("1/9999")).toEqual({ first: 7, second: 2 });
  });
});

describe("downbeat delay", () => {
  // The straight line through 85/960 at 150 and nothing at 300, computed; an eighth of a quarter is the most that a feel takes.
  it("our derivation: half way between 150 and 300 it is half, beyond 300 nothing, and it never exceeds an eighth", () => {
    expect(downbeatDelayAtTempo(225)).toEqual(beatsOf(85, 2 * 960));
    expect(downbeatDelayAtTempo(100)).toEqual(beatsOf(85 * 4, 960 * 3));
    expect([300, 301, 1000].map((tempo) => downbeatDelayAtTempo(tempo))).toEqual([beats(0), beats(0), beats(0)]);
    expect([30, 60].map((tempo) => downbeatDelayAtTempo(tempo))).toEqual([beats("1/8"), beats("1/8")]);
  });

  it("only the right hand is late, and nobody where the cymbal is straight", () => {
    expect(feelAtTempo(225)).toEqual({
      kind: "feel",
      id: "swing at 225",
      ratio: { first: 5, second: 3 },
      unit: "eighth",
      parts: { right: { downbeatDelay: beatsOf(85, 1920) } },
    });
    expect(feelAtTempo("300")).toStrictEqual({
      kind: "feel",
      id: "swing at 300",
      ratio: { first: 1, second: 1 },
      unit: "eighth",
    });
  });

  // Nelias et al. (2022), Communications Physics 5; verified: read in source.
  it("Nelias et al. 2022: 85 of 960 ticks near 150, about 9 % of a quarter, in the order of 30 ms, and falls with tempo", () => {
    const at150 = beatsToNumber(downbeatDelayAtTempo(150));
    expect(at150 * 960).toBeCloseTo(85, 9);
    expect(at150 * 100).toBeCloseTo(9, 0);
    expect(at150 * 400).toBeGreaterThan(25);
    expect(at150 * 400).toBeLessThan(40);
    fc.assert(
      fc.property(tempos, tempos, (a, b) => {
        fc.pre(a < b);
        expect(compareBeats(downbeatDelayAtTempo(a), downbeatDelayAtTempo(b))).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it("Friberg & Sundström 2002: the soloist's ratio is smaller than the cymbal's, with offbeats together", () => {
    for (let tempo = 60; tempo < 300; tempo += 10) {
      const solo = partFeel(feelAtTempo(tempo), "right");
      const offbeat = solo.ratio.first / (solo.ratio.first + solo.ratio.second);
      const late = beatsToNumber(solo.downbeatDelay ?? beats(0));
      expect((offbeat - late) / (1 - offbeat + late)).toBeLessThan(ratioAt(tempo));
    }
  });
});

describe("grace notes", () => {
  it("sound for 60 ms, at most an eighth of a quarter note", () => {
    expect((beatsToNumber(graceLength(90)) * 60000) / 90).toBeCloseTo(60, 9);
    expect(graceLength(124)).toEqual(beats("31/250"));
    expect([125, 126, 240].map((tempo) => graceLength(tempo))).toEqual([beats("1/8"), beats("1/8"), beats("1/8")]);
  });
});

describe("named feels", () => {
  it("have unique ids, which their feels carry, and a source each", () => {
    expect(new Set(feelCatalogue.map((row) => row.id)).size).toBe(feelCatalogue.length);
    for (const row of feelCatalogue) {
      expect(row.feel.id).toBe(row.id);
      expect(row.source).not.toBe("");
      expect(parseFeel(row.id)).toEqual(row.feel);
    }
  });

  // The names of the trade, common practice; Friberg & Sundström (2002): 3.5:1 is the widest; Nelias et al. (2022): 85 of 960 ticks.
  it.each([
    ["straight", "1:1", "eighth"],
    ["soloist", "13:10", "eighth"],
    ["light swing", "3:2", "eighth"],
    ["triplet swing", "2:1", "eighth"],
    ["hard swing", "3:1", "eighth"],
    ["slow cymbal", "7:2", "eighth"],
    ["laid back", "2:1", "eighth"],
    ["sixteenth swing", "2:1", "16th"],
  ] as const)("%s is %s in pairs of the %s", (id, ratio, unit) => {
    const { feel, source } = feelCatalogue.find((row) => row.id === id) as FeelRow;
    expect([`${feel.ratio.first}:${feel.ratio.second}`, feel.unit]).toEqual([ratio, unit]);
    expect(feel.downbeatDelay).toBeUndefined();
    expect(feel.parts).toEqual(id === "laid back" ? { right: { downbeatDelay: beatsOf(85, 960) } } : undefined);
    expect(source).toMatch(/\d{4}|common practice|our derivation/);
  });

  it("our derivation: light and hard swing are a ride cymbal's at 240 and 150", () => {
    expect([parseFeel("light swing").ratio, parseFeel("hard swing").ratio]).toEqual([
      swingRatioAtTempo(240),
      swingRatioAtTempo(150),
    ]);
  });

  // Corcoran, C. & Frieler, K. (2021), Music Perception 38(4), 372-385; verified: read in source (abstract).
  it("Corcoran & Frieler 2021: soloists' average is 1.3:1", () => {
    expect(parseFeel("soloist").ratio).toEqual({ first: 13, second: 10 });
  });

  it("an unknown name gets the nearest as a hint", () => {
    expect(() => parseFeel("laid bak")).toThrow(/did you mean laid back/);
    for (const input of ["polka", undefined, 7]) {
      expect(() => parseFeel(input as string)).toThrow(
        expect.objectContaining({ code: "swing/feel", reason: "bad-input", input }),
      );
      expect(() => parseFeel(input as string)).toThrow(
        expect.not.objectContaining({ hint: expect.anything() as unknown }),
      );
    }
    for (const { id } of feelCatalogue)
      expect(() => parseFeel("polka")).toThrow(
        expect.objectContaining({ expected: expect.stringMatching(new RegExp(`(, |of )${id}(,|$)`)) as string }),
      );
  });

  it("a ratio is a feel as well", () => {
    expect(parseFeel("5:3")).toEqual(swungFeel("5:3"));
    expect(() => parseFeel("1:2")).toThrow(expect.objectContaining({ code: "swing/ratio" }));
  });
});
