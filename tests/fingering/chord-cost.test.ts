import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, Hand } from "../../src/event/index.ts";
import type { ChordFingeringOptions, HandSize } from "../../src/fingering/index.ts";
import { fingerChord, fingerPassage, fingerSpan } from "../../src/fingering/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { keyColour, parsePitch, pitchFromMidi } from "../../src/pitch/index.ts";

const ALL: readonly Finger[] = [1, 2, 3, 4, 5];
const keys = (midi: readonly number[]): readonly Pitch[] => midi.map((key) => pitchFromMidi(key, "flats"));
const up = (names: string): readonly Pitch[] => names.split(" ").map(parsePitch);
const black = (p: Pitch | undefined): boolean => p !== undefined && keyColour(p) === "black";

/** Fingers that grow away from the thumb's side, in the order in which ties are won. */
const rising = (count: number, from: Finger = 1): readonly (readonly Finger[])[] =>
  count === 0
    ? [[]]
    : ALL.filter((f) => f >= from).flatMap((f) => rising(count - 1, (f + 1) as Finger).map((rest) => [f, ...rest]));

/** What the documentation of fingerChord lists, each charge read off a passage of two or three notes or the table of spans. */
const costOf = (
  outward: readonly Pitch[],
  hand: Hand,
  size: HandSize,
  fingers: readonly Finger[],
): number | undefined => {
  let cost = 0;
  for (let i = 0; i < outward.length; i++)
    for (let j = i + 1; j < outward.length; j++) {
      const [a, b] = [fingers[i] as Finger, fingers[j] as Finger];
      const span = Math.abs((outward[j] as Pitch).semitones - (outward[i] as Pitch).semitones);
      const reach = fingerSpan(a, b, { size });
      if (span < reach.minPractical || span > reach.maxPractical) return undefined;
      const { costByRule } = fingerPassage([outward[i] as Pitch, outward[j] as Pitch], {
        hand,
        size,
        rules: "parncutt-1997",
        scale: false,
        fixed: { 0: a, 1: b },
      });
      for (const rule of ["stretch", "small-span", "large-span"]) cost += costByRule[rule] ?? 0;
    }
  if (outward.some((p) => !black(p)))
    outward.forEach(
      (p, i) => (cost += black(p) ? (({ 1: 3, 5: 2 } as Record<number, number>)[fingers[i] as number] ?? 0) : 0),
    );
  if (outward.length > 2) cost += (fingers[0] === 1 ? 0 : 2) + (fingers.at(-1) === 5 ? 0 : 2);
  for (let i = 0; i < outward.length - 3; i++) {
    const { costByRule } = fingerPassage(outward.slice(i, i + 3), {
      hand,
      rules: "parncutt-1997",
      weights: { "hand-frame": 6 },
      scale: false,
      fixed: { 0: fingers[i] as Finger, 1: fingers[i + 1] as Finger, 2: fingers[i + 2] as Finger },
    });
    cost += costByRule["hand-frame"] ?? 0;
  }
  return cost;
};

const chords = fc.uniqueArray(fc.integer({ min: 48, max: 64 }), { minLength: 1, maxLength: 5 });

describe("the cost of a chord", () => {
  it("law: Parncutt's rules 1 to 3 over every pair of fingers and the charges documented beside them, least of all choices, ties to the lower finger", () => {
    let reached = 0;
    for (const [midi, hand, size] of fc.sample(
      fc.tuple(chords, fc.constantFrom<Hand>("left", "right"), fc.constantFrom<HandSize>("small", "medium", "large")),
      { seed: 4, numRuns: 60 },
    )) {
      const outward = keys([...midi].sort((a, b) => (hand === "right" ? a - b : b - a)));
      let best: { cost: number; fingers: readonly Finger[] } | undefined;
      for (const fingers of rising(outward.length)) {
        const cost = costOf(outward, hand, size, fingers);
        if (cost !== undefined && (best === undefined || cost < best.cost)) best = { cost, fingers };
      }
      if (best === undefined) {
        expect(() => fingerChord(keys(midi), { hand, size })).toThrow("fingering/out-of-reach");
        continue;
      }
      reached++;
      expect(fingerChord(keys(midi), { hand, size })).toMatchObject({
        kind: "chord-fingering",
        hand,
        cost: best.cost,
        pitches: hand === "right" ? outward : [...outward].reverse(),
        fingers: hand === "right" ? best.fingers : [...best.fingers].reverse(),
        span: Math.max(...midi) - Math.min(...midi),
      });
    }
    expect(reached).toBeGreaterThan(30);
  });

  it("Parncutt 1997, Table 1: two notes cost what lies beyond the relaxed and the comfortable span", () => {
    const cost = (names: string, fingers: readonly Finger[], hand: Hand = "right") =>
      fingerChord(up(names), { hand, fixed: Object.fromEntries(fingers.map((finger, place) => [place, finger])) }).cost;
    expect(cost("C4 G4", [1, 5])).toBe(0); // relaxed from 7
    expect(cost("D4 F5", [1, 5])).toBe(2 * 2 + 5); // 15: comfortable to 13, relaxed to 10
    expect(cost("C4 C#4", [1, 3])).toBe(2); // 1: relaxed from 3, comfortable from less
    expect(cost("C4 G4", [2, 4])).toBe(2 * 2 + 2 * 3); // 7: comfortable to 5, relaxed to 4; two points a semitone without the thumb
    expect(cost("C4 G4", [5, 1], "left")).toBe(0);
  });

  it("the octave on black keys is free of the charge for black keys, one black key among white ones is not", () => {
    const cost = (names: string) => fingerChord(up(names), { hand: "right", fixed: { 0: 1, 1: 5 } }).cost;
    expect(cost("Db4 Ab4")).toBe(0);
    expect(cost("Db4 A4")).toBe(3);
    expect(cost("D4 Bb4")).toBe(2);
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
        fc.constantFrom<Finger>(...ALL),
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
