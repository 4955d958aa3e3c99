import { Key, Scale } from "tonal";
import { describe, expect, it } from "vitest";
import type { ChordScaleId } from "../../src/harmony/index.ts";
import { analyseHarmony, chordScaleCatalogue } from "../../src/harmony/index.ts";
import { parseProgression } from "../../src/progression/index.ts";

const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;

// tonal's names of the scales in the catalogue.
const NAMES: Readonly<Record<ChordScaleId, string>> = {
  ionian: "major",
  dorian: "dorian",
  phrygian: "phrygian",
  lydian: "lydian",
  mixolydian: "mixolydian",
  aeolian: "minor",
  locrian: "locrian",
  "locrian-natural-2": "locrian #2",
  "melodic-minor": "melodic minor",
  "lydian-augmented": "lydian augmented",
  "lydian-dominant": "lydian dominant",
  altered: "altered",
  "mixolydian-b9-b13": "phrygian dominant",
  "half-whole": "half-whole diminished",
  "whole-half": "diminished",
  "whole-tone": "whole tone",
};

describe("tonal 6.4.3, scales by name and the chord scales of keys", () => {
  const semitones = (degree: string): number => {
    const number = Number(degree.replace(/[b#]+/, ""));
    return ([0, 2, 4, 5, 7, 9, 11][number - 1] ?? 0) + degree.split("#").length - degree.split("b").length;
  };

  it.each(chordScaleCatalogue.map((row) => [row.id, row] as const))("%s sounds as it does there", (id, { degrees }) => {
    const { chroma, empty } = Scale.get(`C ${NAMES[id]}`);
    expect(empty).toBe(false);
    const own = Array.from({ length: 12 }, (_, note) => (degrees.some((d) => semitones(d) % 12 === note) ? "1" : "0"));
    expect(own.join("")).toBe(chroma);
  });

  const FUNCTIONS: Readonly<Record<string, string>> = {
    tonic: "T",
    subdominant: "SD",
    dominant: "D",
    "leading-diminished": "D",
  };

  it.each(KEYS)("the seven degrees of %s major have its chord scales and functions", (tonic) => {
    const key = Key.majorKey(tonic);
    for (const [i, chord] of key.chords.entries()) {
      const text = `${key.chords[1]} ${key.chords[4]} | ${key.chords[0]} | ${chord} | ${key.chords[1]} ${key.chords[4]} | ${key.chords[0]}`;
      const here = analyseHarmony(parseProgression(text, { key: tonic })).chords[3];
      expect([chord, here === undefined ? "" : NAMES[here.scale]]).toEqual([
        chord,
        key.chordScales[i]?.split(" ").slice(1).join(" "),
      ]);
      expect([chord, FUNCTIONS[here?.function ?? ""]]).toEqual([chord, key.chordsHarmonicFunction[i]]);
    }
  });

  it.each(KEYS)("applied and substitute dominants of %s major are those that it lists", (tonic) => {
    const key = Key.majorKey(tonic);
    for (const [i, dominant] of key.secondaryDominants.entries()) {
      const target = key.chords[i];
      if (dominant === "" || i === 2 || i === 6) continue;
      const what = (chord: string | undefined): string | undefined =>
        analyseHarmony(parseProgression(`${key.chords[0]} | ${chord} | ${target} | ${key.chords[0]}`, { key: tonic }))
          .chords[1]?.function;
      expect([dominant, what(dominant)]).toEqual([dominant, "applied-dominant"]);
      const substitute = key.substituteDominants[i];
      expect([substitute, what(substitute)]).toEqual([substitute, "substitute-dominant"]);
    }
  });
});

// A list of chord scales for a class, in one key, read in a stored copy: "Modal Interchange Chord Scale List",
// https://pdfcookie.com/documents/modal-interchange-chord-scale-list-nlz1rjd7e925. Where it gives a choice, any of it serves. Its
// mixolydian with ♭9 ♯9 ♭13 is our mixolydian ♭9 ♭13, without the ♯9.
describe("a published list of chord scales", () => {
  it.each<readonly [chord: string, at: number, chart: string, scales: readonly ChordScaleId[]]>([
    ["Imaj7", 0, "Cmaj7 | Dm7 | G7 | Cmaj7", ["ionian"]],
    ["II-7", 1, "Cmaj7 | Dm7 | G7 | Cmaj7", ["dorian"]],
    ["III-7", 1, "Cmaj7 | Em7 | Am7 | Dm7 | G7 | Cmaj7", ["phrygian"]],
    ["IVmaj7", 1, "Cmaj7 | Fmaj7 | Cmaj7 | G7 | Cmaj7", ["lydian"]],
    ["V7", 2, "Cmaj7 | Dm7 | G7 | Cmaj7", ["mixolydian"]],
    ["VI-7", 1, "Cmaj7 | Am7 | Dm7 | G7 | Cmaj7", ["aeolian"]],
    ["VII-7b5", 1, "Cmaj7 | Bm7b5 | Cmaj7 | G7 | Cmaj7", ["locrian"]],
    ["V7/II", 1, "Cmaj7 | A7 | Dm7 | G7 | Cmaj7", ["mixolydian-b9-b13"]],
    ["V7/III", 1, "Cmaj7 | B7 | Em7 | Am7 | Dm7 | G7 | Cmaj7", ["mixolydian-b9-b13"]],
    ["V7/IV", 1, "Cmaj7 | C7 | Fmaj7 | G7 | Cmaj7", ["mixolydian"]],
    ["V7/V", 1, "Cmaj7 | D7 | Dm7 G7 | Cmaj7", ["mixolydian", "lydian-dominant"]],
    ["V7/V, at once", 1, "Cmaj7 | D7 | G7 | Cmaj7", ["mixolydian"]],
    ["V7/VI", 1, "Cmaj7 | E7 | Am7 | Dm7 | G7 | Cmaj7", ["mixolydian-b9-b13"]],
    ["Alt.7", 2, "Cmaj7 | Dm7 | G7alt | Cmaj7", ["altered"]],
    ["bIImaj7", 1, "Cmaj7 | Dbmaj7 | Cmaj7 | G7 | Cmaj7", ["lydian"]],
    ["bIIImaj7", 1, "Cmaj7 | Ebmaj7 | Dm7 | G7 | Cmaj7", ["lydian"]],
    ["bVImaj7", 1, "Cmaj7 | Abmaj7 | G7 | Cmaj7", ["lydian"]],
    ["bVIImaj7", 1, "Cmaj7 | Bbmaj7 | Cmaj7 | G7 | Cmaj7", ["lydian"]],
    ["#IV-7b5", 1, "Cmaj7 | F#m7b5 | Fm6 | Cmaj7", ["locrian"]],
    ["bVI7", 1, "Cmaj7 | Ab7 | G7 | Cmaj7", ["lydian-dominant"]],
    ["bVII7", 1, "Cmaj7 | Bb7 | Cmaj7 | G7 | Cmaj7", ["lydian-dominant", "mixolydian"]],
    ["I-7", 1, "Cmaj7 | Cm7 | Cmaj7 | G7 | Cmaj7", ["dorian", "aeolian", "phrygian"]],
    ["IV-7", 1, "Cmaj7 | Fm7 | Cmaj7 | G7 | Cmaj7", ["dorian"]],
    ["IV7", 1, "Cmaj7 | F7 | Cmaj7 | G7 | Cmaj7", ["lydian-dominant"]],
    ["I-6", 2, "Dm7b5 | G7 | Cm6", ["melodic-minor", "dorian"]],
    ["I-maj7", 2, "Dm7b5 | G7 | CmMaj7", ["melodic-minor"]],
    ["I7", 0, "blues", ["mixolydian"]],
    ["II-7b5", 0, "Dm7b5 | G7 | Cm6", ["locrian"]],
    ["III-7b5", 1, "Cmaj7 | Em7b5 | A7 | Dm7 | G7 | Cmaj7", ["locrian"]],
    ["V-7", 1, "Cmaj7 | Gm7 | C7 | Fmaj7 | G7 | Cmaj7", ["dorian"]],
    ["subV7/II", 1, "Cmaj7 | Eb7 | Dm7 | G7 | Cmaj7", ["lydian-dominant"]],
    ["subV7/III", 1, "Cmaj7 | F7 | Em7 | A7 | Dm7 | G7 | Cmaj7", ["lydian-dominant"]],
    ["subV7/IV", 1, "Cmaj7 | Gb7 | Fmaj7 | G7 | Cmaj7", ["lydian-dominant"]],
    ["subV7/V", 1, "Cmaj7 | Ab7 | G7 | Cmaj7", ["lydian-dominant"]],
    ["subV7/VI", 1, "Cmaj7 | Bb7 | Am7 | Dm7 | G7 | Cmaj7", ["lydian-dominant"]],
  ])("%s", (_, at, chart, scales) => {
    expect(scales).toContain(analyseHarmony(chart).chords[at]?.scale);
  });
});
