import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { degreeOver } from "../../src/chord/index.ts";
import { FAMILIES } from "../../src/harmony/family.ts";
import { analyseHarmony, chordScaleCatalogue, chordScales } from "../../src/harmony/index.ts";
import { chordScalesIn, coloursIn } from "../../src/harmony/inner.ts";
import { shippedPoints } from "../../src/harmony/points.ts";
import type { Unit, Weights } from "../../src/harmony/search.ts";
import { chordEntries, KEYS, noWeights, readKeys, stepEntries } from "../../src/harmony/search.ts";
import { parseInterval, pitchClassOf } from "../../src/pitch/index.ts";
import { parseProgression, progressionCatalogue, transposeProgression } from "../../src/progression/index.ts";
import { bundle } from "../bundle.ts";

const read = (
  chart: string,
  what: "numeral" | "home" | "function" | "scale" | "cadence",
): readonly (string | undefined)[] => analyseHarmony(chart).chords.map((chord) => chord[what]);
const keys = (chart: string): readonly string[] =>
  analyseHarmony(chart).chords.map(({ key }) => `${key.tonic} ${key.mode}`);

const parts = (chart: string, key: string): readonly (readonly [string, string])[] =>
  analyseHarmony(parseProgression(chart, { key })).chords.map((chord) => [chord.home, chord.function]);

