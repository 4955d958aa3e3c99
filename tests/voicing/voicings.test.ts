import { describe, expect, it } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import type { Degree, PitchName } from "../../src/pitch/index.ts";
import { midiNumber, parsePitch, pitchName } from "../../src/pitch/index.ts";
import type { Voicing, VoicingOptions } from "../../src/voicing/index.ts";
import { bassNote, voicingsFor } from "../../src/voicing/index.ts";

const names = (voicing: Voicing | undefined): string => (voicing?.pitches ?? []).map(pitchName).join(" ");
const listed = (symbol: string, options?: VoicingOptions): readonly string[] =>
  [...voicingsFor(symbol, options)].map(names);
const form = (symbol: string, id: string): readonly string[] => listed(symbol, { forms: [id] });

// MacDonald, E. (University of Connecticut), handout "Rootless Left Hand Piano Voicings"; read in source.
describe("MacDonald handout", () => {
  it("rootless voicings have four notes, the 3rd or the 7th at the bottom", () => {
    for (const voicing of voicingsFor("Cm9")) {
      expect(voicing.pitches).toHaveLength(4);
      expect(["b3", "b7"]).toContain(voicing.degrees[0]);
    }
  });

  it("m9 position A is b3 5 b7 9", () => {
    expect([...voicingsFor("Cm9")].find((v) => v.label === "A")?.degrees).toEqual(["b3", "5", "b7", "9"]);
  });

  it("the top note lies between C4 and C5 (MIDI 60 to 72)", () => {
    for (const root of ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]) {
      for (const quality of ["m9", "13", "maj9", "7alt", "m7b5", "dim7"]) {
        for (const voicing of voicingsFor(root + quality)) {
          const top = midiNumber(voicing.pitches.at(-1) ?? parsePitch("C-1"));
          expect(top).toBeGreaterThanOrEqual(60);
          expect(top).toBeLessThanOrEqual(72);
        }
      }
    }
  });

  it("half-diminished forms keep their root in A and B", () => {
    for (const id of ["rootless-m7b5-a", "rootless-m7b5-b"])
      expect(form("Bm7b5", id).every((v) => /B\d/.test(v))).toBe(true);
  });
});

