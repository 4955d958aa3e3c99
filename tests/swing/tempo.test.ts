import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { beats, beatsToNumber, compareBeats, downbeatDelayAtTempo, feelAtTempo, feelCatalogue, graceLength, parseFeel, partFeel, swingRatioAtTempo } from "../../src/index.ts";

const ratioAt = (tempo: number): number => {
  const { first, second } = swingRatioAtTempo(tempo);
  return first / second;
};
const tempos = fc.integer({ min: 30, max: 400 });

describe("ratio from tempo", () => {
  // Friberg, A. & Sundström, A. (2002), Music Perception 19(3), 333-349; verified: read in source (abstract).
  it("Friberg & Sundström 2002: falls with tempo, 3.5:1 at slow tempi, 1:1 at fast, 2:1 at one tempo only", () => {
    fc.assert(fc.property(tempos, tempos, (a, b) => {
      fc.pre(a < b);
      expect(ratioAt(a)).toBeGreaterThanOrEqual(ratioAt(b));
    }));
    expect(ratioAt(60)).toBe(3.5);
    // Friberg & Sundström (1997), TMH-QPSR 4/1997: 3.5:1 around 120; verified: read in source.
    expect(ratioAt(120)).toBe(3.5);
    expect(ratioAt(300)).toBe(1);
    expect(ratioAt(360)).toBe(1);
    const two = Array.from({ length: 371 }, (_, i) => 30 + i).filter((tempo) => ratioAt(tempo) === 2);
    expect(two).toEqual([200]);
  });

  it("Friberg & Sundström 2002: the short note is about 100 ms and constant for medium to fast tempi", () => {
    fc.assert(fc.property(fc.integer({ min: 134, max: 300 }), (tempo) => {
      expect((60000 / tempo) / (ratioAt(tempo) + 1)).toBeCloseTo(100, 9);
    }));
  });

  // Table derived from the 100 ms constant (computed, not published).
  it.each([["400/3", 7, 2], [150, 3, 1], [200, 2, 1], [240, 3, 2], [300, 1, 1]])("derived table: %s a minute is %d:%d", (tempo, first, second) => {
    expect(swingRatioAtTempo(tempo)).toEqual({ first, second });
  });

  it.each([0, -10, Number.NaN, 1e9, "fast", "1/0"])("refuses the tempo %s", (tempo) => {
    expect(() => swingRatioAtTempo(tempo)).toThrow(expect.objectContaining({ code: "swing/tempo" }));
  });
});

describe("downbeat delay", () => {
  // Nelias et al. (2022), Communications Physics 5; verified: read in source.
  it("Nelias et al. 2022: 85 of 960 ticks near 150, about 9 % of a quarter, in the order of 30 ms, and falls with tempo", () => {
    const at150 = beatsToNumber(downbeatDelayAtTempo(150));
    expect(at150 * 960).toBeCloseTo(85, 9);
    expect(at150 * 100).toBeCloseTo(9, 0);
    expect(at150 * 400).toBeGreaterThan(25);
    expect(at150 * 400).toBeLessThan(40);
    fc.assert(fc.property(tempos, tempos, (a, b) => {
      fc.pre(a < b);
      expect(compareBeats(downbeatDelayAtTempo(a), downbeatDelayAtTempo(b))).toBeGreaterThanOrEqual(0);
    }));
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
    expect(graceLength(240)).toEqual(beats("1/8"));
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

  // Corcoran, C. & Frieler, K. (2021), Music Perception 38(4), 372-385; verified: read in source (abstract).
  it("Corcoran & Frieler 2021: soloists' average is 1.3:1", () => {
    expect(parseFeel("soloist").ratio).toEqual({ first: 13, second: 10 });
  });

  it("an unknown name gets the nearest as a hint", () => {
    expect(() => parseFeel("laid bak")).toThrow(/did you mean laid back/);
  });
});
