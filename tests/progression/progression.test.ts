import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";
import { formatChord } from "../../src/chord/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import { parseKey, pitchClassOf } from "../../src/pitch/index.ts";
import type { Progression } from "../../src/progression/index.ts";
import {
  parseNumeral,
  parseProgression,
  progressionCatalogue,
  transposeProgression,
} from "../../src/progression/index.ts";
import { addBeats, barLength, beats, equalBeats, formatBeats, multiplyBeats } from "../../src/time/index.ts";

// Many cases; a busy machine must not fail them.
vi.setConfig({ testTimeout: 120_000 });

const symbols = (p: Progression) => p.chords.map((span) => span.chord?.symbol ?? "-").join(" ");
const times = (p: Progression) =>
  p.chords.map((span) => `${formatBeats(span.at)}+${formatBeats(span.duration)}`).join(" ");
const refusal = (run: () => unknown): MusicError => {
  try {
    run();
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error("was read");
};

const MAJOR_KEYS = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"];
const MINOR_KEYS = ["Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#"].map(
  (tonic) => `${tonic} minor`,
);
const keysOf = (mode: "major" | "minor") => (mode === "major" ? MAJOR_KEYS : MINOR_KEYS);

describe("Roman numerals", () => {
  // Common practice, no source; the checks of I–vi–ii–V are those of the project's first issue.
  it.each([
    ["C", "I vi ii V", "Cmaj7 Am7 Dm7 G7"],
    ["Eb", "I vi ii V", "Ebmaj7 Cm7 Fm7 Bb7"],
    ["F#", "ii V I", "G#m7 C#7 F#maj7"],
    ["Gb", "ii V I", "Abm7 Db7 Gbmaj7"],
    ["C", "I ii iii IV V vi vii", "Cmaj7 Dm7 Em7 Fmaj7 G7 Am7 Bm7b5"],
    ["C", "II III VI VII", "D7 E7 A7 B7"],
    ["C", "i iv v", "Cm6 Fm7 Gm7"],
    ["C", "I iv bVII7 I", "Cmaj7 Fm7 Bb7 Cmaj7"],
    ["C minor", "i iiø V7b9 i", "Cm6 Dø G7b9 Cm6"],
    ["C minor", "i ii bIII iv v bVI bVII vi vii V", "Cm6 Dm7b5 Ebmaj7 Fm7 Gm7 Abmaj7 Bb7 Am7b5 Bdim7 G7"],
    ["C", "iiø V7b9 i", "Dø G7b9 Cm6"],
    ["F", "V7/ii V/V viio7/vi ii/IV", "D7 G7 C#o7 Cm7"],
    ["C", "ii/ii V7/ii ii", "Em7b5 A7 Dm7"],
    ["C", "subV7 subV7/ii subV9 bII7", "Db7 Eb7 Db9 Db7"],
    ["E", "subV7/V V7/V", "C7 F#7"],
    ["C", "I #io7 ii #iio", "Cmaj7 C#o7 Dm7 D#dim7"],
    ["Bb", "#ivo7 #ivø bVI7 bIIImaj7", "Eo7 Eø Gb7 Dbmaj7"],
    ["C", "IIm7 V7 Imaj7 II-7", "Dm7 G7 Cmaj7 D-7"],
    ["C", "I6 I6/9 ii9 V13(b9) imaj7 i(maj7) isus4", "C6 C6/9 Dm9 G13(b9) CmMaj7 Cm(maj7) Cmsus4"],
    ["C", "Imaj im I+ viio", "Cmaj Cm C+ Bdim7"],
    ["D", "ii@5 V7@5 I7@3 IV@b7", "Em7/A A7/A D7/F# Gmaj7/C"],
    ["C", "V7@1/ii V7@7/V", "A7/C D7/B"],
    ["B♭", "V7♯11 ♭III", "F7♯11 Dbmaj7"],
  ])("common practice, no source: in %s, %s is %s", (key, numerals, expected) => {
    expect(symbols(parseProgression(numerals, { key }))).toBe(expected);
  });

  it("keeps the numeral beside the chord, and none beside a chord symbol", () => {
    expect(parseProgression("ii | G7", { key: "C" }).chords.map((span) => span.numeral)).toEqual(["ii", undefined]);
  });

  it("law: the root of a numeral lies its degree above the tonic, in every key", () => {
    const DEGREES = {
      I: 0,
      bII: 1,
      II: 2,
      bIII: 3,
      III: 4,
      IV: 5,
      "#IV": 6,
      V: 7,
      bVI: 8,
      VI: 9,
      bVII: 10,
      VII: 11,
    } as const;
    for (const key of MAJOR_KEYS) {
      for (const [numeral, semitones] of Object.entries(DEGREES)) {
        for (const cased of [numeral, numeral.replace(/[IV]+/, (roman) => roman.toLowerCase())]) {
          const { root } = parseNumeral(`${cased}7`, key);
          expect(pitchClassOf(root)).toBe((pitchClassOf(parseKey(key).tonic) + semitones) % 12);
          const steps = { I: 0, II: 1, III: 2, IV: 3, V: 4, VI: 5, VII: 6 }[numeral.replace(/[b#]/, "")] as number;
          expect(root.charAt(0)).toBe("CDEFGAB".charAt(("CDEFGAB".indexOf(key.charAt(0)) + steps) % 7));
        }
      }
    }
  });

  it("law: V/x lies a fifth above x, subV/x a semitone above it, and both share their guide tones", () => {
    for (const key of MAJOR_KEYS) {
      for (const target of ["ii", "iii", "IV", "V", "vi", "bVI"]) {
        const goal = pitchClassOf(parseNumeral(target, key).root);
        const dominant = parseNumeral(`V7/${target}`, key);
        expect(pitchClassOf(dominant.root)).toBe((goal + 7) % 12);
        let substitute;
        try {
          substitute = parseNumeral(`subV7/${target}`, key);
        } catch (error) {
          expect((error as MusicError).code).toBe("progression/unspellable");
          continue;
        }
        expect(pitchClassOf(substitute.root)).toBe((goal + 1) % 12);
        const guide = (tones: typeof dominant.tones) =>
          tones
            .filter(({ degree }) => degree === "3" || degree === "b7")
            .map(({ note }) => pitchClassOf(note))
            .sort();
        expect(guide(substitute.tones)).toEqual(guide(dominant.tones));
      }
    }
  });

  it.each([
    ["I viii", "progression/numeral", "viii", undefined],
    ["I IIX V", "chord/symbol", "X", undefined],
    ["I Iv", "progression/numeral", "Iv", undefined],
    ["I IIII", "progression/numeral", "IIII", undefined],
    ["subII7 I", "progression/numeral", "subV", undefined],
    ["I V7/iix", "progression/numeral", "V7/ii", undefined],
    ["I ii@8", "progression/numeral", "@", undefined],
    ["I V8", "chord/symbol", "8", undefined],
  ])("%s is refused by name, with its bar", (text, code, names, hint) => {
    const error = refusal(() => parseProgression(text, { key: "C" }));
    expect(error.code).toBe(code);
    expect(error.message).toContain(names);
    if (text !== "subII7 I") expect(error.message).toContain("bar 2");
    if (hint !== undefined) expect(error.hint).toBe(hint);
  });

  it("in minor a plain III, VI or VII is refused with both ways out", () => {
    const error = refusal(() => parseProgression("i VI iiø V7", { key: "C minor" }));
    expect(error.expected).toContain("bVI for Ab");
    expect(error.hint).toBe("for a dominant on A write V7/ii");
    expect(symbols(parseProgression("i V7/ii iiø V7", { key: "C minor" }))).toBe("Cm6 A7 Dø G7");
    for (const [roman, lower, root] of [
      ["III", "vi", "E"],
      ["VII", "iii", "B"],
    ] as const) {
      expect(refusal(() => parseNumeral(roman, "C minor")).hint).toBe(`for a dominant on ${root} write V7/${lower}`);
      expect(parseNumeral(`V7/${lower}`, "C minor").root).toBe(root);
    }
  });
});

describe("charts", () => {
  it("bars, equal shares, a list without bar lines", () => {
    const chart = parseProgression("Dm7 G7 | Cmaj7");
    expect([symbols(chart), times(chart), chart.bars]).toEqual(["Dm7 G7 Cmaj7", "0+2 2+2 4+4", 2]);
    expect(times(parseProgression("Dm7 G7 Cmaj7"))).toBe("0+4 4+4 8+4");
    expect(times(parseProgression("Dm7 G7 Cmaj7", { chordsPerBar: 2 }))).toBe("0+2 2+2 4+4");
    expect(times(parseProgression("C F G | C", { metre: "3/4" }))).toBe("0+1 1+1 2+1 3+3");
    // Three chords in four beats: 2 + 1 + 1 (the project's issue on charts).
    expect(times(parseProgression("C F G |"))).toBe("0+2 2+1 3+1");
    expect(parseProgression("| Dm9 | G13 |\n| Cmaj9 | % |").bars).toBe(4);
  });

  it("given beats count pulses; strokes are pulses too; what is left is shared", () => {
    expect(times(parseProgression("Dm7*3 G7*1 | C"))).toBe("0+3 3+1 4+4");
    expect(times(parseProgression("Dm7*3 G7 | C"))).toBe("0+3 3+1 4+4");
    expect(times(parseProgression("Dm7 / / G7 | C / / /"))).toBe("0+3 3+1 4+4");
    expect(times(parseProgression("Dm7*3/2 G7*2.5 | C"))).toBe("0+3/2 3/2+5/2 4+4");
    expect(times(parseProgression("Dm7*3 G7 | C", { metre: "12/8" }))).toBe("0+9/2 9/2+3/2 6+6");
    expect(times(parseProgression("Dm7*2 G7 C |"))).toBe("0+2 2+1 3+1");
    for (const text of ["Dm7*5 | C", "Dm7*3 G7*2 | C", "Dm7*4 G7 | C", "Dm7 / / / / G7 | C", "C | Dm7*2 | C"]) {
      const error = refusal(() => parseProgression(text));
      expect([error.code, /bar [12] \(line 1, column \d+\)/.test(error.expected)]).toEqual(["progression/beats", true]);
    }
    expect(refusal(() => parseProgression("C | Dm7*x | G")).expected).toContain("bar 2");
  });

  it("repeats, endings, sections, N.C.", () => {
    expect(symbols(parseProgression("|: C | D :| E"))).toBe("C D C D E");
    expect(symbols(parseProgression("C | D :| E"))).toBe("C D C D E");
    expect(symbols(parseProgression("C | |: D :|*3 E"))).toBe("C D D D E");
    expect(symbols(parseProgression("|: C :|: D :|"))).toBe("C C D D");
    expect(symbols(parseProgression("|: C | D [1] E :| [2] F | G"))).toBe("C D E C D F G");
    expect(symbols(parseProgression("C | % | % | D"))).toBe("C C C D");
    expect(symbols(parseProgression("C F | %"))).toBe("C F C F");
    expect(symbols(parseProgression("N.C. | C NC"))).toBe("- C -");
    expect(parseProgression("[A] |: C | D [1] E :| [2] F | [Bridge] G | G").sections).toEqual([
      { name: "A", bar: 1, bars: 3 },
      { name: "A", bar: 4, bars: 3 },
      { name: "Bridge", bar: 7, bars: 2 },
    ]);
    expect(symbols(parseProgression("C7(b9, 13) F | C"))).toBe("C7(b9, 13) F C");
  });

  it.each([
    ["% | C", "before the first %"],
    ["C % | D", "% alone"],
    ["|: C | D", ":|"],
    ["|: C |: D :|", "one repeat"],
    ["|: :| C", "bars to repeat"],
    ["C :|*1", "2 to 16"],
    ["C :|*99", "2 to 16"],
    ["[2] C", "ending 2"],
    ["[1] C |", "first ending"],
    ["[", "section name"],
    ["[] C", "section name"],
    ["[A C", "section name"],
    ["C ::| D", "bar line"],
    ["/ | C", "before the first stroke"],
    ["", "at least one"],
    ["|", "at least one"],
    ["  ", "at least one"],
    ["|: C [1] D :|*3 [2] E", "once for each ending"],
  ])("the layout %j is refused", (text, names) => {
    const error = refusal(() => parseProgression(text));
    expect(error.code).toBe("progression/chart");
    expect(error.expected).toContain(names);
  });

  it("a chord that can't be read is named with its bar", () => {
    const error = refusal(() => parseProgression("Dm9 | Cmaj8 | C"));
    expect(error).toMatchObject({ code: "chord/symbol", input: "Cmaj8" });
    expect(error.expected).toMatch(/"8", in bar 2 \(line 1, column 7\)$/);
    expect(refusal(() => parseProgression("Dm9 | Gsuss4")).hint).toBe("did you mean Gsus4?");
    expect(refusal(() => parseProgression("C", { chordsPerBar: 0 })).code).toBe("progression/chart");
    expect(refusal(() => parseProgression("C", { metre: "4/5" })).code).toBe("time/metre");
    expect(refusal(() => parseProgression("C", { key: "H" })).code).toBe("pitch/key");
    expect(refusal(() => parseProgression(undefined as unknown as string)).code).toBe("progression/chart");
  });

  it("without a key given, it is the likeliest of the chords", () => {
    const keyOf = (text: string) => {
      const { tonic, mode } = parseProgression(text).key;
      return `${tonic} ${mode}`;
    };
    expect(keyOf("Dm9 | G13 | Cmaj9")).toBe("C major");
    expect(keyOf("Ebmaj7 Cm7 Fm7 Bb7")).toBe("Eb major");
    expect(keyOf("Dø | G7b9 | Cm6")).toBe("C minor");
    // D# major has no signature.
    expect(keyOf("D#maj7")).toBe("Eb major");
    expect(keyOf("N.C.")).toBe("C major");
    expect(parseProgression("Dm9 | G13 | Cmaj9", { key: "F" }).key).toEqual(parseKey("F"));
  });

  const bar = fc.array(fc.constantFrom("C", "Dm7", "G7(b9, 13)", "N.C.", "ii", "V7/ii"), {
    minLength: 1,
    maxLength: 4,
  });
  it("law: bars are full, without gap or overlap, whatever the metre", () => {
    fc.assert(
      fc.property(
        fc.array(bar, { minLength: 1, maxLength: 6 }),
        fc.constantFrom("4/4", "3/4", "6/8", "7/8", "12/8"),
        fc.boolean(),
        (bars, metre, again) => {
          const chart = parseProgression(
            `|: ${bars.map((chords) => chords.join(" ")).join(" | ")} ${again ? ":|" : ":|*3"}`,
            { metre },
          );
          expect(chart.bars).toBe(bars.length * (again ? 2 : 3));
          let at = beats(0);
          for (const span of chart.chords) {
            expect(span.at).toEqual(at);
            at = addBeats(at, span.duration);
          }
          expect(equalBeats(at, multiplyBeats(barLength(chart.metre), beats(chart.bars)))).toBe(true);
        },
      ),
      { numRuns: 500, seed: 5 },
    );
  });

  it("law: a chart of printed symbols reads back as the same chords", () => {
    for (const row of progressionCatalogue) {
      const { chords: spans } = parseProgression(row.id);
      const printed = spans.map((span) => (span.chord === undefined ? "N.C." : formatChord(span.chord))).join(" | ");
      expect(parseProgression(printed).chords.map((span) => span.chord?.tones)).toEqual(
        spans.map((span) => span.chord?.tones),
      );
    }
  });
});

describe("catalogue of progressions", () => {
  it("has at least 25 rows, each with its own id, title and changes", () => {
    expect(progressionCatalogue.length).toBeGreaterThanOrEqual(25);
    for (const pick of ["id", "title", "changes"] as const)
      expect(new Set(progressionCatalogue.map((row) => row[pick])).size).toBe(progressionCatalogue.length);
    for (const row of progressionCatalogue) {
      expect(row.id).toMatch(/^[a-z]+(?:-[a-z]+)*$/);
      expect(row.source).not.toBe("");
    }
  });

  it.each(progressionCatalogue)(
    "$id has the bars that it states, in every key of its mode",
    ({ id, bars, mode, metre, title }) => {
      for (const key of keysOf(mode)) {
        const p = parseProgression(id, { key });
        expect(p).toMatchObject({ bars, key: parseKey(key), name: title });
        expect(`${p.metre.count}/${p.metre.unit}`).toBe(metre);
        expect(p.chords.every((span) => span.chord !== undefined)).toBe(true);
      }
    },
  );

  it.each(progressionCatalogue)("law: transposing $id gives what is read in the other key", ({ id, mode }) => {
    const keys = keysOf(mode);
    for (const [from, to] of keys.map((key, i) => [key, keys[(i * 7 + 4) % keys.length]] as const)) {
      expect(transposeProgression(parseProgression(id, { key: from }), to as string)).toEqual(
        parseProgression(id, { key: to as string }),
      );
    }
  });

  // Common practice, no source: forms that every player knows, written out by hand.
  it.each([
    ["turnaround", "F", "Fmaj7 Dm7 Gm7 C7"],
    ["turnaround-tritone", "C", "Cmaj7 Eb7 Dm7 Db7"],
    ["backdoor", "C", "Fm7 Bb7 Cmaj7 Cmaj7"],
    ["minor-two-five-one", "A minor", "Bø E7b9 Am6 Am6"],
    ["blues", "F", "F7 F7 F7 F7 Bb7 Bb7 F7 F7 C7 Bb7 F7 C7"],
    ["jazz-blues", "Bb", "Bb7 Eb7 Bb7 Fm7 Bb7 Eb7 Eo7 Bb7 Dm7 G7 Cm7 F7 Bb7 G7 Cm7 F7"],
    ["minor-blues", "C minor", "Cm7 Fm7 Cm7 Cm7 Fm7 Fm7 Cm7 Cm7 Ab7 G7b9 Cm7 Dø G7b9"],
    ["dominant-bridge", "Bb", "D7 D7 G7 G7 C7 C7 F7 F7"],
    ["descending-two-fives-by-tone", "C", "Em7 A7 Dm7 G7 Cm7 F7 Bbmaj7"],
    ["dominant-pedal", "C", "Dm7/G G9 Dm7/G G7b9"],
  ])("common practice, no source: %s in %s", (id, key, expected) => {
    expect(symbols(parseProgression(id, { key }))).toBe(expected);
  });

  it("cycles pass every root once", () => {
    for (const id of ["cycle-of-fourths", "cycle-of-fifths"]) {
      const roots = parseProgression(id, { key: "C" }).chords.map((span) =>
        pitchClassOf((span.chord as { root: "C" }).root),
      );
      expect([...roots].sort((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
      expect(new Set(roots.slice(1).map((root, i) => (root - (roots[i] as number) + 12) % 12))).toEqual(
        new Set([id === "cycle-of-fourths" ? 5 : 7]),
      );
    }
  });

  it("the AABA form is A A B A of eight bars each", () => {
    expect(parseProgression("aaba", { key: "Bb" }).sections).toEqual([
      { name: "A", bar: 1, bars: 8 },
      { name: "A", bar: 9, bars: 8 },
      { name: "B", bar: 17, bars: 8 },
      { name: "A", bar: 25, bars: 8 },
    ]);
  });

  it("a minor row takes the tonic of a major key, under a name that has a signature; a major row refuses a minor key", () => {
    expect(parseProgression("minor-blues", { key: "Eb" }).key).toEqual(parseKey("Eb minor"));
    expect(parseProgression("minor-blues", { key: "Db" }).key).toEqual(parseKey("C# minor"));
    for (const key of MAJOR_KEYS) expect(parseProgression("minor-turnaround", { key }).key.mode).toBe("minor");
    expect(refusal(() => parseProgression("turnaround", { key: "C minor" }))).toMatchObject({
      code: "progression/mode",
      hint: "in minor there is minor-turnaround",
    });
    expect(refusal(() => parseProgression("backdoor", { key: "C minor" })).code).toBe("progression/mode");
  });

  it("an unknown name is refused with the nearest", () => {
    expect(refusal(() => parseProgression("turnarond"))).toMatchObject({
      code: "progression/unknown",
      input: "turnarond",
      hint: "did you mean turnaround?",
    });
    expect(refusal(() => parseProgression("vamps")).code).toBe("progression/unknown");
    // What people say is found by the title; what they mean stays theirs to say.
    for (const [said, id] of [
      ["12-bar blues", "blues"],
      ["Blues", "blues"],
      ["Minor blues", "minor-blues"],
      ["Turnaround", "turnaround"],
    ] as const) {
      expect(refusal(() => parseProgression(said))).toMatchObject({
        code: "progression/unknown",
        input: said,
        hint: `did you mean ${id}?`,
      });
    }
    expect(refusal(() => parseProgression("Cmaj7 Dm7 X7")).code).toBe("chord/root");
    expect(refusal(() => parseProgression("blue-s")).hint).toBe("did you mean blues?");
    expect(symbols(parseProgression("iv", { key: "C" }))).toBe("Fm7");
    expect(symbols(parseProgression("imaj7", { key: "C" }))).toBe("CmMaj7");
    expect(refusal(() => parseProgression("viii", { key: "C" })).code).toBe("progression/numeral");
  });

  it("metre and key are options; the row's metre holds otherwise", () => {
    expect(parseProgression("waltz-blues").metre).toMatchObject({ count: 3, unit: 4 });
    expect(parseProgression("blues", { metre: "3/4", key: parseKey("G") })).toMatchObject({
      metre: { count: 3 },
      key: { tonic: "G" },
    });
  });
});

describe("a progression of one's own as a value", () => {
  const mine = {
    id: "my-turnaround",
    title: "My turnaround",
    changes: "I | bIII7 | ii | V",
    mode: "major",
    metre: "3/4",
    bars: 4,
    source: "mine",
  } as const;

  it("is read as a shipped row is", () => {
    const played = parseProgression(mine, { key: "F" });
    expect(symbols(played)).toBe("Fmaj7 Ab7 Gm7 C7");
    expect(played).toMatchObject({ name: "My turnaround", metre: { count: 3, unit: 4 }, bars: 4 });
    expect(symbols(transposeProgression(mine, "G"))).toBe("Gmaj7 Bb7 Am7 D7");
    expect(refusal(() => parseProgression(mine, { key: "C minor" })).code).toBe("progression/mode");
  });

  it.each([
    [{ bars: 3 }, "the 3 bars that are stated, not of 4"],
    [{ changes: "I | viii" }, "changes that can be read"],
    [{ id: "My Own" }, "small letters"],
    [{ metre: "4" }, "a time signature"],
    [{ mode: "dorian" }, "major"],
  ])("a row with %o is refused", (part, names) => {
    const error = refusal(() => parseProgression({ ...mine, ...part } as typeof mine));
    expect(error.code).toBe("progression/unknown");
    expect(error.message).toContain(names);
  });

  it("options may say undefined; one that is not known is refused with the nearest", () => {
    expect(symbols(parseProgression(mine, { key: undefined, metre: undefined, chordsPerBar: undefined }))).toBe(
      "Cmaj7 Eb7 Dm7 G7",
    );
    expect(refusal(() => parseProgression("I", { kye: "C" } as object)).code).toBe("progression/argument");
  });
});

describe("transposing progressions", () => {
  it("a tonic keeps the mode; another mode is refused", () => {
    const minor = parseProgression("iiø V7b9 i", { key: "A minor" });
    expect(symbols(transposeProgression(minor, "F"))).toBe("Gø C7b9 Fm6");
    expect(symbols(transposeProgression(minor, parseKey("F minor")))).toBe("Gø C7b9 Fm6");
    expect(refusal(() => transposeProgression(minor, "F major")).code).toBe("progression/mode");
    expect(refusal(() => transposeProgression(minor, "H")).code).toBe("pitch/key");
    expect(refusal(() => transposeProgression(minor, "c")).hint).toBe("did you mean C?");
    // D flat minor has no key signature: named progressions take its twin, and so does what is moved.
    expect(transposeProgression(minor, "Db").key).toEqual(parseKey("C# minor"));
    expect(symbols(transposeProgression("minor-two-five-one", "Db"))).toBe("D#ø G#7b9 C#m6 C#m6");
    expect(symbols(transposeProgression("Dm7 | G7 | C", "Eb"))).toBe("Fm7 Bb7 Eb");
    expect(symbols(transposeProgression(parseProgression("N.C. | C/E", { key: "C" }), "Eb"))).toBe("- Eb/G");
  });

  it("what would need four accidentals is refused as something that can't be done", () => {
    expect(refusal(() => parseNumeral("bbVIIdim7", "Cb"))).toMatchObject({
      code: "progression/unspellable",
      reason: "cannot-be-done",
    });
    const chart = parseProgression("Abbdim7 | C", { key: "C" });
    expect(refusal(() => transposeProgression(chart, "Cb"))).toMatchObject({
      code: "pitch/unspellable",
      reason: "cannot-be-done",
    });
  });

  it("law: moving there and back changes nothing", () => {
    for (const row of progressionCatalogue) {
      const home = parseProgression(row.id);
      for (const key of keysOf(row.mode))
        expect(transposeProgression(transposeProgression(home, key), home.key)).toEqual(home);
    }
  });
});
