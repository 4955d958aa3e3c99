import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { harmonyOf } from "../../src/backing/harmony.ts";
import { parseChord } from "../../src/chord/index.ts";
import { chanceOf } from "../../src/ground/chance.ts";
import { parseKey, pitchClassOf } from "../../src/pitch/index.ts";
import { anyChord } from "./generators.ts";

const scale = (symbol: string, key: string): string => {
  const { chord, tones } = harmonyOf(parseChord(symbol), parseKey(key));
  const root = pitchClassOf(chord.root);
  return Array.from({ length: 12 }, (_, i) => tones[(root + i) % 12]?.note)
    .filter((note) => note !== undefined)
    .join(" ");
};

describe("the scale of a chord, for a bass", () => {
  // Common practice, no source: the modes of the key; lydian with a flat 7th for a tritone substitute; natural notes of the key between the tones.
  it.each([
    ["Dm7", "C", "D E F G A B C"],
    ["G7", "C", "G A B C D E F"],
    ["Cmaj7", "C", "C D E F G A B"],
    ["Fm7", "C", "F G Ab Bb C D Eb"],
    ["Db7", "C", "Db Eb F G Ab Bb Cb"],
    ["E7", "C", "E F# G# A B C D"],
    ["Bb7", "F", "Bb C D E F G Ab"],
    ["G7b9", "C minor", "G Ab B C D Eb F"],
    ["C6", "C", "C D E F G A B"],
    ["Cm", "Bb", "C D Eb F G A Bb"],
    ["F#m7b5", "E minor", "F# G A B C D E"],
    ["C7sus4", "F", "C D E F G A Bb"],
    ["C/Bb", "C", "C D E F G A Bb"],
  ])("common practice: %s in %s is %s", (symbol, key, notes) => {
    expect(scale(symbol, key)).toBe(notes);
  });

  it("law: the chord's tones are in it under their own names, and no letter twice but where the chord has it twice", () => {
    fc.assert(
      fc.property(anyChord, fc.constantFrom("C", "Eb", "A", "Db", "C minor", "F# minor"), (chord, key) => {
        const { bass, tones } = harmonyOf(chord, parseKey(key));
        expect(tones[bass]?.note).toBe(chord.bass);
        const own = new Set([...chord.tones.map((tone) => tone.note), chord.bass]);
        for (const note of own) expect(tones[pitchClassOf(note)]).toBeDefined();
        const added = tones.filter((tone) => tone !== undefined && !own.has(tone.note)).map((tone) => tone?.note[0]);
        expect(new Set(added).size).toBe(added.length);
        expect(added.filter((letter) => [...own].some((note) => note[0] === letter))).toEqual([]);
      }),
    );
  });
});

describe("chance", () => {
  it("neighbouring seeds part from the first number on, and the two players never draw alike", () => {
    const first = Array.from({ length: 100 }, (_, seed) => chanceOf(seed).between(0, 9999));
    const rises = first.slice(1).map((n, i) => n > (first[i] as number));
    const turns = rises.slice(1).filter((rise, i) => rise !== rises[i]).length;
    expect(turns).toBeGreaterThan(40);
    expect(first.every((n, seed) => n !== chanceOf(seed, 1).between(0, 9999))).toBe(true);
  });
});
