import { describe, expect, it } from "vitest";
import type { Finger, GraceNote, NoteEvent } from "../../src/event/index.ts";
import type { LineFingeringOptions } from "../../src/fingering/index.ts";
import { fingerChord, fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import { keyColour, parsePitch, pitchName } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";

const RIGHT = { hand: "right" } as const;
const up = (names: string) => names.split(" ").map(parsePitch);
const at = (when: string | number, names: string, rest: Partial<NoteEvent> = {}): NoteEvent => ({
  at: beats(when),
  duration: beats(1),
  pitches: up(names),
  ...rest,
});
const grace = (name: string, style: GraceNote["style"], finger?: Finger): GraceNote => ({
  pitch: parsePitch(name),
  style,
  ...(finger === undefined ? {} : { finger }),
});
const code = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (error instanceof MusicError) return error.code;
    throw error;
  }
  return "none";
};

describe("time", () => {
  const again = (gap: string, options: Partial<LineFingeringOptions> = {}) =>
    fingerPassage([at(0, "F4", { duration: beats(gap) }), at(gap, "F4")], {
      ...RIGHT,
      fixed: { 0: 2, 1: 2 },
      ...options,
    }).costByRule;

  it("is 120 quarter notes a minute where no tempo is given", () => {
    expect(again("1/2")).toEqual(again("1/2", { tempo: 120 }));
    expect(again("1/2")).toHaveProperty("repeated-key");
    expect(again("1")).not.toHaveProperty("repeated-key");
  });

  it("calls notes fast that are closer than two fifths of a second", () => {
    const fast = (gap: string, tempo: number) => "repeated-key" in again(gap, { tempo });
    expect([fast("1/2", 60), fast("1/2", 74), fast("1/2", 76), fast("1", 149), fast("1", 151)]).toEqual([
      false,
      false,
      true,
      false,
      true,
    ]);
  });

  it("frees the hand at a rest of a quarter note, not sooner", () => {
    const after = (rest: string) =>
      fingerPassage([at(0, "C4"), at(rest, "C6")], { ...RIGHT, explain: true }).steps?.[1]?.sentence ?? "";
    expect(after("2")).toContain("the hand is free");
    expect(after("15/8")).not.toContain("free");
    expect(after("3")).toContain("the hand is free");
  });

  it("names chords, and what comes after them", () => {
    const { steps, crossings } = fingerPassage([at(0, "E4"), at(1, "F4 A4"), at(2, "C4"), at(3, "D4")], {
      ...RIGHT,
      explain: true,
    });
    expect(steps?.map(({ sentence }) => sentence.split(":")[0])).toEqual([
      expect.stringContaining("start"),
      "together",
      expect.stringContaining("with it"),
      expect.stringContaining("after it"),
      expect.stringContaining("on D"),
    ]);
    expect(crossings).toEqual([]);
  });

  it("a chord by itself is the chord that fingerChord gives, cost and all", () => {
    const { fingers, cost, costByRule, steps } = fingerPassage([at(0, "Db4 F4 C5")], { ...RIGHT, explain: true });
    const chord = fingerChord(up("Db4 F4 C5"), RIGHT);
    expect(chord.cost).toBeGreaterThan(0);
    expect([fingers, cost]).toEqual([chord.fingers, chord.cost]);
    expect(steps?.map((step) => step.costByRule)).toEqual([costByRule, {}, {}]);
    expect(fingerPassage([at(0, "C4")], RIGHT)).not.toHaveProperty("steps");
  });
});

