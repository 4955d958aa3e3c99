import { describe, expect, it } from "vitest";
import type { Finger, Hand, NoteEvent } from "../../src/event/index.ts";
import type { LineFingeringOptions, ScaleFingeringOptions } from "../../src/fingering/index.ts";
import { fingerAlternatives, fingerChord, fingerPassage, fingerScale, fingerSpan } from "../../src/fingering/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import { parsePitch } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";

const pitches = (names: string) => (names === "" ? [] : names.split(" ").map(parsePitch));
const RIGHT = { hand: "right" } as const;

/** What a refusal says of itself. */
const refusal = (work: () => unknown): Pick<MusicError, "code" | "input" | "reason" | "hint"> => {
  try {
    work();
  } catch (error) {
    if (error instanceof MusicError)
      return { code: error.code, input: error.input, reason: error.reason, hint: error.hint ?? "" };
    throw error;
  }
  return { code: "fingering/none", input: "nothing was refused", reason: "bad-input", hint: "" };
};
const bad = (code: string, input: unknown, hint = "") => ({ code, input, reason: "bad-input", hint });

describe("refusals name the code and the input", () => {
  it("no notes, no hand", () => {
    const none = 4 as unknown as readonly [];
    for (const work of [fingerPassage, fingerAlternatives, fingerChord]) {
      expect(refusal(() => work([], RIGHT))).toEqual(bad("fingering/notes", []));
      expect(refusal(() => work(none, RIGHT))).toEqual(bad("fingering/notes", 4));
      expect(refusal(() => work(pitches("C4"), { hand: "both" as Hand }))).toEqual(bad("fingering/hand", "both"));
    }
    expect(refusal(() => fingerScale("C major", { hand: "both" as Hand }))).toEqual(bad("fingering/hand", "both"));
  });

  it("settled fingers that are none, or that name no note", () => {
    const settled = (fixed: object) =>
      refusal(() => fingerPassage(pitches("C4 D4 E4"), { ...RIGHT, fixed: fixed as Record<number, Finger> }));
    const inChord = (fixed: object) =>
      refusal(() => fingerChord(pitches("C4 E4"), { ...RIGHT, fixed: fixed as Record<number, Finger> }));
    const inScale = (fixed: object) =>
      refusal(() => fingerScale("C major", { ...RIGHT, fixed: fixed as Record<number, Finger> }));
    for (const fixed of [{ 3: 1 }, { "-1": 1 }, { 0.5: 1 }, { first: 1 }, { 0: 0 }, { 0: 6 }, { 0: 1.5 }, { 2: "1" }]) {
      expect(settled(fixed)).toEqual(bad("fingering/fixed", fixed));
    }
    for (const fixed of [{ 2: 1 }, { "-1": 1 }, { 0.5: 1 }, { first: 1 }, { 0: 0 }, { 0: 6 }])
      expect(inChord(fixed)).toEqual(bad("fingering/fixed", fixed));
    for (const fixed of [{ 7: 1 }, { 12: 1 }, { "-1": 1 }, { 0.5: 1 }, { "1a": 1 }, { a1: 1 }, { 0: 0 }, { 0: 6 }])
      expect(inScale(fixed)).toEqual(bad("fingering/fixed", fixed));
    expect(fingerScale("C major", { ...RIGHT, fixed: { 6: 5 } }).octaveFingers[6]).toBe(5);
    expect(fingerScale("C chromatic", { ...RIGHT, fixed: { 11: 2 } }).octaveFingers[11]).toBe(2);
  });

  it("counts of alternatives that are none, or more than can be held", () => {
    const count = (n: number, notes = "C4 D4") =>
      refusal(() => fingerAlternatives(pitches(notes), { differ: "fingers", ...RIGHT, count: n }));
    for (const n of [0, -1, 1.5, 101, Number.NaN]) expect(count(n)).toEqual(bad("fingering/count", n));
    expect(fingerAlternatives(pitches("C4 D4 E4"), { differ: "fingers", ...RIGHT, count: 100 })).toHaveLength(100);
    expect(fingerAlternatives(pitches("C4 D4 E4"), RIGHT)).toHaveLength(3);
    const long = Array.from({ length: 201 }, (_, i) => parsePitch(i % 2 === 0 ? "C4" : "D4"));
    const most = refusal(() => fingerAlternatives(long, { differ: "fingers", ...RIGHT, count: 100 }));
    expect(most).toMatchObject({
      code: "fingering/count",
      input: { count: 100, notes: 201 },
      reason: "cannot-be-done",
    });
    expect(most.hint).not.toBe("");
    const settled = Object.fromEntries(long.map((_, i) => [i, i % 2 === 0 ? 1 : 2])) as Record<number, Finger>;
    delete settled[200];
    expect(
      fingerAlternatives(long.slice(0, 200), { differ: "fingers", ...RIGHT, count: 100, fixed: settled }),
    ).toHaveLength(1);
  });

  it("scales that do not rise within an octave", () => {
    for (const names of ["", "C4", "C4 B3", "C4 E4 C5", "C4 C4 E4", "C4 E4 D4"]) {
      expect(refusal(() => fingerScale(pitches(names), RIGHT))).toEqual(bad("fingering/scale", pitches(names)));
    }
    expect(fingerScale(pitches("C4 B4"), RIGHT).octave).toHaveLength(2);
  });

  it("octaves and directions of a scale", () => {
    const scale = (options: object) =>
      refusal(() => fingerScale("C major", { ...RIGHT, ...options } as ScaleFingeringOptions));
    for (const octaves of [0, 8, 1.5, -1]) expect(scale({ octaves })).toEqual(bad("fingering/octaves", octaves));
    expect(
      fingerScale("C major", { ...RIGHT, octaves: 7, floor: parsePitch("C1"), direction: "up" }).fingers,
    ).toHaveLength(50);
    expect(scale({ direction: "sideways" })).toEqual(bad("fingering/direction", "sideways"));
  });

  it("rules, weights, sets and sizes", () => {
    const rules = (options: object) => refusal(() => fingerPassage(pitches("C4"), { ...RIGHT, ...options }));
    expect(rules({ without: ["weak-fingr"] })).toEqual(
      bad("fingering/rule", "weak-fingr", "did you mean weak-finger?"),
    );
    expect(rules({ without: ["ends-outer-litle"] })).toEqual(
      bad("fingering/rule", "ends-outer-litle", "did you mean ends-outer-little?"),
    );
    expect(rules({ weights: { qqqqqqqqqqqq: 1 } })).toEqual(bad("fingering/rule", "qqqqqqqqqqqq"));
    for (const weight of [0.5, -1, 1001, Number.NaN])
      expect(rules({ weights: { stretch: weight } })).toEqual(bad("fingering/rule", { stretch: weight }));
    expect(fingerPassage(pitches("C4"), { ...RIGHT, rules: "parncutt-1997", weights: { stretch: 0 } }).cost).toBe(0);
    expect(
      fingerPassage(pitches("G4"), {
        ...RIGHT,
        rules: "parncutt-1997",
        fixed: { 0: 5 },
        weights: { "weak-finger": 1000 },
      }).cost,
    ).toBe(1000);
    for (const set of ["standard", "parncutt-1997", "scale"])
      expect(() => fingerPassage(pitches("C4"), { ...RIGHT, rules: "none" as "scale" })).toThrow(
        new RegExp(`\\b${set}\\b`),
      );
    expect(rules({ rules: "none" })).toEqual(bad("fingering/rule", "none"));
    expect(rules({ rules: "toString" })).toEqual(bad("fingering/rule", "toString"));
    expect(rules({ size: "huge" })).toEqual(bad("fingering/rule", "huge"));
  });

  it("chords of too many notes, of one key twice, and out of reach", () => {
    expect(refusal(() => fingerChord(pitches("C4 D4 E4 F4 G4 A4"), RIGHT))).toEqual(
      bad("fingering/chord", ["C4", "D4", "E4", "F4", "G4", "A4"]),
    );
    expect(refusal(() => fingerChord(pitches("E4 C4 B#3"), RIGHT))).toEqual(
      bad("fingering/chord", ["E4", "C4", "B#3"]),
    );
    expect(fingerChord(pitches("C4 D4 E4 F4 G4"), RIGHT).fingers).toEqual([1, 2, 3, 4, 5]);
    // Two notes too far from each other: the hint is to leave one out; fingers that would open too far between them: it is not.
    const wide = refusal(() => fingerChord(pitches("E3 C2 B2"), RIGHT));
    expect(wide).toMatchObject({ code: "fingering/out-of-reach", input: ["C2", "B2", "E3"], reason: "cannot-be-done" });
    const split = refusal(() => fingerChord(pitches("C4 B4 C5 C#5 D5"), RIGHT));
    expect(split).toMatchObject({
      code: "fingering/out-of-reach",
      input: ["C4", "B4", "C5", "C#5", "D5"],
      reason: "cannot-be-done",
    });
    expect(wide.hint).toContain("roll the chord");
    expect(split.hint).toContain("open too far");
  });

  it("notes in time", () => {
    const note = (at: number, names: string): NoteEvent => ({
      at: beats(at),
      duration: beats(1),
      pitches: pitches(names),
    });
    const line = (events: readonly NoteEvent[], options: object = {}) =>
      refusal(() => fingerPassage(events, { ...RIGHT, ...options } as LineFingeringOptions));
    for (const tempo of [0, -60, Number.NaN, Number.POSITIVE_INFINITY])
      expect(line([note(0, "C4")], { tempo })).toEqual(bad("fingering/tempo", tempo));
    expect(line([note(0, "C4")], { slides: "4-5" })).toEqual(bad("fingering/slides", "4-5"));
    expect(line([note(0, "C4"), note(1, "")])).toEqual(bad("fingering/notes", note(1, "")));
    expect(line([note(1, "C4"), note(0, "D4")])).toEqual(bad("fingering/order", beats(0)));
    expect(line([note(0, "E4 C4")])).toEqual(bad("fingering/order", ["E4", "C4"]));
    expect(line([note(0, "C4 C4")])).toEqual(bad("fingering/order", ["C4", "C4"]));
    expect(fingerPassage([note(0, "C4"), note(0, "D4")], RIGHT).fingers).toHaveLength(2);
  });
});

describe("what is allowed for", () => {
  it("what is given out is the caller's own: changing it changes no later answer", () => {
    const first = fingerScale("Gb major blues", { ...RIGHT, explain: true });
    const copy = structuredClone(first);
    for (const list of [
      first.octaveFingers,
      first.fingers,
      first.octave,
      first.pitches,
      first.positions,
      first.crossings,
    ])
      (list as unknown[]).fill(undefined);
    expect(fingerScale("Gb major blues", { ...RIGHT, explain: true })).toEqual(copy);
  });

  it("one finger spans nothing", () => {
    expect(new Set(Object.values(fingerSpan(3, 3)))).toEqual(new Set([0]));
  });
});