// Common practice, no source, throughout: what any textbook of jazz harmony says of these.
describe("textbook progressions (common practice, no source)", () => {
  it("ii–V–I in major and in minor", () => {
    expect(keys("Dm7 | G7 | Cmaj7")).toEqual(["C major", "C major", "C major"]);
    expect(read("Dm7 | G7 | Cmaj7", "function")).toEqual(["subdominant", "dominant", "tonic"]);
    expect(read("Dm7 | G7 | Cmaj7", "cadence")).toEqual([undefined, undefined, "authentic"]);
    expect(keys("Dm7b5 | G7 | Cm6")).toEqual(["C minor", "C minor", "C minor"]);
    expect(read("Dm7b5 | G7 | Cm6", "numeral")).toEqual(["iiø7", "V7", "i6"]);
    expect(analyseHarmony("Dm7b5 | G7 | Cm6").twoFives).toEqual([{ two: 0, five: 1, one: 2 }]);
  });

  it("applied dominants and their iis", () => {
    expect(read("Cmaj7 | Em7b5 A7 | Dm7 G7 | C6", "home")).toEqual(["Imaj7", "iiø7/ii", "V7/ii", "ii7", "V7", "I6"]);
    expect(read("Cmaj7 | Gm7 C7 | Fmaj7 | Dm7 G7 | Cmaj7", "home").slice(1, 3)).toEqual(["ii7/IV", "V7/IV"]);
  });

  it("tritone substitutes", () => {
    expect(read("Dm7 | Db7 | Cmaj7", "function")[1]).toBe("substitute-dominant");
    expect(read("Dm7 | Db7 | Cmaj7", "home")[1]).toBe("subV7/I");
    expect(read("Dm7 | Db7 | Cmaj7", "cadence")[2]).toBe("tritone");
    expect(read("Cmaj7 | Eb7 | Dm7 | G7 | Cmaj7", "home")[1]).toBe("subV7/ii");
  });

  it("backdoor, minor subdominant, plagal and deceptive cadences", () => {
    expect(read("Cmaj7 | Fm7 Bb7 | Cmaj7", "function")).toEqual(["tonic", "borrowed", "backdoor-dominant", "tonic"]);
    expect(read("Cmaj7 | Fmaj7 | Fm6 | Cmaj7", "function")).toEqual(["tonic", "subdominant", "borrowed", "tonic"]);
    expect(read("Cmaj7 | Fmaj7 | Cmaj7", "cadence")[2]).toBe("plagal");
    expect(read("Cmaj7 | Dm7 G7 | Am7 | Dm7 G7 | Cmaj7", "cadence")[3]).toBe("deceptive");
  });

  it("a blues: dominants at rest on I and IV, whatever else is heard", () => {
    expect(read("blues", "function").slice(0, 8)).toEqual(Array(8).fill("blues"));
    expect(read("jazz-blues", "home").slice(0, 10)).toEqual([
      "I7",
      "IV7",
      "I7",
      "ii7/IV",
      "V7/IV",
      "IV7",
      "#iv°7",
      "I7",
      "ii7/ii",
      "V7/ii",
    ]);
  });

  it("a blues is in its own key: I7, IV7 and V7 are at home, but a I7 that its own ii leads to", () => {
    for (const id of ["blues", "blues-quick-change", "slow-blues", "eight-bar-blues", "jazz-blues", "blues-turnaround"])
      for (const key of ["C", "F", "Bb"]) {
        const { chords } = analyseHarmony(parseProgression(id, { key }));
        for (const { key: moment, home, numeral } of chords)
          if (["I6", "I7", "IV7", "V7"].includes(home)) expect([id, moment.tonic, numeral]).toEqual([id, key, home]);
      }
    expect(keys("jazz-blues").slice(3, 6)).toEqual(["F major", "F major", "C major"]);
  });

  it("a minor chord without its V is no ii: what it is in the key of the whole", () => {
    expect(
      parts("Dm9 | Em7/D | Dm9 | Em7/D | Gm7 | C7 | Fmaj7 | Bbmaj7 | Em7b5 | A7b9 | Dm6", "D minor").filter(
        (_, i) => i === 0 || i === 2,
      ),
    ).toEqual([
      ["i9", "tonic"],
      ["i9", "tonic"],
    ]);
    expect(parts("C6 Am7 | Dm7 G7 | C6 | F#m7b5 Fm6 | Em7 A7 | Dm7 G7 | C6", "C")[5]).toEqual(["#ivø7", "subdominant"]);
  });

  it("a diminished chord that falls is counted from the degree above, one that rises from the one below", () => {
    expect(parts("C/E | Ebdim7 | Dm7 | G7 | C6", "C")[1]).toEqual(["biii°7", "passing-diminished"]);
    expect(parts("Fmaj7 | Gm7 | Am7 | Abdim7 | Gm7 | C7 | Fmaj7", "F")[3]).toEqual(["biii°7", "passing-diminished"]);
    expect(
      parts("C6 | C#dim7 | Dm7 | D#dim7 | Em7 | A7 | Dm7 | G7 | C6", "C").flatMap(([home], i) =>
        i % 2 === 1 && i < 4 ? [home] : [],
      ),
    ).toEqual(["#i°7", "#ii°7"]);
  });

  it("a bridge of dominants", () => {
    expect(read("E7 | A7 | D7 | G7 | C6", "home")).toEqual(["V7/VI", "V7/II", "V7/V", "V7", "I6"]);
  });

  it("N.C. is left out, bars and beats are the chart's", () => {
    expect(analyseHarmony("Dm7 G7 | N.C. | C6").chords.map(({ bar, beat }) => [bar, beat.num])).toEqual([
      [1, 1],
      [1, 3],
      [3, 1],
    ]);
    expect(analyseHarmony("N.C.").chords).toEqual([]);
  });

  it("stretches of one key, and sentences", () => {
    expect(analyseHarmony("Dm7 | G7 | Cmaj7 | Cm7 | F7 | Bbmaj7").regions.map(({ from, to }) => [from, to])).toEqual([
      [0, 2],
      [3, 5],
    ]);
    expect(analyseHarmony("Dm7 | Db7 | Cmaj7").chords[1]?.sentence).toMatch(
      /^D♭7 is bII7 of C major \(subV7\/I in the key of the whole\): a tritone substitute, before Cmaj7\. As a chord of /,
    );
  });
});