// Common practice, no source; notes computed from the formulas, octave fixed by the handout's rule for the top note.
describe("ii-V-I in worked keys (common practice, no source; computed)", () => {
  it.each<[string, readonly (readonly [string, string, string])[]]>([
    [
      "C A",
      [
        ["Dm9", "rootless-m9-a", "F3 A3 C4 E4"],
        ["G13", "rootless-13-b", "F3 A3 B3 E4"],
        ["Cmaj9", "rootless-maj9-a", "E3 G3 B3 D4"],
      ],
    ],
    [
      "C B",
      [
        ["Dm9", "rootless-m9-b", "C4 E4 F4 A4"],
        ["G13", "rootless-13-a", "B3 E4 F4 A4"],
        ["Cmaj9", "rootless-maj9-b", "B3 D4 E4 G4"],
      ],
    ],
    [
      "F A",
      [
        ["Gm9", "rootless-m9-a", "Bb3 D4 F4 A4"],
        ["C13", "rootless-13-b", "Bb3 D4 E4 A4"],
        ["Fmaj9", "rootless-maj9-a", "A3 C4 E4 G4"],
      ],
    ],
    [
      "F B",
      [
        ["Gm9", "rootless-m9-b", "F3 A3 Bb3 D4"],
        ["C13", "rootless-13-a", "E3 A3 Bb3 D4"],
        ["Fmaj9", "rootless-maj9-b", "E3 G3 A3 C4"],
      ],
    ],
    [
      "G A",
      [
        ["Am9", "rootless-m9-a", "C4 E4 G4 B4"],
        ["D13", "rootless-13-b", "C4 E4 F#4 B4"],
        ["Gmaj9", "rootless-maj9-a", "B3 D4 F#4 A4"],
      ],
    ],
    [
      "G B",
      [
        ["Am9", "rootless-m9-b", "G3 B3 C4 E4"],
        ["D13", "rootless-13-a", "F#3 B3 C4 E4"],
        ["Gmaj9", "rootless-maj9-b", "F#3 A3 B3 D4"],
      ],
    ],
    [
      "Bb A",
      [
        ["Cm9", "rootless-m9-a", "Eb3 G3 Bb3 D4"],
        ["F13", "rootless-13-b", "Eb3 G3 A3 D4"],
        ["Bbmaj9", "rootless-maj9-a", "D3 F3 A3 C4"],
      ],
    ],
    [
      "Bb B",
      [
        ["Cm9", "rootless-m9-b", "Bb3 D4 Eb4 G4"],
        ["F13", "rootless-13-a", "A3 D4 Eb4 G4"],
        ["Bbmaj9", "rootless-maj9-b", "A3 C4 D4 F4"],
      ],
    ],
  ])("%s form", (_, chords) => {
    for (const [symbol, id, expected] of chords) expect(form(symbol, id), symbol).toContain(expected);
  });

  it("register consequence: 22 of 24 ii-V-I chains fit, from MIDI 50 to 72; E in B form and A in A form do not", () => {
    const keys = [
      ["C", "D", "G"],
      ["F", "G", "C"],
      ["Bb", "C", "F"],
      ["Eb", "F", "Bb"],
      ["Ab", "Bb", "Eb"],
      ["Db", "Eb", "Ab"],
      ["Gb", "Ab", "Db"],
      ["B", "C#", "F#"],
      ["E", "F#", "B"],
      ["A", "B", "E"],
      ["D", "E", "A"],
      ["G", "A", "D"],
    ] as const;
    const missing: string[] = [];
    const heard: number[] = [];
    let solutions = 0;
    const motion = (a: Voicing, b: Voicing): number =>
      a.pitches.reduce((sum, p, i) => sum + Math.abs(p.semitones - (b.pitches[i]?.semitones as number)), 0);
    for (const [one, two, five] of keys) {
      for (const [x, y] of [
        ["a", "b"],
        ["b", "a"],
      ] as const) {
        const chain = [...voicingsFor(`${two}m9`, { forms: [`rootless-m9-${x}`] })].flatMap((ii) =>
          [...voicingsFor(`${five}13`, { forms: [`rootless-13-${y}`] })]
            .filter((v) => motion(ii, v) === 1)
            .flatMap((v) =>
              [...voicingsFor(`${one}maj9`, { forms: [`rootless-maj9-${x}`] })]
                .filter((i) => motion(v, i) === 5)
                .map((i) => [ii, v, i]),
            ),
        );
        if (chain.length === 0) missing.push(one + x.toUpperCase());
        solutions += chain.length;
        heard.push(...chain.flat().flatMap((v) => v.pitches.map(midiNumber)));
        expect(chain.flat().flatMap((v) => v.warnings)).toEqual([]);
      }
    }
    expect(missing).toEqual(["EB", "AA"]);
    expect(solutions).toBe(22);
    expect([Math.min(...heard), Math.max(...heard)]).toEqual([50, 72]);
  });

  it("minor ii-V-i: b3 b5 b7 1, then b7 b9 3 b13, then b3 5 6 9", () => {
    const degrees = (symbol: string, id: string): string | undefined =>
      [...voicingsFor(symbol, { forms: [id] })][0]?.degrees.join(" ");
    expect(degrees("Dm7b5", "rootless-m7b5-a")).toBe("b3 b5 b7 1");
    expect(degrees("G7(b9,b13)", "rootless-7b9b13-b")).toBe("b7 b9 3 b13");
    expect(degrees("Cm6/9", "rootless-m69-a")).toBe("b3 5 6 9");
  });
});

