import { describe, expect, it } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import type { PitchName } from "../../src/pitch/index.ts";
import { parsePitch, pitchName } from "../../src/pitch/index.ts";
import type { VoicingOptions } from "../../src/voicing/index.ts";
import {
  bassNote,
  lowIntervalBreaches,
  lowIntervalLimits,
  voicingCatalogue,
  voicingsFor,
} from "../../src/voicing/index.ts";

const refusal = (work: () => unknown): Pick<MusicError, "code" | "input" | "reason" | "expected" | "hint"> => {
  try {
    work();
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
};
const read = (symbol: string, options: object = {}) => [...voicingsFor(symbol, options as VoicingOptions)];

describe("refusals say what was given and what would do", () => {
  it("options that can't be read", () => {
    for (const span of [0, -1, 25, 12.5, Number.NaN]) {
      const error = refusal(() => read("C7", { span }));
      expect(error).toMatchObject({ code: "voicing/span", input: span, reason: "bad-input" });
      expect(error.expected).toContain("1 to 24");
    }
    for (const span of [1, 24])
      expect(read("C7", { style: "rootless", span: Math.max(span, 12) }).length).toBeGreaterThan(0);
    expect(refusal(() => read("C7", { style: "guide-tones", span: 1 })).code).toBe("voicing/out-of-reach");
    const limits = refusal(() => read("C7", { lowIntervals: "maybe" }));
    expect(limits).toMatchObject({ code: "voicing/low-intervals", input: "maybe" });
    for (const word of ["off", "warn", "forbid"]) expect(limits.expected).toContain(word);
    const style = refusal(() => read("C7", { style: "jazzy" }));
    expect(style).toMatchObject({ code: "voicing/style", input: "jazzy" });
    expect(style.expected).toContain("shell, two-note-shell, rootless");
    expect(refusal(() => read("C7", { style: ["rootless", "jazzy"] }))).toMatchObject({
      code: "voicing/style",
      input: "jazzy",
    });
  });

  it("ranges that fall, wherever they are asked for", () => {
    const falling = { from: "C5", to: "B4" };
    for (const options of [{ register: falling }, { bass: falling }])
      expect(refusal(() => read("C7", options))).toMatchObject({ code: "voicing/register", input: falling });
    expect(refusal(() => bassNote("C", { bass: { from: "E3", to: "Eb2" } }))).toMatchObject({
      code: "voicing/register",
    });
    expect(read("Am9", { forms: ["rootless-m9-a"], register: { from: "B3", to: "B3" } })).toHaveLength(1);
  });

  it("forms by their ids, with the nearest where one is near", () => {
    expect(refusal(() => read("C7", { forms: ["rootless-13-c"] }))).toMatchObject({
      code: "voicing/form",
      input: "rootless-13-c",
      hint: expect.stringContaining("did you mean rootless-13") as string,
    });
    const far = refusal(() => read("C7", { forms: ["rootless-13-a", "qqqqqqqqqqqqqqqq"] }));
    expect([far.code, far.input, far.hint]).toEqual(["voicing/form", "qqqqqqqqqqqqqqqq", undefined]);
  });

  it("a chord without a form, with what was asked and the styles that have one", () => {
    const none = refusal(() => read("C5"));
    expect(none).toMatchObject({ code: "voicing/none", input: "C5", reason: "cannot-be-done" });
    expect(none.expected).toContain("rootless");
    expect(none.hint).toContain("two-note-shell, close");
    expect(none.hint).not.toContain("spread");
    expect(refusal(() => read("C5", { style: ["rootless", "spread"] })).expected).toContain("rootless or spread");
    expect(refusal(() => read("C5", { forms: ["rootless-9-a", "rootless-9-b"] })).expected).toContain(
      "rootless-9-a or rootless-9-b",
    );
  });

  it("what can't be placed, by what stands in the way", () => {
    const register = refusal(() => read("Dm9", { register: { from: "C#4", to: "D#4" } }));
    expect(register).toMatchObject({ code: "voicing/out-of-reach", input: "Dm9", reason: "cannot-be-done" });
    expect([register.expected, register.hint]).toEqual([
      expect.stringContaining("register"),
      expect.stringContaining("register"),
    ]);
    const span = refusal(() => read("C7", { style: "tenth", span: 14 }));
    expect([span.expected, span.hint]).toEqual([
      expect.stringContaining("14 semitones"),
      expect.stringContaining("16"),
    ]);
    const low = refusal(() => read("Dm9", { register: { from: "C3", to: "E3" }, lowIntervals: "forbid" }));
    expect([low.expected, low.hint]).toEqual([
      expect.stringContaining("low-interval"),
      expect.stringContaining("raise"),
    ]);
    const bass = refusal(() => bassNote("C/E", { bass: { from: "F2", to: "A2" } }));
    expect(bass).toMatchObject({ code: "voicing/out-of-reach", input: "C/E", reason: "cannot-be-done" });
    expect(bass.hint).toContain("range");
  });
});

describe("a slash bass", () => {
  it("takes the root's place alone, and is named as the chord names it, else plainly", () => {
    const degrees = (symbol: string) => read(symbol, { style: "shell" })[0]?.degrees;
    expect(degrees("D7/F#")).toEqual(["3", "3", "b7"]);
    expect(degrees("C7")).toEqual(["1", "3", "b7"]);
    expect(degrees("C9/D")?.[0]).toBe("9");
    expect(degrees("C7/D")?.[0]).toBe("2");
    expect(degrees("C13/A")?.[0]).toBe("13");
  });

  it("is left to someone else where the form has no bass, unless its lowest note is the same", () => {
    const left = (symbol: string, options: object) =>
      read(symbol, options).map((voicing) =>
        voicing.warnings.filter(({ kind }) => kind === "slash-bass").map(({ message }) => message),
      );
    expect(left("C7/G", { forms: ["rootless-9-a"] })[0]?.[0]).toContain("G");
    expect(left("C7/E", { forms: ["rootless-9-a"] })).toEqual([[]]);
    expect(left("C7/G", { style: "shell" })).toEqual([[], []]);
    expect(left("C7", { forms: ["rootless-9-a"] })).toEqual([[]]);
  });
});

describe("limits", () => {
  it("forbidding low intervals leaves out what bends one, and nothing else", () => {
    // A tenth is wide, a slash bass left to another: neither bends a limit.
    const tenths = read("C7", { style: "tenth", span: 16, lowIntervals: "forbid" });
    expect(tenths.map((voicing) => voicing.warnings.map(({ kind }) => kind))).toEqual([["wide-span"], ["wide-span"]]);
    expect(read("C7/G", { forms: ["rootless-9-a"], lowIntervals: "forbid" })).toHaveLength(1);
    // A1 with G2, A1 with C♯3 and G2 with C♯3 are low, and A1 with C♯3 is wide: it goes all the same.
    const low = { forms: ["tenth-7"], span: 16, register: { from: "A1", to: "A1" } };
    expect(read("A7", low)[0]?.warnings.map(({ kind }) => kind)).toEqual([
      "low-interval",
      "low-interval",
      "low-interval",
      "wide-span",
    ]);
    expect(refusal(() => read("A7", { ...low, lowIntervals: "forbid" })).code).toBe("voicing/out-of-reach");
  });

  it("a warning names both notes, the limit and the interval", () => {
    const [voicing] = read("Dm9", { register: { from: "C3", to: "E3" } });
    expect(voicing?.warnings.map(({ message }) => message)).toEqual([
      expect.stringMatching(/F2 .*A2 .*Bb2.* M3$/),
      expect.stringMatching(/A2 .*C3 .*C3.* m3$/),
    ]);
    expect(read("C7", { style: "tenth", span: 16 })[0]?.warnings[0]?.message).toContain("stop at pain");
  });

  it("are warned of unless told otherwise, and without a root below", () => {
    const low = { register: { from: "C3", to: "E3" } };
    expect(read("Dm9", low)).toEqual(
      read("Dm9", { ...low, lowIntervals: "warn", assumedRoot: false, span: 12, style: "rootless", dropBass: false }),
    );
  });

  it("no note, no breach", () => {
    expect(lowIntervalBreaches([])).toEqual([]);
    expect(lowIntervalBreaches([], { root: "C" })).toEqual([]);
    expect(lowIntervalBreaches([parsePitch("C2")])).toEqual([]);
    // From E3 up nothing has a limit, whatever the interval.
    const highest = parsePitch("E3");
    for (const { semitones } of lowIntervalLimits)
      expect(
        lowIntervalBreaches([
          highest,
          { ...highest, steps: highest.steps + 1, semitones: highest.semitones + semitones },
        ]),
      ).toEqual([]);
  });
});

describe("what each tone of a form may be", () => {
  // Common practice, no source.
  it.each([
    ["Csus2", "close", "1 2 5"],
    ["Csus4", "close", "1 4 5"],
    ["C7b5", "close", "1 3 b5 b7"],
    ["C7#5", "close", "1 3 #5 b7"],
    ["Cdim7", "guide-tones", "b3 bb7"],
    ["C6", "guide-tones", "3 6"],
    ["Cdim7", "close", "1 b3 b5 bb7"],
    ["C7alt", "close", "1 3 b13 b7"],
    ["CmMaj7", "guide-tones", "b3 7"],
  ] as const)("%s in %s: %s", (symbol, style, degrees) => {
    expect(read(symbol, { style }).map((voicing) => voicing.degrees.join(" "))).toContain(degrees);
  });

  it("an extension that is named is played, in four notes at least", () => {
    for (const [symbol, degree] of [
      ["Cmaj13", "13"],
      ["Cm11", "11"],
      ["C13", "13"],
      ["Cm13", "13"],
    ] as const) {
      const voicings = read(symbol);
      expect(voicings.length).toBeGreaterThan(0);
      for (const { degrees } of voicings) expect(degrees).toContain(degree);
    }
  });

  it("the span is that of the hand which stretches the farthest, a struck bass apart", () => {
    // E B♭ is a tritone; C G a fifth under E B D, which is ten semitones.
    expect(refusal(() => read("C7", { style: "shell", span: 5 })).hint).toContain("6");
    expect(read("C7", { style: "shell", span: 6 }).length).toBeGreaterThan(0);
    expect(refusal(() => read("Cmaj7", { forms: ["spread-maj9-5"], span: 8 })).hint).toContain("10");
  });

  it("pitches are pitches, spelled by the chord", () => {
    expect(read("Dm9", { forms: ["rootless-m9-a"] })[0]?.pitches).toEqual(
      ["F3", "A3", "C4", "E4"].map((name) => parsePitch(name as PitchName)),
    );
  });

  it("rows that are published name where", () => {
    const source = (id: string) => voicingCatalogue.find((form) => form.id === id)?.source ?? "";
    for (const id of ["rootless-m9-a", "rootless-m7b5-a", "rootless-m7b5-b"]) expect(source(id)).toContain("MacDonald");
    for (const id of ["guide-tones-a", "guide-tones-b", "shell-a", "shell-b"])
      expect(source(id)).toContain("Theory for the 21st-Century Classroom");
    expect(source("rootless-m9-b")).toBe("common practice, no source");
  });
});

describe("bass notes", () => {
  it("of a chord or a symbol, in a range of one's own", () => {
    expect(bassNote(parseChord("C/E"))).toEqual(parsePitch("E2"));
    const range = (from: PitchName, to: PitchName) => ({ bass: { from, to } });
    expect(pitchName(bassNote("F", range("F1", "E2")))).toBe("F1");
    expect(pitchName(bassNote("F", { ...range("F1", "F1"), dropBass: true }))).toBe("F0");
    expect(
      read("F7", { style: "shell", ...range("F1", "E2") }).map((voicing) => voicing.bass && pitchName(voicing.bass)),
    ).toEqual(["F1", "F1"]);
    // A range that misses the root has no shell.
    expect(refusal(() => read("F7", { style: "shell", ...range("G2", "A2") })).code).toBe("voicing/out-of-reach");
  });

  it("lie below the pair, and are struck by themselves", () => {
    for (const voicing of read("C7", {
      style: "shell",
      bass: { from: "C4", to: "B4" },
      register: { from: "C3", to: "C6" },
    })) {
      expect(voicing.bass?.semitones).toBeLessThan(voicing.upper[0]?.semitones as number);
      expect(voicing.pitches).toEqual([voicing.bass, ...voicing.upper]);
    }
    // The bass of C/E and the 3rd of the pair are one note: they never lie on one key.
    for (const voicing of read("C7/E", {
      style: "shell",
      bass: { from: "E3", to: "Eb4" },
      register: { from: "G3", to: "G5" },
    })) {
      expect(voicing.bass?.semitones).toBeLessThan(voicing.upper[0]?.semitones as number);
      expect(voicing.kind).toBe("voicing");
    }
    expect(read("C7", { style: "rootless" })[0]).not.toHaveProperty("bass");
    expect(new Set(voicingCatalogue.filter((form) => form.groups[0]?.bass === true).map((form) => form.style))).toEqual(
      new Set(["shell", "upper-structure"]),
    );
  });
});
