import { describe, expect, it } from "vitest";
import type { NoteEvent, ScoreInput } from "../all.ts";
import { beats, MusicError, makeScore, metre, parseChord, parseKey, pitch, pitchName } from "../all.ts";

const note = (at: string, duration: string, ...names: string[]): NoteEvent => ({
  at: beats(at),
  duration: beats(duration),
  pitches: names.map((n) => pitch(n as "C4")),
});
const make = (parts: Partial<ScoreInput>) => () =>
  makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, ...parts });
const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof MusicError) return error.code;
    throw error;
  }
  return "none";
};

describe("makeScore", () => {
  it("fills in what is left out", () => {
    expect(make({})()).toEqual({
      kind: "score",
      version: 1,
      title: "",
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 2,
      tempo: 120,
      pickup: beats(0),
      feel: { kind: "feel", id: "straight", ratio: { first: 1, second: 1 }, unit: "eighth" },
      chords: [],
      right: [],
      left: [],
    });
  });

  it("orders events and pitches, fingers along with them, and changes nothing given", () => {
    const chord: NoteEvent = { ...note("2", "1", "G4", "C4", "E4"), fingers: [5, 1, 3] };
    const right = [chord, note("0", "1", "A4"), note("2", "2", "A3")];
    const before = structuredClone(right);
    const score = make({ right })();
    expect(score.right.map((e) => e.pitches.map(pitchName))).toEqual([["A4"], ["A3"], ["C4", "E4", "G4"]]);
    expect(score.right[2]?.fingers).toEqual([1, 3, 5]);
    expect(right).toEqual(before);
  });

  it("rounds a pickup of part of a triplet up to the beat", () => {
    expect(make({ pickup: beats("1/3") })().pickup).toEqual(beats(1));
    expect(make({ pickup: beats("3/2") })().pickup).toEqual(beats("3/2"));
  });

  it.each<[string, Partial<ScoreInput>, string]>([
    ["no bars", { bars: 0 }, "score/bars"],
    ["half a bar", { bars: 1.5 }, "score/bars"],
    ["too many bars", { bars: 10_001 }, "score/bars"],
    ["no tempo", { tempo: 0 }, "score/tempo"],
    ["a tempo that is no number", { tempo: NaN }, "score/tempo"],
    ["a tempo out of reach", { tempo: 1001 }, "score/tempo"],
    ["a negative pickup", { pickup: beats(-1) }, "score/pickup"],
    ["a pickup of a whole bar", { pickup: beats(4) }, "score/pickup"],
    ["a pickup that rounds up to a bar", { pickup: beats("10/3") }, "score/pickup"],
    ["a note before the pickup", { right: [note("-1", "1", "C4")] }, "score/span"],
    ["a note past the end", { right: [note("7", "2", "C4")] }, "score/span"],
    ["a note of no length", { left: [note("0", "0", "C4")] }, "score/span"],
    [
      "a chord symbol past the end",
      { chords: [{ at: beats(0), duration: beats(9), chord: parseChord("C") }] },
      "score/span",
    ],
    ["an event without pitches", { right: [note("0", "1")] }, "score/pitches"],
    ["a key twice in one event", { right: [note("0", "1", "D#4", "Eb4")] }, "score/pitches"],
    ["too few fingers", { right: [{ ...note("0", "1", "C4", "E4"), fingers: [1] }] }, "score/fingers"],
    ["a sixth finger", { right: [{ ...note("0", "1", "C4"), fingers: [6 as 5] }] }, "score/fingers"],
    [
      "a sixth finger on a grace note",
      { right: [{ ...note("0", "1", "E4"), graces: [{ pitch: pitch("Eb4"), style: "slide", finger: 0 as 5 }] }] },
      "score/fingers",
    ],
    ["a velocity of 0", { right: [{ ...note("0", "1", "C4"), velocity: 0 }] }, "score/velocity"],
    ["a velocity of 128", { drums: [{ at: beats(0), duration: beats(1), midi: 51, velocity: 128 }] }, "score/velocity"],
    ["no such drum", { drums: [{ at: beats(0), duration: beats(1), midi: 34 }] }, "score/drum"],
    ["a key struck while it is held", { right: [note("0", "2", "C4", "E4"), note("1", "1", "E4")] }, "score/overlap"],
    ["the same key under two names", { bass: [note("0", "2", "D#2"), note("1", "1", "Eb2")] }, "score/overlap"],
    [
      "a drum struck while it sounds",
      {
        drums: [
          { at: beats(0), duration: beats(1), midi: 51 },
          { at: beats("1/2"), duration: beats(1), midi: 51 },
        ],
      },
      "score/overlap",
    ],
    [
      "two chord symbols at once",
      {
        chords: [
          { at: beats(0), duration: beats(3), chord: parseChord("C") },
          { at: beats(2), duration: beats(2), chord: undefined },
        ],
      },
      "score/overlap",
    ],
    [
      "phrases that overlap",
      {
        phrases: [
          { at: beats(0), duration: beats(3) },
          { at: beats(2), duration: beats(2) },
        ],
      },
      "score/overlap",
    ],
  ])("refuses %s", (_, parts, code) => {
    expect(codeOf(make(parts))).toBe(code);
  });

  it("lets hands share a key, and voices overlap on different keys", () => {
    expect(codeOf(make({ right: [note("0", "2", "C4")], left: [note("0", "2", "C4"), note("1", "3", "G3")] }))).toBe(
      "none",
    );
    expect(codeOf(make({ right: [note("0", "1", "C4"), note("1", "1", "C4")] }))).toBe("none");
  });
});