describe("rootless forms (common practice, no source)", () => {
  it("C6/9 has E G A D and no C", () => {
    expect(listed("C6/9")).toContain("E3 G3 A3 D4");
    expect(listed("C6/9").join(" ")).not.toMatch(/C\d/);
  });

  it("Am9 in B form is G B C E, Dm9 in A form F A C E, and G13 F A B E", () => {
    expect(form("Am9", "rootless-m9-b")).toEqual(["G3 B3 C4 E4"]);
    expect(form("Dm9", "rootless-m9-a")).toEqual(["F3 A3 C4 E4"]);
    expect(form("G13", "rootless-13-b")).toEqual(["F3 A3 B3 E4"]);
  });
});

// Hutchinson, R., Music Theory for the 21st-Century Classroom, sec. 31.7; read in source.
describe("Hutchinson: guide tones and what stands for them", () => {
  it("a 6th replaces a missing 7th, a sus 4th a missing 3rd", () => {
    expect([...voicingsFor("C6", { style: "guide-tones" })][0]?.degrees).toEqual(["3", "6"]);
    expect([...voicingsFor("C7sus4", { style: "guide-tones" })][0]?.degrees).toEqual(["4", "b7"]);
  });

  it("Dm7, G7 and Cmaj7 have F C, F B and E B", () => {
    expect(listed("Dm7", { style: "guide-tones" })).toContain("F3 C4");
    expect(listed("G7", { style: "guide-tones" })).toContain("F3 B3");
    expect(listed("Cmaj7", { style: "guide-tones" })).toContain("E3 B3");
  });
});

describe("shells (common practice, no source)", () => {
  it("have the root in the bass and 3 and 7 in either order", () => {
    const shells = [...voicingsFor("Cm7", { style: "shell" })];
    expect(shells.map((v) => v.degrees.join(" "))).toEqual(["1 b3 b7", "1 b7 b3"]);
    expect(shells.map((v) => pitchName(v.bass ?? parsePitch("C0")))).toEqual(["C3", "C3"]);
    expect(shells.map((v) => v.upper.map(pitchName).join(" "))).toEqual(["Eb3 Bb3", "Bb3 Eb4"]);
  });

  it("lie within C2 and G4 in all keys", () => {
    for (const root of ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]) {
      for (const voicing of [
        ...voicingsFor(`${root}7`, { style: "shell" }),
        ...voicingsFor(`${root}m6`, { style: "shell" }),
      ]) {
        expect(midiNumber(voicing.pitches[0] ?? parsePitch("C0"))).toBeGreaterThanOrEqual(36);
        expect(midiNumber(voicing.pitches.at(-1) ?? parsePitch("C9"))).toBeLessThanOrEqual(67);
      }
    }
  });

  it("keep bass roots inside one octave, E to the E flat above; an option drops them an octave", () => {
    const roots = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"] as const;
    expect(roots.map((root) => pitchName(bassNote(root)))).toEqual([
      "C3",
      "Db3",
      "D3",
      "Eb3",
      "E2",
      "F2",
      "Gb2",
      "G2",
      "Ab2",
      "A2",
      "Bb2",
      "B2",
    ]);
    expect(roots.map((root) => pitchName(bassNote(root, { dropBass: true })))).toEqual([
      "C2",
      "Db2",
      "D2",
      "Eb2",
      "E1",
      "F1",
      "Gb1",
      "G1",
      "Ab1",
      "A1",
      "Bb1",
      "B1",
    ]);
    for (const root of roots)
      expect(
        [...voicingsFor(`${root}7`, { style: "shell", dropBass: true })].every(
          (v) => v.bass?.semitones === bassNote(root, { dropBass: true }).semitones,
        ),
      ).toBe(true);
  });

  it("two-note shells are root and 7th or root and 3rd", () => {
    expect(listed("Dm7", { style: "two-note-shell" })).toEqual(["D3 F3", "D3 C4"]);
  });

  it("a triad takes its 5th, so that nothing comes in which the symbol doesn't name", () => {
    expect([...voicingsFor("C", { style: "shell" })].map((v) => v.degrees.join(" "))).toEqual([
      "1 3 5",
      "1 3 5",
      "1 5 3",
    ]);
  });

  it("a slash bass takes the root's place", () => {
    const [first] = [...voicingsFor("D7/F#", { style: "shell" })];
    expect(first?.degrees[0]).toBe("3");
    expect(pitchName(first?.bass ?? parsePitch("C0"))).toBe("F#2");
    expect([...voicingsFor("C/D", { style: "shell" })][0]?.degrees[0]).toBe("2");
    expect([...voicingsFor("C/Bb", { style: "shell" })][0]?.degrees[0]).toBe("b7");
  });
});

