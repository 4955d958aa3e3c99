import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, Hand } from "../../src/event/index.ts";
import type { ChordFingeringOptions } from "../../src/fingering/index.ts";
import { fingerChord } from "../../src/fingering/index.ts";
import { fingeringRule } from "../../src/fingering/rules.ts";
import { spansOf } from "../../src/fingering/spans.ts";
import { MusicError } from "../../src/ground/errors.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { parsePitch, pitchFromMidi } from "../../src/pitch/index.ts";
import { bruteHands } from "./reference-hands.ts";

const keys = (midi: readonly number[]): readonly Pitch[] => midi.map((key) => pitchFromMidi(key, "flats"));
const up = (names: string): readonly Pitch[] => names.split(" ").map(parsePitch);

const chords = fc.uniqueArray(fc.integer({ min: 48, max: 64 }), { minLength: 2, maxLength: 5 });

describe("the cost of a chord", () => {
  it("law: the rules of chords over all its fingers, least of all choices, ties to the lower finger", () => {
    let reached = 0;
    const hands = fc.constantFrom<Hand>("left", "right");
    for (const [midi, hand] of fc.sample(fc.tuple(chords, hands), { seed: 4, numRuns: 60 })) {
      const best = bruteHands(
        [...midi].sort((a, b) => a - b).map((key) => ({ midi: key, from: 0, to: 1 })),
        hand,
        () => false,
      );
      if (best === undefined) {
        expect(() => fingerChord(keys(midi), { hand })).toThrow("fingering/out-of-reach");
        continue;
      }
      reached++;
      expect(fingerChord(keys(midi), { hand })).toMatchObject({
        kind: "chord-fingering",
        hand,
        cost: best.cost,
        fingers: best.fingers,
        span: Math.max(...midi) - Math.min(...midi),
      });
    }
    expect(reached).toBeGreaterThan(30);
  });

  // Counted by hand from the table of spans.
  it("Parncutt 1997, Table 1: points of two keys at once beyond the relaxed and the comfortable span", () => {
    const points = (rule: "chord-stretch" | "chord-span", a: Finger, b: Finger, gap: number): number => {
      const row = fingeringRule(rule);
      const window = { keys: [a, b].map((finger) => ({ finger, black: false })), gaps: [gap] };
      return row.reads === "chord" ? row.points(window, spansOf("medium")) : Number.NaN;
    };
    expect([points("chord-stretch", 1, 5, 7), points("chord-span", 1, 5, 7)]).toEqual([0, 0]);
    expect([points("chord-stretch", 1, 5, 15), points("chord-span", 1, 5, 15)]).toEqual([4, 5]);
    expect([points("chord-stretch", 1, 3, 1), points("chord-span", 1, 3, 1)]).toEqual([0, 2]);
    expect([points("chord-stretch", 2, 4, 7), points("chord-span", 2, 4, 7)]).toEqual([4, 6]);
  });
});

describe("settled fingers of a chord", () => {
  it("leave no crossed fingers, were they ever so easy", () => {
    expect(fingerChord(up("C4 G4"), { hand: "right", fixed: { 0: 3 } }).fingers).toEqual([3, 5]);
    expect(fingerChord(up("C4 G4"), { hand: "left", fixed: { 1: 3 } }).fingers).toEqual([5, 3]);
    // Parncutt 1997, Table 1: 2 and 5 practicable from two semitones.
    expect(fingerChord(up("E4 F#4"), { hand: "right", fixed: { 0: 2, 1: 5 } }).fingers).toEqual([2, 5]);
    expect(() => fingerChord(up("E4 F4"), { hand: "right", fixed: { 0: 2, 1: 5 } })).toThrow("fingering/out-of-reach");
  });

  it("law: they stay, counted from the lowest note in both hands", () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 53, max: 62 }), { minLength: 2, maxLength: 4 }),
        fc.nat(3),
        fc.constantFrom<Finger>(1, 2, 3, 4, 5),
        fc.constantFrom<Hand>("left", "right"),
        (midi, place, finger, hand) => {
          const options: ChordFingeringOptions = { hand, fixed: { [place % midi.length]: finger } };
          try {
            expect(fingerChord(keys(midi), options).fingers[place % midi.length]).toBe(finger);
          } catch (error) {
            if (!(error instanceof MusicError) || error.code !== "fingering/out-of-reach") throw error;
          }
        },
      ),
      { numRuns: 50 },
    );
  });
});

describe("what a chord is told", () => {
  it("a remark names the span, and a chord of an octave has none", () => {
    const tenth = fingerChord(up("C3 G3 E4"), { hand: "left", size: "large" });
    expect(tenth.span).toBe(16);
    expect(tenth.remarks).toEqual([{ kind: "wide-span", message: expect.stringContaining("16 semitones") as string }]);
    expect(tenth.remarks[0]?.message).toContain("stop at pain");
    expect(fingerChord(up("C3 C4"), { hand: "left" }).remarks).toEqual([]);
    expect(fingerChord(up("C3 Db4"), { hand: "left" }).remarks).toHaveLength(1);
  });

  it("a refusal names the size of the hand and its widest span", () => {
    expect(() => fingerChord(up("C3 D4"), { hand: "left", size: "small" })).toThrow(
      /one small hand reaches, at most 13 semitones.*these need 14/,
    );
    expect(() => fingerChord(up("C3 F#4"), { hand: "left", size: "large" })).toThrow(
      /one large hand reaches, at most 17 semitones.*these need 18/,
    );
    expect(fingerChord(up("C3 Eb4"), { hand: "left" }).span).toBe(15);
    // Exactly the widest span, and yet out of reach: the fault is between the fingers.
    expect(() => fingerChord(up("C4 B4 C5 D5 Eb5"), { hand: "right" })).toThrow(/open too far/);
  });

  it("does not change what it is given", () => {
    const notes = Object.freeze(up("G4 C4 E4"));
    expect(fingerChord(notes, { hand: "right" }).pitches).toEqual(up("C4 E4 G4"));
  });
});