// Nettles & Graf (1997); Levine (1995), cited from memory: the scale of each degree, of altered and of substituted dominants.
describe("chord scales (Nettles & Graf 1997, Levine 1995)", () => {
  it.each<readonly [string, readonly string[]]>([
    ["Cmaj7 | Dm7 | G7 | Cmaj7", ["ionian", "dorian", "mixolydian", "ionian"]],
    ["Cmaj7 | Fmaj7 | Dm7 | G7 | Cmaj7", ["ionian", "lydian", "dorian", "mixolydian", "ionian"]],
    ["Dm7b5 | G7 | Cm6", ["locrian", "mixolydian-b9-b13", "melodic-minor"]],
    ["Dm7 | Db7 | Cmaj7", ["dorian", "lydian-dominant", "ionian"]],
    ["Dm7 | G7alt | Cmaj7", ["dorian", "altered", "ionian"]],
    ["Dm7 | G13b9 | Cmaj7", ["dorian", "half-whole", "ionian"]],
    ["Dm7 | G7#5 | Cmaj7", ["dorian", "whole-tone", "ionian"]],
    ["Dm7 | G7#11 | Cmaj7#11", ["dorian", "lydian-dominant", "lydian"]],
    ["Cmaj7 | C#dim7 | Dm7 | G7 | Cmaj7", ["ionian", "whole-half", "dorian", "mixolydian", "ionian"]],
  ])("%s", (chart, scales) => {
    expect(read(chart, "scale")).toEqual(scales);
  });
});

// The diatonic seventh chords of a major key and what they are heard with, as textbooks list them: Nettles & Graf (1997), The Chord Scale Theory and
// Jazz Harmony; functions of the degrees (tonic I iii vi, subdominant ii IV, dominant V, vii as leading note) likewise. Both cited from memory.
describe("textbook tables (Nettles & Graf 1997, cited from memory)", () => {
  const MAJOR_KEYS = ["C", "Db", "D", "Eb", "E", "F", "G", "Ab", "A", "Bb", "B"] as const;
  const only = (text: string, key: string, at: number) => analyseHarmony(parseProgression(text, { key })).chords[at];

  it.each([
    ["Imaj7", "ionian", "tonic"],
    ["ii7", "dorian", "subdominant"],
    ["iii7", "phrygian", "tonic"],
    ["IVmaj7", "lydian", "subdominant"],
    ["V7", "mixolydian", "dominant"],
    ["vi7", "aeolian", "tonic"],
    ["viiø7", "locrian", "leading-diminished"],
  ])("%s of a major key, in every key: %s, %s", (numeral, scale, what) => {
    for (const key of MAJOR_KEYS) {
      const chord = only(`ii7 V7 | Imaj7 | ${numeral} | ii7 V7 | Imaj7`, key, 3);
      expect([key, chord?.scale, chord?.function]).toEqual([key, scale, what]);
    }
  });

  it.each([
    ["subV7", "lydian-dominant", "substitute-dominant"],
    ["bVII7", "lydian-dominant", "backdoor-dominant"],
  ])("%s before the tonic: %s, %s", (numeral, scale, what) => {
    for (const key of MAJOR_KEYS) {
      const chord = only(`Imaj7 V7 | Imaj7 | ${numeral} | Imaj7`, key, 3);
      expect([key, chord?.scale, chord?.function]).toEqual([key, scale, what]);
    }
  });

  it.each([
    ["VI7", "ii7", "mixolydian-b9-b13"],
    ["III7", "vi7", "mixolydian-b9-b13"],
    ["VII7", "iii7", "mixolydian-b9-b13"],
    ["I7", "IVmaj7", "mixolydian"],
    ["II7", "V7", "mixolydian"],
  ])("applied dominant %s before %s: %s", (dominant, target, scale) => {
    for (const key of MAJOR_KEYS) {
      const chord = only(`Imaj7 V7 | Imaj7 | ${dominant} | ${target} | Imaj7`, key, 3);
      expect([key, chord?.function, chord?.scale]).toEqual([key, "applied-dominant", scale]);
    }
  });

  it.each([
    ["iiø7", 0, "locrian", "subdominant"],
    ["V7", 1, "mixolydian-b9-b13", "dominant"],
    ["i6", 2, "melodic-minor", "tonic"],
  ])("%s of a minor key: %s", (_, at, scale, what) => {
    for (const key of [
      "C minor",
      "F minor",
      "Bb minor",
      "Eb minor",
      "G minor",
      "D minor",
      "A minor",
      "E minor",
      "B minor",
    ]) {
      const chord = only("iiø7 | V7 | i6 | i6", key, at);
      expect([key, chord?.scale, chord?.function]).toEqual([key, scale, what]);
    }
  });
});