describe("voicingsFor", () => {
  it("lists by catalogue row, then from low to high", () => {
    const wide = [...voicingsFor("Dm9", { register: { from: "C4", to: "C6" } })];
    expect(wide.map(names)).toEqual(["F3 A3 C4 E4", "F4 A4 C5 E5", "C4 E4 F4 A4", "C5 E5 F5 A5"]);
  });

  it("works out no more than is read, and can be read again", () => {
    const voicings = voicingsFor("Dm9");
    const iterator = voicings[Symbol.iterator]();
    expect(names(iterator.next().value as Voicing)).toBe("F3 A3 C4 E4");
    expect([...voicings].map(names)).toEqual([...voicings].map(names));
    expect([...voicings]).toHaveLength(2);
  });

  it("takes a chord as well as its symbol", () => {
    expect([...voicingsFor(parseChord("G13"))].map(names)).toEqual(listed("G13"));
  });

  it("uses the first style of several that has a form", () => {
    expect(new Set([...voicingsFor("Caug", { style: ["rootless", "close"] })].map((v) => v.style))).toEqual(
      new Set(["close"]),
    );
    expect(new Set([...voicingsFor("C7", { style: ["rootless", "close"] })].map((v) => v.style))).toEqual(
      new Set(["rootless"]),
    );
  });

  it("keeps a form that is there on request only out of its style", () => {
    expect([...voicingsFor("Cmaj7")].some((v) => v.form === "rootless-maj7-b")).toBe(false);
    expect(form("Cmaj7", "rootless-maj7-b")).toEqual(["B3 C4 E4 G4"]);
  });

  it("reaches further only when the span allows it, and then warns", () => {
    // C G E and C B♭ E are sixteen semitones wide, with an E♭ fifteen; C E F A are nine.
    const needs = (symbol: string, options: VoicingOptions, narrowest: number): void => {
      expect(() => [...voicingsFor(symbol, options)]).toThrowError(
        expect.objectContaining({
          code: "voicing/out-of-reach",
          reason: "cannot-be-done",
          hint: `the narrowest needs ${narrowest}`,
        }),
      );
    };
    needs("C7", { style: "tenth" }, 16);
    needs("Cm7", { style: "tenth", span: 14 }, 15);
    needs("Dm9", { span: 8 }, 9);
    const tenths = [...voicingsFor("C7", { style: "tenth", span: 16 })];
    expect(tenths.map(names)).toEqual(["C3 G3 E4", "C3 Bb3 E4"]);
    for (const { warnings } of tenths) expect(warnings.map((w) => w.kind)).toEqual(["wide-span"]);
  });

  it("lets a low-interval limit be bent, with a warning, or forbids it", () => {
    const low: VoicingOptions = { register: { from: "C3", to: "E3" } };
    const bent = [...voicingsFor("Dm9", low)];
    expect(bent.map(names)).toEqual(["F2 A2 C3 E3"]);
    // F2 A2: a major third below B♭2; A2 C3: a minor third below C3. Common practice, no source.
    expect(bent[0]?.warnings.map((w) => w.kind)).toEqual(["low-interval", "low-interval"]);
    expect([...voicingsFor("Dm9", { ...low, lowIntervals: "off" })][0]?.warnings).toEqual([]);
    expect(() => [...voicingsFor("Dm9", { ...low, lowIntervals: "forbid" })]).toThrowError(
      expect.objectContaining({ code: "voicing/out-of-reach" }),
    );
  });

  it("tests a root below on request", () => {
    // C3 E3 G3 B3 is clear, but with an A2 below it that A and C are a minor third below C3. Common practice, no source.
    const options: VoicingOptions = { forms: ["rootless-m9-a"], register: { from: "B3", to: "B3" } };
    expect([...voicingsFor("Am9", options)].map((v) => [names(v), v.warnings.length])).toEqual([["C3 E3 G3 B3", 0]]);
    expect(
      [...voicingsFor("Am9", { ...options, assumedRoot: true })].map((v) => v.warnings.map((w) => w.kind)),
    ).toEqual([["low-interval"]]);
  });

  it("asks no plain extension of three notes, so that a 9th chord has both forms", () => {
    expect(new Set([...voicingsFor("G9", { style: "three-note-rootless" })].map((v) => v.label))).toEqual(
      new Set(["A", "B"]),
    );
    expect(
      new Set([...voicingsFor("G7b9", { style: "three-note-rootless" })].map((v) => v.degrees.includes("b9"))),
    ).toEqual(new Set([true]));
  });

  it("says when a slash bass is left to someone else", () => {
    expect(
      [...voicingsFor("C7/Bb")].filter((v) => v.warnings.some((w) => w.kind === "slash-bass")).map((v) => v.degrees[0]),
    ).toEqual(["3", "3"]);
  });

  it("measures how far from the middle of the register a voicing lies, by its lowest note", () => {
    // The middle of C4 to C5 is F♯4, ten semitones above G♯3: F3 is three from there, C4 four.
    expect([...voicingsFor("Dm9")].map((v) => v.offMiddle)).toEqual([3, 4]);
    expect([...voicingsFor("Dm9", { register: { from: "C4", to: "B4" } })].map((v) => v.offMiddle)).toEqual([2.5, 4.5]);
    // The 13th on top is no farther off than the 9th.
    expect([...voicingsFor("G7")].map((v) => [v.form, v.offMiddle])).toEqual([
      ["rootless-13-a", 3],
      ["rootless-13-b", 3],
      ["rootless-9-a", 3],
      ["rootless-9-b", 3],
    ]);
  });
});

