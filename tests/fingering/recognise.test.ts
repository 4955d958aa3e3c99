import { describe, expect, it } from "vitest";
import type { Hand, NoteEvent } from "../../src/event/index.ts";
import { fingerAlternatives, fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { parsePitch } from "../../src/pitch/index.ts";
import { parseScale } from "../../src/scale/index.ts";
import { beats } from "../../src/time/index.ts";

const HANDS: readonly Hand[] = ["right", "left"];
const up = (names: string): readonly Pitch[] => names.split(" ").map(parsePitch);
const inTime = (pitches: readonly Pitch[], from = 0): readonly NoteEvent[] =>
  pitches.map((p, i) => ({ at: beats(from + i), duration: beats(1), pitches: [p] }));

// Scales and arpeggios whose fingers differ from those of the cheapest line on the same notes: the plain line is the control.
const PATTERNS: readonly (readonly [string, string | readonly Pitch[]])[] = [
  ["B♭ major", "Bb major"],
  ["A♭ harmonic minor", "Ab harmonic minor"],
  ["F minor pentatonic", "F minor pentatonic"],
  ["E♭ major arpeggio", up("Eb4 G4 Bb4")],
  ["A♭ dominant seventh arpeggio", up("Ab3 C4 Eb4 Gb4")],
  ["D♭ chromatic", "Db chromatic"],
];

describe("whole octaves of one pattern are its exercise", () => {
  it.each(PATTERNS)("%s, up, down, there and back, and twice", (_, scale) => {
    let differs = 0;
    // An arpeggio of one octave is a broken chord in one position.
    for (const hand of HANDS)
      for (const octaves of typeof scale === "string" ? [1, 2] : [2])
        for (const direction of ["up", "down", "up-and-down"] as const) {
          const { pitches, fingers } = fingerScale(scale, { hand, octaves, direction });
          expect(fingerPassage(pitches, { hand }).fingers).toEqual(fingers);
          expect(fingerPassage(inTime(pitches), { hand }).fingers).toEqual(fingers);
          expect(fingerAlternatives(pitches, { hand, count: 1 })[0]?.fingers).toEqual(fingers);
          if (JSON.stringify(fingerPassage(pitches, { hand, scale: false }).fingers) !== JSON.stringify(fingers))
            differs++;
          if (direction !== "up-and-down") continue;
          expect(fingerPassage([...pitches, ...pitches.slice(1)], { hand }).fingers).toEqual([
            ...fingers,
            ...fingers.slice(1),
          ]);
          // The tonic struck again begins the next round.
          expect(fingerPassage([...pitches, ...pitches], { hand }).fingers).toEqual([...fingers, ...fingers]);
        }
    expect(differs).toBeGreaterThan(0);
  });

  // Printed so in the studies of the corpus: 5 3 2 1 where the arpeggio of two octaves has 2 1 4 2.
  it("an arpeggio of one octave lies under the hand without a turn", () => {
    expect(fingerPassage("Eb3 G3 Bb3 Eb4 Bb3 G3 Eb3", { hand: "left" }).fingers).toEqual([5, 3, 2, 1, 2, 3, 5]);
    expect(fingerPassage("Bb2 D3 F3 Bb3 F3 D3 Bb2", { hand: "left" }).fingers.at(0)).toBe(5);
  });

  it("each side of a rest by itself", () => {
    const { pitches, fingers } = fingerScale("Bb major", { hand: "right", direction: "up" });
    expect(fingerPassage([...inTime(pitches), ...inTime(pitches, 20)], { hand: "right" }).fingers).toEqual([
      ...fingers,
      ...fingers,
    ]);
    expect(fingerPassage([...inTime(up("C4")), ...inTime(pitches, 20)], { hand: "right" }).fingers.slice(1)).toEqual(
      fingers,
    );
  });

  it.each([
    ["an octave without its last note", "Bb3 C4 D4 Eb4 F4 G4 A4"],
    ["an octave and a note more", "Bb3 C4 D4 Eb4 F4 G4 A4 Bb4 C5"],
    ["an octave and a half of minor thirds", "Ab3 B3 D4 F4 Ab4 B4 D5"],
    ["two octaves that differ", "Bb3 C4 D4 Eb4 F4 G4 A4 Bb4 C5 Db5 Eb5 F5 G5 A5 Bb5"],
    ["bare octaves", "Bb3 Bb4 Bb5 Bb4"],
    ["octave and fifth", "Bb3 F4 Bb4 F5 Bb5"],
    ["a first note struck twice", "Bb3 Bb3 C4 D4 Eb4 F4 G4 A4 Bb4"],
    ["a scale and then something else", "Bb3 C4 D4 Eb4 F4 G4 A4 Bb4 G4 Eb4"],
    ["one note", "Bb3"],
    ["one key", "Bb3 Bb3 Bb3"],
  ])("%s is none", (_, names) => {
    for (const hand of HANDS) {
      expect(fingerPassage(up(names), { hand })).toEqual(fingerPassage(up(names), { hand, scale: false }));
      expect(fingerPassage(up(names), { hand }).costByRule).not.toHaveProperty("scale-pattern");
    }
  });

  it("a scale that is named is not looked for again, and false asks for none", () => {
    const { pitches, fingers } = fingerScale("Bb major", { hand: "right", direction: "up" });
    const plain = fingerPassage(pitches, { hand: "right", scale: false });
    expect(plain.fingers).not.toEqual(fingers);
    expect(fingerPassage(inTime(pitches), { hand: "right", scale: false }).fingers).toEqual(plain.fingers);
    // All notes of C major but the tonic are those of B♭ major or none: E♭ and B♭ are left to the other rules.
    expect(fingerPassage(pitches, { hand: "right", scale: "C major" }).fingers).not.toEqual(fingers);
  });
});

describe("fingerScale", () => {
  it("starts at C4 for the right hand and C3 for the left, or at the first tonic above the floor", () => {
    const first = (options: Parameters<typeof fingerScale>[1]) => fingerScale("A major", options).pitches[0];
    expect([first({ hand: "right" }), first({ hand: "left" })]).toEqual(up("A4 A3"));
    expect(first({ hand: "right", floor: parsePitch("Bb2") })).toEqual(parsePitch("A3"));
    expect(first({ hand: "right", floor: parsePitch("A2") })).toEqual(parsePitch("A2"));
    expect(fingerScale("C major", { hand: "right" }).pitches[0]).toEqual(parsePitch("C4"));
  });

  it("takes a scale as well as its name", () => {
    const scale = parseScale("Bb major");
    expect(fingerScale(scale, { hand: "right" })).toEqual(fingerScale("Bb major", { hand: "right" }));
    expect(fingerPassage(up("Bb3 D4 C4"), { hand: "right", scale })).toEqual(
      fingerPassage(up("Bb3 D4 C4"), { hand: "right", scale: "Bb major" }),
    );
  });

  it("plays one octave up and down unless told, and leaves given pitches where they are", () => {
    expect(fingerScale(up("D2 F2 A2"), { hand: "left" }).pitches).toEqual(up("D2 F2 A2 D3 A2 F2 D2"));
    expect(fingerScale(up("D2 F2 A2"), { hand: "left", octaves: 2, direction: "down" }).pitches).toEqual(
      up("D4 A3 F3 D3 A2 F2 D2"),
    );
    expect(fingerScale(up("D2 F2 A2"), { hand: "left", direction: "up" }).octave).toEqual(up("D2 F2 A2"));
  });

  it("law: weights, sets and rules left out change the octave, whatever was asked before", () => {
    const fingers = (options: Partial<Parameters<typeof fingerScale>[1]> = {}) =>
      fingerScale("C major", { hand: "right", ...options }).octaveFingers.join("");
    expect(fingers()).toBe("1231234");
    const off = fingers({ without: ["few-turns"] });
    expect(off).not.toBe("1231234");
    expect(fingers({ weights: { "few-turns": 0 } })).toBe(off);
    expect(fingers({ weights: {} })).toBe("1231234");
    expect(fingers({ without: [] })).toBe("1231234");
    expect(fingers({ weights: {}, without: [] })).toBe("1231234");
    expect(fingers({ fixed: { 0: 2 } })[0]).toBe("2");
    expect(fingers()).toBe("1231234");
  });

  it("keeps the end rules for the octave when its first finger is not settled", () => {
    expect(fingerScale("C major", { hand: "right", direction: "up", fixed: { 3: 1 } }).fingers.join("")).toBe(
      "12312345",
    );
    expect(fingerScale("C major", { hand: "right", direction: "up", fixed: { 0: 1 } }).fingers.join("")).toBe(
      "12312341",
    );
  });

  it("names every black key that the thumb takes", () => {
    const { remarks, octave, octaveFingers } = fingerScale(up("Db4 Eb4 Gb4 Ab4 Bb4"), { hand: "right" });
    const [remark] = remarks;
    expect(remark?.kind).toBe("thumb-on-black");
    const names = ["D♭", "E♭", "G♭", "A♭", "B♭"].filter((_, step) => octaveFingers[step] === 1);
    expect(octave).toHaveLength(5);
    expect(names.length).toBeGreaterThan(0);
    expect(remark?.message).toContain(`it takes ${names.join(" and ")}`);
  });
});