describe("the reading", () => {
  const units: fc.Arbitrary<readonly Unit[]> = fc.array(
    fc.record({
      root: fc.nat(11),
      family: fc.constantFrom(...FAMILIES),
      length: fc.constantFrom(1, 2, 4),
    }),
    { minLength: 1, maxLength: 3 },
  );

  const pointsOf = (chords: readonly Unit[], path: readonly number[], weights: Weights): number => {
    let sum = 0;
    const add = (table: keyof Weights, index: number): void => {
      sum += weights[table][index] ?? 0;
    };
    for (const [i, chord] of chords.entries()) {
      const [key, before, last] = [path[i] ?? 0, path[i - 1] ?? 0, chords[i - 1]];
      chordEntries(chord, key, add);
      if (last !== undefined) stepEntries(last, chord, before, key, add);
    }
    return sum;
  };
  const everyPath = (length: number): readonly (readonly number[])[] =>
    length === 0 ? [[]] : everyPath(length - 1).flatMap((path) => [...Array(KEYS).keys()].map((key) => [...path, key]));

  it("law: it has the most points of all readings, and each other key falls short by what its own best reading has less", () => {
    fc.assert(
      fc.property(units, fc.boolean(), fc.nat(23), (chords, shipped, home) => {
        const weights = shipped ? shippedPoints() : noWeights();
        const less = (i: number, key: number): number => (i % 2 === 0 && key !== home ? 70 : 0);
        const { keys: best, points, short } = readKeys(chords, weights, less);
        const worth = (path: readonly number[]): number =>
          path.reduce((sum, key, i) => sum - less(i, key), pointsOf(chords, path, weights));
        const all = everyPath(chords.length).map((path) => ({ path, points: worth(path) }));
        expect(points).toBe(Math.max(...all.map((one) => one.points)));
        expect(worth(best)).toBe(points);
        for (const i of chords.keys()) {
          const of = new Float64Array(KEYS).fill(Number.NEGATIVE_INFINITY);
          for (const one of all) of[one.path[i] ?? 0] = Math.max(of[one.path[i] ?? 0] ?? 0, one.points);
          expect([...(short()[i] ?? [])]).toEqual([...of].map((most) => points - most));
        }
      }),
      { numRuns: 30 },
    );
  });

  it("law: in every key the same", () => {
    for (const row of progressionCatalogue) {
      const home = parseProgression(row.id);
      const { chords } = analyseHarmony(home);
      for (const tonic of ["F", "Bb", "Eb", "A"]) {
        const there = analyseHarmony(transposeProgression(home, tonic));
        expect(there.chords.map((one) => [one.numeral, one.home, one.function, one.scale, one.margin])).toEqual(
          chords.map((one) => [one.numeral, one.home, one.function, one.scale, one.margin]),
        );
      }
    }
  });

  it("law: a chord that lasts is read as one, however the chart writes it", () => {
    expect(analyseHarmony("Dm7 | % | G7 | Cmaj7").chords.map(({ margin }) => margin)).toEqual(
      analyseHarmony("Dm7 / Dm7 / | Dm7 | G7 | Cmaj7")
        .chords.slice(1)
        .map(({ margin }) => margin),
    );
    expect(parseInterval("P5").steps).toBe(4);
  });
});