describe("fingers that are given", () => {
  const written = (names: string, fingers: readonly Finger[], when = 0, rest: Partial<NoteEvent> = {}): NoteEvent =>
    at(when, names, { fingers, ...rest });

  it("a settled finger goes before a written one, and both before a slide's pair", () => {
    const events = [written("C4", [2]), written("D4", [4], 1)];
    expect(fingerPassage(events, { ...RIGHT, keepWritten: true, fixed: { 1: 5 } }).fingers).toEqual([2, 5]);
    const slid = [at(0, "E4", { fingers: [5], graces: [grace("Eb4", "slide", 4)] })];
    expect(fingerPassage(slid, { ...RIGHT, slides: "2-3", keepWritten: true }).fingers).toEqual([4, 5]);
    expect(fingerPassage(slid, { ...RIGHT, slides: "2-3" }).fingers).toEqual([2, 3]);
    expect(fingerPassage(slid, { ...RIGHT, slides: "2-3", fixed: { 0: 1 } }).fingers).toEqual([1, 3]);
    expect(fingerPassage(slid, { ...RIGHT, slides: "2-3", fixed: { 1: 5 } }).fingers).toEqual([2, 5]);
  });

  it("the same inside a chord", () => {
    const events = [at(0, "D4"), written("C4 E4 G4", [1, 2, 4], 1)];
    expect(fingerPassage(events, { ...RIGHT, keepWritten: true }).fingers.slice(1)).toEqual([1, 2, 4]);
    expect(fingerPassage(events, { ...RIGHT, keepWritten: true, fixed: { 3: 5 } }).fingers.slice(1)).toEqual([1, 2, 5]);
    expect(fingerPassage(events, { ...RIGHT, fixed: { 2: 2 } }).fingers.slice(1)).toEqual(
      fingerChord(up("C4 E4 G4"), { ...RIGHT, fixed: { 1: 2 } }).fingers,
    );
    expect(fingerPassage(events, RIGHT).fingers.slice(1)).toEqual([1, 3, 5]);
  });

  it("settled fingers are counted over grace notes and chords", () => {
    const events = [at(0, "E4", { graces: [grace("D#4", "crushed")] }), at(1, "C4 G4"), at(2, "A4")];
    expect(fingerPassage(events, { ...RIGHT, fixed: { 0: 4, 4: 2 } }).fingers).toMatchObject({ 0: 4, 4: 2, length: 5 });
    expect(code(() => fingerPassage(events, { ...RIGHT, fixed: { 5: 1 } }))).toBe("fingering/fixed");
  });

  it("come back on the events, whose other fields stay", () => {
    const events = [
      at(0, "E4", { graces: [grace("D4", "crushed"), grace("D#4", "slide")], velocity: 90 }),
      at(1, "C4 G4", { articulation: "accent" }),
    ];
    const { events: fingered, fingers } = fingerPassage(events, RIGHT);
    expect(fingered).toEqual([
      {
        ...events[0],
        fingers: [fingers[2]],
        graces: [
          { ...grace("D4", "crushed"), finger: fingers[0] },
          { ...grace("D#4", "slide"), finger: fingers[1] },
        ],
      },
      { ...events[1], fingers: [fingers[3], fingers[4]] },
    ]);
    expect(fingered[1]).not.toHaveProperty("graces");
  });
});

