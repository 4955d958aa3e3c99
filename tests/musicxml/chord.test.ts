import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import type { MusicXmlHarmony } from "../../src/musicxml/index.ts";
import { musicXmlHarmony } from "../../src/musicxml/index.ts";
import { composed, semitonesOf } from "../chord/symbols.ts";

// Many cases; a busy machine must not fail them.
vi.setConfig({ testTimeout: 120_000 });

// MusicXML 4.0 (2021), kind-value: semitones by degree number of the kinds built of degrees.
const MINOR = { 1: 0, 3: 3, 5: 7 };
const MAJOR = { 1: 0, 3: 4, 5: 7 };
const KINDS: Readonly<Record<string, Readonly<Record<number, number>>>> = {
  major: MAJOR,
  minor: MINOR,
  augmented: { ...MAJOR, 5: 8 },
  diminished: { ...MINOR, 5: 6 },
  dominant: { ...MAJOR, 7: 10 },
  "major-seventh": { ...MAJOR, 7: 11 },
  "minor-seventh": { ...MINOR, 7: 10 },
  "diminished-seventh": { ...MINOR, 5: 6, 7: 9 },
  "augmented-seventh": { ...MAJOR, 5: 8, 7: 10 },
  "half-diminished": { ...MINOR, 5: 6, 7: 10 },
  "major-minor": { ...MINOR, 7: 11 },
  "major-sixth": { ...MAJOR, 6: 9 },
  "minor-sixth": { ...MINOR, 6: 9 },
  "dominant-ninth": { ...MAJOR, 7: 10, 9: 14 },
  "major-ninth": { ...MAJOR, 7: 11, 9: 14 },
  "minor-ninth": { ...MINOR, 7: 10, 9: 14 },
  "dominant-11th": { ...MAJOR, 7: 10, 9: 14, 11: 17 },
  "major-11th": { ...MAJOR, 7: 11, 9: 14, 11: 17 },
  "minor-11th": { ...MINOR, 7: 10, 9: 14, 11: 17 },
  "dominant-13th": { ...MAJOR, 7: 10, 9: 14, 11: 17, 13: 21 },
  "major-13th": { ...MAJOR, 7: 11, 9: 14, 11: 17, 13: 21 },
  "minor-13th": { ...MINOR, 7: 10, 9: 14, 11: 17, 13: 21 },
  "suspended-second": { 1: 0, 2: 2, 5: 7 },
  "suspended-fourth": { 1: 0, 4: 5, 5: 7 },
  power: { 1: 0, 5: 7 },
};
// `degree-alter`: added degrees are counted against a dominant chord, major and perfect but for a minor seventh.
const DOMINANT: Readonly<Record<number, number>> = { 1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 9: 14, 11: 17, 13: 21 };

/** What a reader of MusicXML hears: (degree number, semitones) pairs. */
const heard = ({ kind, degrees }: MusicXmlHarmony): readonly string[] => {
  const tones = Object.entries(KINDS[kind] as object).map(([value, semitones]) => ({
    value: Number(value),
    semitones: semitones as number,
  }));
  for (const { value, alter, type } of degrees) {
    if (type === "add") {
      tones.push({ value, semitones: (DOMINANT[value] as number) + alter });
      continue;
    }
    const of = tones.findIndex((tone) => tone.value === value);
    expect(of).toBeGreaterThanOrEqual(0);
    const [tone] = tones.splice(of, 1);
    if (type === "alter") tones.push({ value, semitones: (tone as { semitones: number }).semitones + alter });
    else expect(alter).toBe(0);
  }
  return tones.map(({ value, semitones }) => `${value}:${semitones}`).sort();
};
const meant = (symbol: string): readonly string[] =>
  parseChord(symbol)
    .tones.map(({ degree }) => `${degree.replace(/^[b#]+/, "")}:${semitonesOf(degree)}`)
    .sort();