// One bass under changing chords: common practice, no source.
describe("pedal points", () => {
  it.each<readonly [chart: string, pedals: readonly (readonly [note: string, from: number, to: number])[]]>([
    ["Dmaj7 | Em7/D | A7/D | Dmaj7 | Gm7 | C7", [["D", 0, 3]]],
    ["Fm7/Bb | Bb7 | Ebmaj7", [["Bb", 0, 1]]],
    ["Gm7/C Bbmaj7/C Gm7/C C7 | Fmaj7", [["C", 0, 3]]],
    ["Fm7/Bb Bb7 | Ebmaj7", []],
    ["Cmaj7 | Cmaj7 | Am7", []],
    ["Ebmaj7 | Ebmaj7/D | Cm7 | Cm7/Bb", []],
  ])("%s", (chart, pedals) => {
    const { pedals: found, chords } = analyseHarmony(chart);
    expect(found.map(({ note, from, to }) => [note, from, to])).toEqual(pedals);
    for (const [i, { pedal }] of chords.entries())
      expect(pedal).toBe(pedals.find(([, from, to]) => from <= i && i <= to)?.[0]);
  });

  it("law: the colours alone are those of the whole analysis", () => {
    for (const { id } of progressionCatalogue) {
      const progression = parseProgression(id);
      expect(coloursIn(progression)).toEqual(analyseHarmony(progression).chords.map(({ colour }) => colour));
    }
  });
});

describe("chordScales", () => {
  it("law: says of each chord the scale that the whole analysis says, its notes over the chord's root", () => {
    fc.assert(
      fc.property(fc.constantFrom(...progressionCatalogue), fc.constantFrom("C", "F#", "B", "Eb"), (row, tonic) => {
        const progression = parseProgression(row.id, { key: `${tonic} ${row.mode}` });
        const { chords } = analyseHarmony(progression);
        const scales = chordScalesIn(progression);
        expect(scales.map(({ chord, scale }) => [chord, scale])).toEqual(
          chords.map(({ chord, scale }) => [chord, scale]),
        );
        for (const { chord, scale, notes } of scales) {
          const { degrees } = chordScaleCatalogue.find(({ id }) => id === scale) ?? { degrees: [] };
          expect(notes.map((note) => degreeOver(chord.root, note))).toEqual(degrees);
        }
      }),
    );
  });

  it("spells the scale of a minor ii–V–i (common practice, no source)", () => {
    expect(chordScales("Dm7b5 | N.C. | G7 | Cm6").map(({ notes }) => notes.join(" "))).toEqual([
      "D Eb F G Ab Bb C",
      "G Ab B C D Eb F",
      "C D Eb F G A B",
    ]);
  });

  it("law: holds each tone that a symbol names, but for the 5th of altered dominants", () => {
    const symbols =
      "m7 m9 m11 m7(b9) m6 m69 mMaj7 m7b5 dim7 7 9 13 7b9 7#9 13b9 7alt 7b5 9#11 7#5 7(b9,b13) 7sus4 9sus4 maj7 maj9 6 69 maj7#11 maj7#5";
    const chords = fc.constantFrom(
      ...symbols.split(" ").flatMap((kind) => ["C", "D", "E", "G", "A"].map((root) => root + kind)),
    );
    fc.assert(
      fc.property(fc.array(chords, { minLength: 1, maxLength: 4 }), (bars) => {
        for (const { chord, scale, notes } of chordScales(parseProgression(bars.join(" | "), { key: "C" }))) {
          const heard = new Set(notes.map(pitchClassOf));
          const lacking = chord.tones.filter(({ note }) => !heard.has(pitchClassOf(note))).map(({ degree }) => degree);
          expect(lacking).toEqual(scale === "altered" && lacking.includes("5") ? ["5"] : []);
        }
      }),
    );
  });

  it("a minor triad over its 7th, or before it, has that 7th in its scale", () => {
    const scales = chordScales("Cmaj7 | Bm7b5 E7 | Am Am/G | F#m7b5 Fm6 | C6").slice(3, 5);
    expect(scales.map(({ notes }) => notes.includes("G"))).toEqual([true, true]);
  });

  it("brings no reader of charts along for other folders", async () => {
    const { modules } = await bundle(`export { chordScalesIn } from "./src/harmony/inner.ts";`);
    expect(modules.some((path) => path.includes("harmony/analysis"))).toBe(true);
    expect(modules.filter((path) => /progression\/(?:chart|tokens|settle|layout|reader)/.test(path))).toEqual([]);
  });
});