describe("what voicingsFor refuses", () => {
  const refused = (symbol: string, options: object, code: string, reason = "bad-input"): void => {
    expect(() => [...voicingsFor(symbol, options as VoicingOptions)]).toThrowError(
      expect.objectContaining({ code, reason }),
    );
  };

  it("a chord without a form in the style, with the styles that have one", () => {
    refused("C5", {}, "voicing/none", "cannot-be-done");
    expect(() => voicingsFor("C5")).toThrowError(/two-note-shell, close/);
  });

  it("a 13th beside a #5, as beside a b13", () => {
    refused("C7#5", { style: "fourths", forms: ["fourths-7"] }, "voicing/none", "cannot-be-done");
    refused("C7b13", { style: "fourths", forms: ["fourths-7"] }, "voicing/none", "cannot-be-done");
    expect(form("C7", "fourths-7")).toEqual(["Bb3 E4 A4"]);
  });

  it("options that can't be read", () => {
    refused("C7", { style: "rootles" }, "voicing/style");
    refused("C7", { forms: ["rootless-13-c"] }, "voicing/form");
    refused("C7", { span: 0 }, "voicing/span");
    refused("C7", { span: 12.5 }, "voicing/span");
    refused("C7", { lowIntervals: "maybe" }, "voicing/low-intervals");
    refused("C7", { register: { from: "C5", to: "C4" } }, "voicing/register");
    refused("C7", { register: { from: "H4" as PitchName, to: "C5" } }, "voicing/register");
    refused("C7", { registers: { from: "C4", to: "C5" } }, "voicing/argument");
    refused("C7", { dropBass: 1 }, "voicing/argument");
  });

  it("a register without room", () => {
    refused("Dm9", { register: { from: "C#4", to: "D#4" } }, "voicing/out-of-reach", "cannot-be-done");
    expect(() => bassNote("C", { bass: { from: "D2", to: "A2" } })).toThrowError(
      expect.objectContaining({ code: "voicing/out-of-reach" }),
    );
  });

  it("a symbol that can't be read, in the chord parser's own words", () => {
    expect(() => voicingsFor("Cmaj8")).toThrowError(
      expect.objectContaining({ code: expect.stringMatching(/^chord\//) as string, input: "Cmaj8" }),
    );
  });
});

describe("what a symbol names", () => {
  // Common practice, no source: every alteration, the 6th, and the highest plain extension.
  const NAMED: readonly (readonly [suffix: string, named: readonly Degree[]])[] = [
    ["6", ["6"]],
    ["6/9", ["6", "9"]],
    ["maj9", ["9"]],
    ["maj13", ["13"]],
    ["maj7#11", ["#11"]],
    ["maj13#11", ["#11", "13"]],
    ["maj7#5", ["#5"]],
    ["9", ["9"]],
    ["13", ["13"]],
    ["7b9", ["b9"]],
    ["7#9", ["#9"]],
    ["7#11", ["#11"]],
    ["7b13", ["b13"]],
    ["7#5", ["#5"]],
    ["7b5", ["b5"]],
    ["9#11", ["9", "#11"]],
    ["13#11", ["#11", "13"]],
    ["13b9", ["b9", "13"]],
    ["13#9", ["#9", "13"]],
    ["7(b9,b13)", ["b9", "b13"]],
    ["7(#9,b13)", ["#9", "b13"]],
    ["7(#9,#5)", ["#9", "#5"]],
    ["7(b9,#11)", ["b9", "#11"]],
    ["7(#9,#11)", ["#9", "#11"]],
    ["13(b9,#11)", ["b9", "#11", "13"]],
    ["7(b9,#11,b13)", ["b9", "#11", "b13"]],
    ["7(b9,#9)", ["b9", "#9"]],
    ["13sus4", ["13"]],
    ["7susb9", ["b9"]],
    ["m9", ["9"]],
    ["m11", ["11"]],
    ["m13", ["13"]],
    ["m6", ["6"]],
    ["m6(11)", ["6", "11"]],
    ["mMaj9", ["9"]],
    ["mMaj7(13)", ["13"]],
    ["m9b5", ["9"]],
    ["m11b5", ["11"]],
    ["add9", ["9"]],
    ["6/9(#11)", ["6", "9", "#11"]],
    ["mMaj9(#11)", ["9", "#11"]],
    ["m7(b9)", ["b9"]],
    ["maj7(#9)", ["#9"]],
  ];
  // A 13 stands for the 6 an octave above, a ♭13 for a ♯5, a ♯11 for a ♭5.
  const sounds = (degrees: readonly Degree[], degree: Degree): boolean =>
    [degree, ...({ "6": ["13"], "13": ["6"], "#5": ["b13"], b5: ["#11"] }[degree as string] ?? [])].some((name) =>
      degrees.includes(name as Degree),
    );

  it("law: what is written is never dropped by a rootless voicing, in any key", () => {
    for (const root of ["C", "Db", "E", "F#", "Bb"]) {
      for (const [suffix, named] of NAMED) {
        for (const { degrees, leftOut } of voicingsFor(root + suffix)) {
          expect(
            named.filter((degree) => !sounds(degrees, degree)).map((degree) => `${root}${suffix} ${degree}`),
          ).toEqual([]);
          expect(leftOut).toEqual([]);
        }
      }
    }
  });

  it("a form that has no room says what it leaves out", () => {
    expect([...voicingsFor("G13#11", { style: "shell" })][0]?.leftOut).toEqual(["#11", "13"]);
    expect([...voicingsFor("F13#11")].map(({ degrees }) => degrees.join(" "))).toEqual(["3 #11 13 b7", "b7 3 #11 13"]);
  });
});
