import { describe, expect, it } from "vitest";
import { readableProgression } from "../../src/harmony/index.ts";
import { pitchClassOf } from "../../src/pitch/index.ts";
import { parseProgression, progressionCatalogue } from "../../src/progression/index.ts";

const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"] as const;

describe("readable spelling", () => {
  it("substitutes are respelled to the fewest accidentals (common practice, no source)", () => {
    const read = (text: string, key: string): readonly (string | undefined)[] =>
      readableProgression(parseProgression(text, { key })).progression.chords.map(({ chord }) => chord?.symbol);
    expect(read("ii subV7 I", "Eb")).toEqual(["Fm7", "E7", "Ebmaj7"]);
    expect(read("ii subV7 I", "Db")).toEqual(["Ebm7", "D7", "Dbmaj7"]);
    expect(read("ii subV7 I", "C")).toEqual(["Dm7", "Db7", "Cmaj7"]);
  });

  it("a ii, its V and their i go together, on sharps or on flats (common practice, no source)", () => {
    const read = (text: string, key: string): readonly (string | undefined)[] =>
      readableProgression(parseProgression(text, { key })).progression.chords.map(({ chord }) => chord?.symbol);
    expect(read("Imaj7 | iiø V7 i7", "Db")).toEqual(["Dbmaj7", "D#m7(b5)", "G#7", "C#m7"]);
    expect(read("iiø iiø V7 Imaj7", "Db")).toEqual(["Ebø", "Ebø", "Ab7", "Dbmaj7"]);
    expect(read("VI7 | ii7 V7 | Imaj7", "F#")).toEqual(["D#7", "G#m7", "C#7", "F#maj7"]);
    expect(read("ii7 subV7 Imaj7", "Gb")).toEqual(["Abm7", "G7", "Gbmaj7"]);
  });

  it("law: a ii and its V, or a V and its i, are never on sharps and on flats side by side", () => {
    const side = (note: string): number => (note.includes("#") ? 1 : note.includes("b") ? -1 : 0);
    for (const { id, mode } of progressionCatalogue)
      for (const tonic of KEYS) {
        if (mode === "minor" && ["Db", "Gb"].includes(tonic)) continue;
        const { chords } = readableProgression(parseProgression(id, { key: tonic })).progression;
        for (const [i, { chord }] of chords.entries()) {
          const next = chords[i + 1]?.chord;
          if (chord === undefined || next === undefined) continue;
          const up = (pitchClassOf(next.root) - pitchClassOf(chord.root) + 12) % 12;
          const [from, to] = [chord.quality, next.quality];
          const together = to === "dominant" ? ["minor", "half-diminished"].includes(from) : from === "dominant";
          if (up === 5 && together)
            expect([id, tonic, i, side(chord.root) * side(next.root)]).not.toEqual([id, tonic, i, -1]);
        }
      }
  });

  it("what was written as a symbol stays", () => {
    expect(readableProgression("Fm7 | Fb7 | Ebmaj7").respelled).toEqual([]);
  });

  it("law: nothing that is made from numerals has three accidentals on a note, and every chord sounds as it did", () => {
    for (const { id, mode } of progressionCatalogue) {
      for (const tonic of KEYS) {
        if (mode === "minor" && ["Db", "Gb"].includes(tonic)) continue;
        const exact = parseProgression(id, { key: tonic });
        const { progression, respelled } = readableProgression(exact);
        for (const [i, { chord }] of progression.chords.entries()) {
          const before = exact.chords[i]?.chord;
          expect(chord?.tones.map(({ note }) => pitchClassOf(note))).toEqual(
            before?.tones.map(({ note }) => pitchClassOf(note)),
          );
          expect(chord?.tones.filter(({ note }) => note.length > 3) ?? []).toEqual([]);
        }
        for (const { index, to } of respelled) expect(progression.chords[index]?.chord?.symbol).toBe(to);
      }
    }
  });
});
