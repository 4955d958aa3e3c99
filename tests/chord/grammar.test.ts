import { describe, expect, it } from "vitest";
import { COMMON_SUFFIXES } from "../../src/chord/catalogue.ts";
import type { Chord } from "../../src/chord/index.ts";
import { formatChord, parseChord, transposeChord } from "../../src/chord/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import { interval } from "../../src/pitch/index.ts";

const degreesOf = (symbol: string) =>
  parseChord(symbol)
    .tones.map((tone) => tone.degree)
    .join(" ");
const refusalOf = (symbol: string): MusicError => {
  try {
    parseChord(symbol);
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error(`${symbol} was read`);
};

// Common practice, no source: every line is one chord in the ways in which lead sheets write it.
const SAME: readonly (readonly [degrees: string, symbols: string])[] = [
  ["1 3 5", "C CM Cmaj Cma Cmajor"],
  ["1 b3 5", "Cm Cmi Cmin C- C− CMi CMIN"],
  ["1 3 #5", "C+ Caug C(#5) C(♯5) C+5 Caug5"],
  ["1 b3 b5", "Co C° Cº Cdim Cm(b5) Cmb5 Cm-5"],
  ["1 5", "C5 C(no3) Cno3 Comit3"],
  ["1 3 5 6", "C6 Cadd6 CM6 Cmaj6 C(6)"],
  ["1 3 5 6 9", "C6/9 C69 C6(9) C6add9 C(6/9) Cmaj6/9"],
  ["1 b3 5 6 9", "Cm6/9 C-69 Cm69 Cmin6(9)"],
  ["1 3 5 7", "CΔ CΔ7 Cmaj(7) Cmajadd7 C∆7 C△7 Cmaj7 Cma7 CM7 CMaj7 CMA7 C7M C(maj7)"],
  ["1 3 5 7 9", "CΔ9 Cmaj9 CM9 C9M Cmaj7(9) Cmaj7/9 Cmaj7add9 Cadd9maj7 C(add9)(maj7)"],
  ["1 3 5 b7", "C7 Cdom7 Cdom C(b7) C(7) Cadd7"],
  ["1 b3 5 b7", "Cm7 C-7 Cmi7 Cmin7 CMi7 C−7 C–7"],
  ["1 b3 b5 b7", "Cø Cø7 C∅7 CØ Cm7b5 Cm7(b5) C-7b5 Cm7-5 Cmin7♭5 C−7(♭5)"],
  ["1 b3 b5 bb7", "Co7 C°7 Cº7 Cdim7 Cdim(7) Cdimadd7 Cdim(bb7)"],
  ["1 b3 b5 7", "Co(maj7) CdimMaj7 C°M7"],
  ["1 b3 5 7", "Cm(maj7) CmMaj7 CmM7 Cm/maj7 C-Δ7 C-Δ Cmin(maj7) Cm7M Cm(#7) Cm#7 CmΔ Cmmaj7"],
  ["1 b3 5 7 9", "CmMaj9 Cm(maj9) C-Δ9"],
  ["1 3 #5 b7", "C+7 Caug7 C7#5 C7+ C7+5 C7aug C7(#5)"],
  ["1 3 #5 7", "Cmaj7#5 C+maj7 Cmaj7+ CΔ+ CaugM7 C+(maj7)"],
  ["1 3 b5 b7", "C7b5 C7-5 C7(b5) C7♭5"],
  ["1 3 b5 b7 b9", "C7b5b9 C7b9b5 C7(b5,b9) C7(b9b5) C7(b5)(b9) C7-5-9 C7b9(b5)"],
  ["1 3 5 b7 b9", "C7b9 C7-9 C7(b9) C7/b9 C7(-9) C9b9"],
  ["1 3 5 b7 #9", "C7#9 C7+9 C7(♯9)"],
  ["1 3 5 b7 b9 13", "C13b9 C13(b9) C7(b9,13) C7(b9/13) C7(13,b9) C7b9(13)"],
  ["1 3 5 b7 13", "C7(13) C7/13 C7add13 C7(6) C7/6"],
  ["1 3 5 b7 9 #11 13", "C13#11 C13(#11) C9#11(13)"],
  ["1 3 b7 b9 #9 #11 b13", "Calt C7alt C7(alt) CALT C7alt(#11) C7alt(b13)"],
  ["1 4 5", "Csus Csus4 C(sus4) Cmsus4"],
  ["1 2 5", "Csus2"],
  ["1 2 4 5", "Csus24 Csus2sus4 Csus42 Csus2/4"],
  ["1 4 5 b7", "C7sus4 C7sus C7(sus4) Csus7 Csus4(7)"],
  ["1 4 5 b7 9", "C9sus4 C9sus Csus9 C11sus"],
  ["1 4 5 b7 b9", "C7susb9 C7sus4(b9) C7b9sus4 C7b9sus C7sus(b9)"],
  ["1 4 5 b7 9 13", "C13sus4 C13sus Csus13"],
  ["1 3 5 9", "Cadd9 C(add9) C(9) C/9 Cmaj(add9) CMadd9"],
  ["1 b3 5 9", "Cmadd9 Cm(add9) Cmiadd9 C-add9"],
  ["1 b3", "Cm(no5) Cmino5 Cmiomit5 Cminomit5"],
  ["1 2 3 5", "Cadd2"],
  ["1 3 5 b7 9 11", "C11 C9add11 C9(11)"],
  ["3 5 b7", "C7no1"],
];

describe("chord grammar", () => {
  it.each(SAME)("common practice, no source: %s in all its spellings", (degrees, symbols) => {
    const read = symbols.split(" ").map(degreesOf);
    expect(read).toEqual(symbols.split(" ").map(() => degrees));
    expect(new Set(symbols.split(" ").map((symbol) => parseChord(symbol).canonical)).size).toBe(1);
  });

  it("common practice, no source: a stroke before a letter names the bass, before a figure it parts extensions", () => {
    const parts = (symbol: string) => [parseChord(symbol).canonical, parseChord(symbol).bass];
    expect(parts("C6/9/E")).toEqual(["C6/9/E", "E"]);
    expect(parts("C6/A")).toEqual(["C6/A", "A"]);
    expect(parts("C69/A")).toEqual(["C6/9/A", "A"]);
    expect(parts("Cm7/Bb")).toEqual(["Cm7/Bb", "Bb"]);
    expect(parts("F♯ø7/A𝄫")).toEqual(["F#m7(b5)/Abb", "Abb"]);
    expect(parts("C7/9")).toEqual(["C9", "C"]);
    expect(parts("C/C")).toEqual(["C", "C"]);
    expect(parseChord("C/D").tones.map((tone) => tone.note)).toEqual(["C", "E", "G"]);
  });

  it("reads ASCII and printed accidentals on root, degrees and bass alike", () => {
    for (const [printed, ascii] of [
      ["B♭7(♭9,♯11)/A♭", "Bb7(b9,#11)/Ab"],
      ["F𝄪m", "F##m"],
      ["Fxm", "F##m"],
      ["B𝄫Δ", "Bbbmaj7"],
      ["C♮7", "C7"],
      ["B𝄫♭7/G𝄪♯", "Bbbb7/G###"],
    ] as const) {
      expect(parseChord(printed).canonical).toBe(parseChord(ascii).canonical);
    }
    expect(parseChord("C13(♮11)").canonical).toBe("C13(add11)");
  });

  it("the accidental after the letter is the root's, the first sign after it the quality's", () => {
    expect(parseChord("Cb9").root).toBe("Cb");
    expect(parseChord("C#11").root).toBe("C#");
    expect(degreesOf("C-9")).toBe("1 b3 5 b7 9");
    expect(degreesOf("C+9")).toBe("1 3 #5 b7 9");
  });

  it("an alteration takes the natural's place, add keeps both, an omission comes last", () => {
    expect(degreesOf("C13b9")).toBe("1 3 5 b7 b9 13");
    expect(degreesOf("C13addb9")).toBe("1 3 5 b7 b9 9 13");
    expect(degreesOf("C6/9(b9)")).toBe("1 3 5 6 b9");
    expect(degreesOf("C7no5#5")).toBe("1 3 b7");
    expect(degreesOf("C13no11")).toBe(degreesOf("C13"));
    expect(degreesOf("Cmaj7(bb7)")).toBe("1 3 5 bb7");
    expect(degreesOf("C7addb3")).toBe("1 b3 3 5 b7");
  });

  it.each([
    ["major", "C C6 Cmaj9 Cmaj7b5 Cadd9 C(no5) Cmaj7no3"],
    ["dominant", "C7 C9 C13b9 C7#5 C7b5 Calt C7no3"],
    ["augmented", "C+ Cmaj7#5"],
    ["minor", "Cm Cm6 Cm7 Cm11 Cm6/9 Cm7#5"],
    ["minor-major", "CmMaj7 CmMaj9"],
    ["half-diminished", "Cø Cm9b5"],
    ["diminished", "Co Co7 Co(maj7)"],
    ["suspended", "Csus2 C7sus4 Cmaj9sus4"],
    ["power", "C5 C5add9 C(no3,#5)"],
  ])("common practice, no source: the family %s", (quality, symbols) => {
    for (const symbol of symbols.split(" ")) expect([symbol, parseChord(symbol).quality]).toEqual([symbol, quality]);
  });

  it.each([
    ["C−7♭5", "Cm7(b5)"],
    ["C°7", "Cdim7"],
    ["CΔ♯11", "Cmaj7(#11)"],
    ["C+7", "C7(#5)"],
    ["C7+9-5", "C7(b5,#9)"],
    ["Calt", "C7alt"],
    ["C-Δ9", "CmMaj9"],
    ["C69", "C6/9"],
    ["Csus", "Csus4"],
    ["C7susb9", "C7sus4(b9)"],
    ["Cadd9", "C(add9)"],
    ["C7(13,b9)", "C13(b9)"],
    ["C9sus4/C", "C9sus4"],
    ["C(no3)", "C5"],
    ["C+", "Caug"],
    ["Cm#5", "Cm(#5)"],
    ["C6#5", "C6(#5)"],
    ["C9add11", "C11"],
    ["Cm11", "Cm11"],
    ["C11sus4add11", "C9sus4(add11)"],
    ["C(no3,no5)", "C(no3,no5)"],
  ])("the canonical text of %s is %s", (symbol, canonical) => {
    expect(parseChord(symbol).canonical).toBe(canonical);
  });

  it.each([
    ["Ebm7b5/Bbb", "E♭m7(♭5)/B♭♭"],
    ["F##m/A#", "F♯♯m/A♯"],
    ["Cmaj7(bb7)", "C(♭♭7)"],
    ["Bb13(#11,b9)", "B♭13(♭9,♯11)"],
    ["G", "G"],
    ["Ab/C", "A♭/C"],
    ["Dbsus4", "D♭sus4"],
  ])("common practice, no source: %s is printed %s", (symbol, printed) => {
    expect(formatChord(parseChord(symbol))).toBe(printed);
  });

  it("a blank may follow add and no", () => {
    expect([degreesOf("C(add 9)"), degreesOf("C7(no 5)"), degreesOf("C7omit  5")]).toEqual([
      "1 3 5 9",
      "1 3 b7",
      "1 3 b7",
    ]);
  });

  it("keeps the symbol as written", () => {
    expect(parseChord("C−7(♭5)").symbol).toBe("C−7(♭5)");
  });
});

describe("what can't be read", () => {
  it.each([
    ["Cmaj8", 5, "8", undefined],
    ["C7b8", 4, "8", undefined],
    ["Cminn7", 5, "n7", undefined],
    ["C7(b9", undefined, "", "did you mean C7b9?"],
    ["C7(b9,)", 7, ")", undefined],
    ["C7)", 3, ")", undefined],
    ["C7((b9))", 4, "(b9))", undefined],
    ["C7(b9(#9))", 6, "(#9))", undefined],
    ["C7(b9/E", 6, "/E", undefined],
    ["Cm(maj6)", 4, "maj6)", undefined],
    ["C/e", 3, "e", "did you mean C/E?"],
    ["Cm7/bb", 5, "bb", "did you mean Cm7/Bb?"],
    ["C4", 2, "4", undefined],
    ["C2", 2, "2", undefined],
    ["Cm+7", 4, "7", undefined],
    ["C7 b9", 3, " b9", undefined],
    ["Cø6", 3, "6", undefined],
    ["Cmaj7maj7", 6, "maj7", undefined],
    ["C\n7", 2, "\n7", undefined],
    // A hint mends a misspelt word, and never names another chord.
    ["Cmja7", 3, "ja7", "did you mean Cmaj7?"],
    ["Cmaaj7", 4, "aj7", "did you mean Cmaj7?"],
    ["C7suss4", 6, "s4", "did you mean C7sus4?"],
    ["Cmj7", 3, "j7", undefined],
    ["Chd7", 2, "hd7", undefined],
    ["C^7", 2, "^7", undefined],
    // Figures that a quality has no room for.
    ["Cm5", 3, "5", undefined],
    ["Cmaj5", 5, "5", undefined],
    ["Cdim6", 5, "6", undefined],
    ["CΔ6", 3, "6", undefined],
    ["C0", 2, "0", undefined],
    ["C10", 2, "10", undefined],
    ["C7m", 3, "m", undefined],
    // Marks out of place, or with nothing behind them.
    ["C7/", undefined, "", "did you mean C7?"],
    ["C/", undefined, "", undefined],
    ["C7(", undefined, "", "did you mean C7?"],
    ["C7b9/", undefined, "", "did you mean C7b9?"],
    ["C7,b9", 3, ",b9", "did you mean C7b9?"],
    ["C7()", 4, ")", "did you mean C7?"],
    ["C7( )", 5, ")", undefined],
    ["C//E", 3, "/E", undefined],
    ["C7 ", 3, " ", "did you mean C7?"],
    ["C7(b9,,#11)", 7, ",#11)", undefined],
    ["C7(b9) (#11)", 7, " (#11)", undefined],
    ["C7(9,/13)", 6, "/13)", undefined],
    // Sevenths that are there already, and words of one place only.
    ["C7(#7)", 4, "#7)", undefined],
    ["C7maj7", 3, "maj7", undefined],
    ["C6maj", 3, "maj", undefined],
    ["Cmaj7M", 6, "M", "did you mean Cmaj7?"],
    ["C7sus7", 6, "7", undefined],
    ["Csus6", 5, "6", undefined],
    ["Csus5", 5, "5", undefined],
    ["Cm7alt", 4, "alt", undefined],
    ["Cmaj7alt", 6, "alt", undefined],
    ["C9alt", 3, "alt", undefined],
    ["C6alt", 3, "alt", undefined],
    ["CΔalt", 3, "alt", undefined],
    ["C+alt", 3, "alt", undefined],
    ["C(maj7)alt", 8, "alt", undefined],
    // Degrees that no accidental, "add" or "no" goes with.
    ["C7b", 3, "b", undefined],
    ["C7b1", 4, "1", undefined],
    ["C7b3", 4, "3", undefined],
    ["C7##9", 5, "9", undefined],
    ["C7bbb7", 6, "7", undefined],
    ["C7#12", 4, "12", undefined],
    ["Cadd", undefined, "", undefined],
    ["Cadd8", 5, "8", undefined],
    ["Cadd+", 5, "+", undefined],
    ["Cno", undefined, "", undefined],
    ["C7no8", 5, "8", undefined],
    // A degree with nothing before it may be meant in more than one way.
    ["C79", 3, "9", "write add9"],
    ["C7alt9", 6, "9", "write add9"],
    ["C7(13)9", 7, "9", "write add9"],
    ["C7(3)", 4, "3)", undefined],
    ["C7+7", 4, "7", undefined],
    ["C2", 2, "2", "write sus2 or add2"],
    ["C4", 2, "4", "write sus4 or add4"],
    // At most sixteen characters are shown.
    ["C7?0123456789abcdefgh", 3, "?0123456789abcde", undefined],
  ] as const)("%j stops at character %s", (symbol, position, rest, hint) => {
    const error = refusalOf(symbol);
    expect(error.code).toBe("chord/symbol");
    expect(error.input).toBe(symbol);
    if (position === undefined) expect(error.expected).toMatch(/ at the end$/);
    else expect(error.expected.endsWith(` at character ${position}, ${JSON.stringify(rest)}`)).toBe(true);
    if (hint !== undefined) expect(error.hint).toBe(hint);
  });

  it("a root in lower case is refused with its upper case as a hint", () => {
    expect(refusalOf("cm7")).toMatchObject({ code: "chord/root", hint: "did you mean Cm7?" });
    expect(refusalOf("bb7")).toMatchObject({ code: "chord/root", hint: "did you mean Bb7?" });
    expect(refusalOf("c/e")).toMatchObject({ code: "chord/root", hint: "did you mean C/E?" });
    expect(refusalOf("C/gbb").hint).toBe("did you mean C/Gbb?");
    expect(refusalOf("c/add9").hint).toBe("did you mean C/add9?");
    for (const symbol of ["H7", "h7", " hm7"]) expect(refusalOf(symbol).hint).toContain("is B");
    for (const symbol of ["", "x7", " C7", "czz", "ch"]) {
      const { code, input, hint } = refusalOf(symbol);
      expect({ code, input, hint }).toEqual({ code: "chord/root", input: symbol, hint: undefined });
    }
    expect(refusalOf("x7").expected).toMatch(/ at character 1, "x7"$/);
    expect(refusalOf("").expected).not.toMatch(/ at /);
    for (const input of [undefined, null, 7, ["C"]]) {
      expect(() => parseChord(input as unknown as string)).toThrow(
        expect.objectContaining({
          name: "MusicError",
          code: "chord/root",
          input,
          expected: expect.stringMatching(/as text$/) as string,
        }),
      );
    }
  });

  it("proposes nothing for a long text, and no root to add", () => {
    expect(refusalOf(`cmaj7${"(add9)".repeat(4)}`).hint).toBeUndefined();
    expect(refusalOf("cm7(add9,add11,add13)/gb").hint).toBe("did you mean Cm7(add9,add11,add13)/Gb?");
    expect(refusalOf("cm7(add9,add11,add13)/gbb").hint).toBeUndefined();
    expect(refusalOf("C7(1)").hint ?? "").not.toContain("add1");
  });

  it("a slash takes one note, and N.C. belongs to a chart", () => {
    expect(refusalOf("D/C7")).toMatchObject({
      code: "chord/bass",
      hint: expect.stringContaining("single note") as string,
    });
    expect(refusalOf("D/C7").expected).toContain('at character 4, "7"');
    // A slash alone leads to a bass.
    for (const symbol of ["C(G", "C,G", "C)G", "C G", "CG"])
      expect([symbol, refusalOf(symbol).code]).toEqual([symbol, "chord/symbol"]);
    for (const symbol of ["Cadd", "CaddA", "C7add)"]) expect(refusalOf(symbol).expected).toContain("add9");
    for (const symbol of ["N.C.", "NC", "n.c.", "N.C", "NC.", " N.C. "]) {
      expect(refusalOf(symbol)).toMatchObject({
        code: "chord/no-chord",
        input: symbol,
        hint: expect.stringContaining("chart") as string,
      });
    }
    for (const symbol of ["xN.C.", "N.C.x", "NxC", "NC.."]) expect(refusalOf(symbol).code).toBe("chord/root");
  });

  it("a tone beyond three accidentals is refused as something that can't be done", () => {
    expect(refusalOf("Cbbbdim7")).toMatchObject({
      code: "pitch/unspellable",
      reason: "cannot-be-done",
      input: "b3 of Cbbb",
      hint: expect.stringContaining("respell") as string,
    });
    expect(refusalOf("B###aug").input).toBe("3 of B###");
    // The farthest roots that a major triad is spelled on.
    for (const root of ["Fbbb", "B##"]) expect(parseChord(root).root).toBe(root);
  });

  it.each([
    ["symbol", { symbol: "Cmaj8" }],
    ["another symbol", { symbol: "D" }],
    ["root", { root: "D" }],
    ["quality", { quality: "minor" }],
    ["tones", { tones: [] }],
  ])("a chord whose %s was made by hand is refused", (_, change) => {
    const input = { ...parseChord("C"), ...change } as Chord;
    for (const call of [formatChord, (chord: Chord) => transposeChord(chord, interval("M2"))])
      expect(() => call(input)).toThrow(expect.objectContaining({ code: "chord/argument", input }));
  });

  it("law: where a chord is wanted its symbol does as well, and a moved chord is what its symbol says", () => {
    for (const symbol of ["C", "Dm7/C", "F#7alt", "Bb-7", "E7(b9,#11)", "Gsus4"]) {
      for (const by of ["m2", "-P4", "A4"] as const) {
        const moved = transposeChord(symbol, by);
        expect(moved).toEqual(transposeChord(parseChord(symbol), interval(by)));
        expect(moved).toEqual({ ...parseChord(moved.symbol) });
        expect(formatChord(moved)).toBe(formatChord(moved.symbol));
      }
    }
  });

  it("law: whatever a hint proposes can be read", () => {
    const wrong = [
      "Cmaj8",
      "C7b8",
      "Cmin8",
      "Cdom6x",
      "Cm7b",
      "cm7",
      "bbmaj7",
      "C/e",
      "C7sus5",
      "Csuss4",
      "Cdimm7",
      "C#m7b6b",
      "Cadd8",
      "Cmj7",
      "Cmja7",
      "C7,b9",
      "C7(b9",
      "Cm7/bb",
    ];
    const hints = wrong
      .map((symbol) => /^did you mean (.*)\?$/.exec(refusalOf(symbol).hint ?? "")?.[1])
      .filter((hint) => hint !== undefined);
    expect(hints.length).toBeGreaterThan(8);
    for (const hint of hints) expect(parseChord(hint).kind).toBe("chord");
    for (const suffix of COMMON_SUFFIXES) expect(parseChord(`C${suffix}`).kind).toBe("chord");
  });
});
