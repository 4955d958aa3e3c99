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