describe("MusicXML harmony", () => {
  it("law: kind and degrees add up to the chord's tones", () => {
    fc.assert(
      fc.property(composed, ({ suffix }) => {
        expect(heard(musicXmlHarmony(parseChord(`C${suffix}`)))).toEqual(meant(`C${suffix}`));
      }),
      { numRuns: 5000, seed: 33 },
    );
  });

  it("law: no degree is stated that the kind already holds, and the kind fits the third", () => {
    fc.assert(
      fc.property(composed, ({ suffix }) => {
        const chord = parseChord(`C${suffix}`);
        const { kind, degrees } = musicXmlHarmony(chord);
        const tones = KINDS[kind] as Readonly<Record<number, number>>;
        for (const { value, alter, type } of degrees) {
          if (type === "add") expect(tones[value]).not.toBe((DOMINANT[value] as number) + alter);
          else expect(tones[value]).toBeDefined();
        }
        const thirds = chord.tones
          .filter(({ degree }) => degree === "3" || degree === "b3")
          .map(({ degree }) => semitonesOf(degree));
        if (thirds.length === 1) expect(tones[3]).toBe(thirds[0]);
      }),
      { numRuns: 3000, seed: 34 },
    );
  });

  // Each kind's chord by a plain symbol, for its family.
  const PLAIN: Readonly<Record<string, string>> = {
    major: "C",
    minor: "Cm",
    augmented: "Caug",
    diminished: "Cdim",
    dominant: "C7",
    "major-seventh": "Cmaj7",
    "minor-seventh": "Cm7",
    "diminished-seventh": "Cdim7",
    "augmented-seventh": "C7#5",
    "half-diminished": "Cm7b5",
    "major-minor": "CmMaj7",
    "major-sixth": "C6",
    "minor-sixth": "Cm6",
    "dominant-ninth": "C9",
    "major-ninth": "Cmaj9",
    "minor-ninth": "Cm9",
    "dominant-11th": "C11",
    "major-11th": "Cmaj11",
    "minor-11th": "Cm11",
    "dominant-13th": "C13",
    "major-13th": "Cmaj13",
    "minor-13th": "Cm13",
    "suspended-second": "Csus2",
    "suspended-fourth": "Csus4",
    power: "C5",
  };

  it("law: no other kind of the chord's family needs fewer degrees, and they are stated in rising order", () => {
    fc.assert(
      fc.property(composed, ({ suffix }) => {
        const chord = parseChord(`C${suffix}`);
        const { degrees } = musicXmlHarmony(chord);
        const tones = chord.tones.map(({ degree }) => ({
          value: Number(degree.replace(/^[b#]+/, "")),
          semitones: semitonesOf(degree),
        }));
        for (const [kind, symbol] of Object.entries(PLAIN)) {
          if (parseChord(symbol).quality !== chord.quality) continue;
          // A number that both have costs what differs; a tone too many or too few costs one.
          const own = Object.entries(KINDS[kind] as object).map(([value, semitones]) => ({
            value: Number(value),
            semitones: semitones as number,
          }));
          const values = [...new Set([...own, ...tones].map(({ value }) => value))];
          const count = values.reduce((sum, value) => {
            const [a, b] = [own, tones].map((list) =>
              list.filter((tone) => tone.value === value).map(({ semitones }) => semitones),
            ) as [number[], number[]];
            const shared = a.filter((semitones) => b.includes(semitones)).length;
            return sum + Math.max(a.length, b.length) - shared;
          }, 0);
          expect(degrees.length).toBeLessThanOrEqual(count);
        }
        const order = degrees.map(({ value, alter }) => value * 10 + alter);
        expect(order).toEqual([...order].sort((a, b) => a - b));
      }),
      { numRuns: 500, seed: 35 },
    );
  });

  it.each([
    ["C13", "dominant-13th", "-11"],
    ["Cm13", "minor-13th", "-11"],
    ["Cmaj13", "major-13th", "-11"],
    ["C7sus4", "suspended-fourth", "+7"],
    ["C9sus4", "suspended-fourth", "+7 +9"],
    ["C13sus4", "suspended-fourth", "+7 +9 +13"],
    ["C6/9", "major-sixth", "+9"],
    ["Cadd9", "major", "+9"],
    ["Cm7b5", "half-diminished", ""],
    ["C7b5", "dominant", "~5"],
    ["C7alt", "dominant", "-5 +9 +9 +11 +13"],
    ["Cmaj7#5", "augmented", "+7"],
    ["Cmaj9#5", "major-ninth", "~5"],
    ["Cmaj11#5", "major-11th", "~5"],
    ["Cmaj13#5", "major-13th", "~5 -11"],
    ["C7no5", "dominant", "-5"],
  ] as const)("common practice, no source: %s is %s %s", (symbol, kind, degrees) => {
    const harmony = musicXmlHarmony(parseChord(symbol));
    expect(harmony.kind).toBe(kind);
    expect(
      harmony.degrees.map(({ type, value }) => (type === "add" ? "+" : type === "alter" ? "~" : "-") + value).join(" "),
    ).toBe(degrees);
  });

  it("names the bass only where it is not the root, and prints the quality with signs", () => {
    expect(musicXmlHarmony(parseChord("Ebmaj7#11/G"))).toMatchObject({ root: "Eb", bass: "G", text: "maj7(♯11)" });
    expect(musicXmlHarmony(parseChord("Eb/Eb"))).toStrictEqual({ root: "Eb", kind: "major", text: "", degrees: [] });
    expect(musicXmlHarmony(parseChord("C")).text).toBe("");
  });
});