describe("grace notes", () => {
  it("common practice, no source: each of several crushed notes has its own finger, and only the last may slide into the main note", () => {
    const { fingers, slides, pitches } = fingerPassage(
      [at(0, "E4", { graces: [grace("D4", "crushed"), grace("Eb4", "slide")] })],
      RIGHT,
    );
    expect(pitches.map(pitchName)).toEqual(["D4", "Eb4", "E4"]);
    expect(fingers[0]).not.toBe(fingers[1]);
    expect(slides).toEqual([
      {
        index: 2,
        from: parsePitch("Eb4"),
        to: parsePitch("E4"),
        fingers: [fingers[1], fingers[1]],
        oneFinger: true,
        possible: true,
      },
    ]);
    const crushed = fingerPassage(
      [at(0, "E4", { graces: [grace("C4", "crushed"), grace("D4", "crushed"), grace("Eb4", "crushed")] })],
      RIGHT,
    );
    expect(new Set(crushed.fingers.slice(-2)).size).toBe(2);
    expect(crushed.slides).toEqual([]);
  });

  it("a slide before a chord goes to its lowest note", () => {
    const { slides, fingers, steps } = fingerPassage([at(0, "E4 G4 C5", { graces: [grace("Eb4", "slide")] })], {
      ...RIGHT,
      explain: true,
    });
    expect(slides).toMatchObject([{ index: 1, from: parsePitch("Eb4"), to: parsePitch("E4") }]);
    expect(fingers.slice(1)).toEqual(fingerChord(up("E4 G4 C5"), RIGHT).fingers);
    expect(steps?.[1]?.sentence).toContain("together");
  });

  it("a slide that the keys refuse is played by two fingers, and the remark names both keys and both fingers", () => {
    const { slides, remarks, costByRule } = fingerPassage(
      [at(0, "C4"), at(1, "F4", { graces: [grace("E4", "slide")] })],
      RIGHT,
    );
    const [slide] = slides;
    expect(slide).toMatchObject({ index: 2, possible: false, oneFinger: false });
    expect(remarks).toMatchObject([{ kind: "two-finger-slide", index: 2 }]);
    for (const fact of ["from E to F", slide?.fingers.join(" ") ?? "none"]) expect(remarks[0]?.message).toContain(fact);
    expect(costByRule).not.toHaveProperty("slides");
    // Asked for two fingers, it is no less a slide that one finger could not play; a possible one has no remark.
    expect(
      fingerPassage([at(0, "F4", { graces: [grace("E4", "slide")] })], { ...RIGHT, slides: "2-3" }).remarks,
    ).toHaveLength(1);
    expect(
      fingerPassage([at(0, "E4", { graces: [grace("Eb4", "slide")] })], { ...RIGHT, slides: "2-3" }).remarks,
    ).toEqual([]);
  });

  it("crushed notes ask for no pair of fingers, slides of one finger neither", () => {
    const pair = (style: GraceNote["style"], slides: LineFingeringOptions["slides"]) =>
      fingerPassage([at(0, "C4"), at(1, "E4", { graces: [grace("Eb4", style)] }), at(2, "F4")], {
        ...RIGHT,
        slides: slides ?? "one-finger",
      }).fingers.slice(1, 3);
    expect(pair("slide", "3-4")).toEqual([3, 4]);
    expect(pair("crushed", "3-4")).toEqual(pair("crushed", "one-finger"));
    expect(pair("slide", "one-finger")[0]).toBe(pair("slide", "one-finger")[1]);
  });

  it("each grace note leads to the next, and the last to the main note", () => {
    const { fingers, slides, costByRule } = fingerPassage(
      [at(0, "E4", { graces: [grace("F4", "crushed"), grace("Eb4", "slide")] })],
      RIGHT,
    );
    expect(slides).toMatchObject([{ index: 2, possible: true, oneFinger: true }]);
    expect(fingers[0]).not.toBe(fingers[1]);
    expect(costByRule.slides ?? 0).toBe(0);
    const two = fingerPassage([at(0, "D4", { graces: [grace("Eb4", "slide"), grace("E4", "slide")] })], RIGHT);
    expect([two.fingers[0] === two.fingers[1], two.slides.length]).toEqual([true, 1]);
  });

  it("two fingers that were asked for are no broken slide, and above a chord's lowest note nothing is asked", () => {
    expect(
      fingerPassage([at(0, "E4", { graces: [grace("Eb4", "slide")] })], { ...RIGHT, slides: "2-3" }).costByRule
        .slides ?? 0,
    ).toBe(0);
    const { fingers } = fingerPassage([at(0, "E4 G4 C5", { graces: [grace("Eb4", "slide")] })], {
      ...RIGHT,
      slides: "2-3",
      size: "large",
    });
    expect([fingers[0], fingers[1]]).toEqual([2, 3]);
    expect(fingers.slice(2)).toEqual([4, 5]);
  });

  it("slides on no scale at all", () => {
    expect(
      fingerPassage([at(0, "C4"), at(1, "E4", { graces: [grace("Eb4", "slide")] })], { ...RIGHT, scale: false }).slides,
    ).toHaveLength(1);
  });

  it("the hand is free before the first grace note, not between grace notes and their main note", () => {
    const { steps } = fingerPassage(
      [at(0, "C4"), at(3, "E4", { graces: [grace("D4", "crushed"), grace("Eb4", "slide")] })],
      { ...RIGHT, explain: true },
    );
    expect(steps?.map(({ sentence }) => sentence.includes("free"))).toEqual([false, true, false, false]);
    expect(steps?.[3]?.sentence).toMatch(/^slide [23] from E♭ to E$/);
  });
});

describe("chords in a line", () => {
  it("a wide one is remarked at its first note", () => {
    const { remarks } = fingerPassage([at(0, "C3"), at(1, "C3 G3 D4")], { hand: "left" });
    expect(remarks).toMatchObject([{ kind: "wide-span", index: 1 }]);
  });

  it("is judged by the size of the hand: what it can't reach is rolled, and told", () => {
    const told = (size: "medium" | "large") =>
      fingerPassage([at(0, "C3 E3 G3 E4")], { hand: "left", size }).remarks.map(({ kind }) => kind);
    expect(told("medium")).toEqual(["out-of-reach"]);
    expect(told("large")).toEqual(["wide-span"]);
  });
});

describe("slides into a named scale", () => {
  const run = (scale: string, words: string, options: Partial<LineFingeringOptions> = {}) => {
    const events = words.split(" ").map((word, i): NoteEvent => {
      const [from, main] = word.includes(">") ? (word.split(">") as [string, string]) : [undefined, word];
      return at(i, main, from === undefined ? {} : { graces: [grace(from, "slide")] });
    });
    return fingerPassage(events, { ...RIGHT, scale, ...options });
  };

  it("common practice, no source: a run that is slid into keeps one pattern over two octaves", () => {
    const { fingers } = run("C major blues", "C4 D4 Eb4>E4 G4 Ab4>A4 C5 D5 Eb5>E5 G5 Ab5>A5");
    expect(fingers.slice(0, 7)).toEqual(fingers.slice(7));
    expect(fingers.slice(0, 7)).toEqual([1, 2, 3, 3, 1, 3, 3]);
  });

  it("a run without slides keeps the plain scale beside one that has them", () => {
    const { fingers, pitches } = run("C major blues", "C4 D4 Eb4>E4 G4 A4 G4 E4 Eb4 D4 C4");
    const { octave, octaveFingers } = fingerScale("C major blues", RIGHT);
    const plain = octaveFingers[octave.findIndex((p) => pitchName(p) === "E4")];
    expect(plain).toBe(1);
    expect([fingers[2], fingers[3]]).toEqual([3, 3]);
    expect(fingers[pitches.findLastIndex((p) => pitchName(p) === "E4")]).toBe(plain);
  });

  it("common practice, no source: a grace note of one run is a note of the scale in another", () => {
    const { fingers } = run("C major blues", "C4 D4 Eb4>E4 G4 E4 Eb4 D4 C4");
    expect(fingers.slice(-4)).toEqual([1, 3, 2, 1]);
  });

  it("law: the slid runs up have no thumb on a black key, where one finger slides and where two play", () => {
    const keys: readonly (readonly [string, string])[] = [
      ["C", "C4 D4 Eb4>E4 G4 Ab4>A4 C5"],
      ["F", "F4 G4 Ab4>A4 C5 Db5>D5 F5"],
      ["G", "G4 A4 Bb4>B4 D5 Eb5>E5 G5"],
      ["D", "D4 E4 F4>F#4 A4 Bb4>B4 D5"],
      ["Bb", "Bb3 C4 Db4>D4 F4 Gb4>G4 Bb4"],
      ["Eb", "Eb4 F4 Gb4>G4 Bb4 B4>C5 Eb5"],
    ];
    for (const [name, words] of keys)
      for (const hand of ["right", "left"] as const) {
        const { fingers, pitches } = run(`${name} major blues`, words, { hand });
        expect(
          pitches.filter((p, i) => fingers[i] === 1 && keyColour(p) === "black").map(pitchName),
          `${name} ${hand}`,
        ).toEqual([]);
      }
  });
});
