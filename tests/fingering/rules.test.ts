import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, NoteEvent } from "../../src/event/index.ts";
import type { FingeringRule } from "../../src/fingering/index.ts";
import { fingerChord, fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import { parsePitch, pitchFromMidi } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";

const settled = (fingers: string): Readonly<Record<number, Finger>> =>
  Object.fromEntries([...fingers].map((digit, i) => [i, Number(digit) as Finger]));
const points = (notes: string, fingers: string, rule: string): number =>
  fingerPassage(notes.split(" ").map(parsePitch), {
    hand: "right",
    scale: false,
    weights: { [rule]: 1 },
    fixed: settled(fingers),
  }).costByRule[rule] ?? 0;

describe("our rules one by one", () => {
  // Counted by hand from each rule's title.
  it.each<readonly [string, string, string, number]>([
    ["reach", "C4 D4", "22", 1],
    ["reach", "C4 B4", "12", 1],
    ["reach", "Eb4 E4", "33", 0], // a slide is no leap
    ["reach", "E4 Eb4", "33", 1], // from white to black there is none
    ["thumb-on-white", "Eb4 F4", "12", 1],
    ["thumb-on-white", "E4 F4", "12", 0],
    ["few-turns", "E4 F4 E4", "313", 2],
    ["few-turns", "C4 D4 E4", "123", 0],
    ["near-turn", "E4 F4", "31", 0],
    ["near-turn", "Eb4 F4", "31", 1],
    ["near-turn", "F4 Eb4", "13", 1],
    ["turn-on-five", "G4 A4", "51", 1],
    ["turn-on-five", "A4 G4", "15", 1],
    ["turn-on-five", "G4 A4", "41", 0],
    ["turn-after-turn", "C4 D4 E4", "213", 0],
    ["turn-after-turn", "E4 F4 E4", "313", 1],
    ["turn-after-turn", "F4 E4 F4", "121", 1],
    ["neighbour-fingers", "C4 D4", "13", 1],
    ["neighbour-fingers", "C4 D4", "14", 2],
    ["neighbour-fingers", "C4 Eb4", "13", 0], // a third may pass one over
    ["neighbour-fingers", "E4 F4", "31", 0], // a turn is no position
    ["finger-order", "C4 D4", "32", 1],
    ["finger-order", "C4 D4", "22", 1],
    ["finger-order", "C4 D4", "23", 0],
    ["finger-order", "C4 D4", "31", 0],
    ["compact-group", "C4 Eb4", "12", 1],
    ["compact-group", "C4 D4", "12", 0],
    ["compact-group", "A4 C5", "31", 0],
    ["hand-frame", "E4 G4 C5", "123", 1], // a sixth, all white
    ["hand-frame", "E4 G4 C5", "124", 0],
    ["hand-frame", "G4 C5 Eb5", "124", 1], // the same sixth to a black key, over a third
    ["hand-frame", "G4 C5 Eb5", "123", 0],
    ["hand-frame", "C4 E4 G4", "124", 1],
    ["hand-frame", "D4 F4 Bb4", "123", 1], // a fourth from the 2nd finger
    ["hand-frame", "Bb4 F4 D4", "321", 1],
    ["hand-frame", "C4 E4 C4", "121", 0],
    ["hand-frame", "E4 C5 G4", "123", 0], // no run in one direction
    ["hand-frame", "C5 E4 A4", "123", 0],
    ["hand-frame", "A4 E4 C5", "321", 0],
    ["hand-frame", "E4 A4 C4", "321", 0],
    ["hand-frame", "E4 E4 A4", "123", 0],
    ["hand-frame", "C4 A4 A4", "123", 0],
    ["hand-frame", "A4 E4 E4", "321", 0],
    ["hand-frame", "A4 A4 C4", "321", 0],
    ["hand-frame", "C4 E4 A4", "143", 0], // not over the 2nd finger
    ["hand-frame", "C4 E4 A4", "223", 0], // not from the thumb
    ["black-group", "C#4 D#4", "23", 0],
    ["black-group", "D#4 C#4", "43", 1],
    ["black-group", "Bb3 C#4", "34", 0], // not a tone apart
    ["four-on-white", "A4 B4", "34", 1],
    ["four-on-white", "A4 Bb4", "34", 0],
    ["between-blacks", "C#4 D4 D#4", "234", 1],
    ["between-blacks", "F#4 G#4 A#4", "234", 0], // whole tones squeeze nothing
    ["three-on-black", "A3 C#4 F4", "123", 0], // white keys that it does not touch
    ["finger-order", "C4 C4", "21", 0], // no other key
    ["few-turns", "C4 D4", "11", 0],
    ["few-turns", "D4 C4", "11", 0],
    ["few-turns", "C4 C4", "12", 0],
    ["few-turns", "C4 C4", "21", 0],
    ["reach", "Eb4 E4", "32", 1], // two fingers crossed are no slide
    ["reach", "E4 F4", "33", 1],
    ["reach", "C4 D4", "12", 0],
    ["reach", "C4 Bb4", "12", 0], // practicable to 10 semitones, and to -5
    ["reach", "C4 G3", "12", 0],
    ["reach", "C4 F#3", "12", 1],
    ["slides", "E4 F4", "33", 0],
    ["repeated-key", "C4 D4", "12", 0],
    ["between-blacks", "C#4 D4 D#4", "312", 0],
    ["between-blacks", "D#4 D4 C#4", "432", 1],
    ["three-on-black", "E4 Eb4 D4", "321", 1],
    ["three-on-black", "C4 C#4 D4", "131", 0],
    ["three-on-black", "C4 C#4 D4", "121", 1],
    ["slides", "Eb4 E4", "33", 16],
    ["slides", "Eb4 E4", "44", 18],
    ["slides", "Eb4 E4", "34", 0],
    // One finger lies relaxed on one key alone.
    ["large-span", "C4 D4", "22", 4],
    ["large-span", "D4 C4", "22", 4],
    ["large-span", "D4 C4", "11", 2],
    ["small-span", "C4 D4", "22", 0],
    ["small-span", "D4 C4", "22", 0],
    ["repeated-key", "C4 C4", "11", 0],
  ])("%s on %s with %s", (rule, notes, fingers, expected) => {
    expect(points(notes, fingers, rule)).toBe(expected);
  });

  it("charges a written slide of the 2nd or 3rd finger nothing at all", () => {
    const events: readonly NoteEvent[] = [
      {
        at: beats(0),
        duration: beats(1),
        pitches: [parsePitch("E4")],
        graces: [{ pitch: parsePitch("Eb4"), style: "slide" }],
      },
    ];
    for (const fingers of ["22", "33"])
      expect(fingerPassage(events, { hand: "right", fixed: settled(fingers) }).costByRule).toEqual(
        fingers === "22" ? { "two-on-white": 17 } : { "three-on-white": 14 },
      );
    // On two fingers it is the rule of slides that charges it, not those of spans.
    expect(fingerPassage(events, { hand: "right", fixed: settled("24") }).costByRule).toMatchObject({
      slides: 6 * 50,
      "weak-finger": 20,
    });
    for (const rule of ["small-span", "large-span", "stretch"])
      for (const fingers of ["24", "25", "42"]) {
        expect(fingerPassage(events, { hand: "right", fixed: settled(fingers) }).costByRule).not.toHaveProperty(rule);
      }
  });

  it("keeps the thumb on the tonic in the set of scales alone", () => {
    const { costByRule } = fingerScale("C major", { hand: "right", direction: "up", fixed: { 0: 2 } });
    expect(costByRule["thumb-on-tonic"]).toBe(50);
    // A scale by itself leaves no pattern, its own being the pattern.
    expect(fingerScale("C major", { hand: "right", weights: { "scale-pattern": 1 } }).costByRule).not.toHaveProperty(
      "scale-pattern",
    );
    expect(
      fingerScale("C major", { hand: "right", direction: "up", without: ["ends-outer-next"] }).costByRule,
    ).not.toHaveProperty("thumb-on-tonic");
  });

  it("charges a written slide of two fingers, and a crushed note of one", () => {
    const slid = (style: "slide" | "crushed", fingers: string): number => {
      const events: readonly NoteEvent[] = [
        {
          at: beats(0),
          duration: beats(1),
          pitches: [parsePitch("E4")],
          graces: [{ pitch: parsePitch("Eb4"), style }],
        },
      ];
      return fingerPassage(events, { hand: "right", fixed: settled(fingers) }).costByRule.slides ?? 0;
    };
    expect([slid("slide", "33"), slid("slide", "44"), slid("slide", "11"), slid("slide", "23")]).toEqual([
      0, 12, 90, 300,
    ]);
    expect([slid("crushed", "23"), slid("crushed", "33")]).toEqual([0, 300]);
  });
});

describe("the ends of a scale", () => {
  it("takes the finger after the last at the outer end: 5 after 4, 3 after 2, and 4 after 3 in scales of seven notes", () => {
    const top = (scale: string) => fingerScale(scale, { hand: "right", direction: "up" }).fingers.slice(-2).join("");
    expect([top("C major"), top("D minor blues"), top("F major")]).toEqual(["45", "23", "34"]);
    const kept = fingerScale("D minor blues", { hand: "right", direction: "up", without: ["ends-outer-next"] });
    expect(kept.fingers.slice(-2)).toEqual([2, 1]);
  });

  it("law: the outer end changes the finger of no note but the thumb's", () => {
    const octaves = fc.tuple(
      fc.integer({ min: 48, max: 59 }),
      fc.uniqueArray(fc.integer({ min: 1, max: 11 }), { minLength: 4, maxLength: 6 }),
    );
    let others = 0;
    for (const [tonic, above] of fc.sample(octaves, { seed: 3, numRuns: 300 })) {
      const notes = [tonic, ...above.map((semitones) => tonic + semitones).sort((a, b) => a - b)].map((midi) =>
        pitchFromMidi(midi, "flats"),
      );
      const { fingers, octaveFingers } = fingerScale(notes, { hand: "right", direction: "up" });
      if (octaveFingers[0] === 1) continue;
      others++;
      expect(fingers.at(-1)).toBe(octaveFingers[0]);
    }
    expect(others).toBeGreaterThan(50);
  });

  it("turns no arpeggio's thumb into a 3rd finger", () => {
    const [notes, hand] = [["C4", "G4"].map(parsePitch), "right"] as const;
    expect(fingerScale(notes, { hand, direction: "up" }).fingers).toEqual([1, 2, 5]);
    expect(fingerScale(notes, { hand, direction: "up", without: ["ends-outer-little"] }).fingers).toEqual([1, 2, 1]);
  });

  it("starts an arpeggio on a black key with 2, and a scale as its octave goes", () => {
    const chord = ["Eb4", "G4", "Bb4"].map(parsePitch);
    expect(fingerScale(chord, { hand: "right", direction: "up" }).fingers[0]).toBe(2);
    expect(fingerScale(chord, { hand: "right", direction: "up", without: ["ends-inner-index"] }).fingers[0]).toBe(4);
    expect(fingerScale("Bb major", { hand: "right", direction: "up" }).fingers[0]).toBe(4);
  });

  it("leaves the first note alone where the thumb is needed on the second", () => {
    const { fingers } = fingerScale("C major", { hand: "right", direction: "up", fixed: { 1: 1 } });
    expect([fingers[0] === 1, fingers[1]]).toEqual([false, 1]);
  });

  it("counts no tonic in a line, even on a named scale", () => {
    const notes = ["C4", "D4", "E4", "C4"].map(parsePitch);
    for (const scale of ["C major", false] as const) {
      expect(
        fingerPassage(notes, { hand: "right", scale, weights: { "thumb-on-tonic": 1 } }).costByRule,
      ).not.toHaveProperty("thumb-on-tonic");
    }
    const slid = notes.map(
      (pitch, i): NoteEvent => ({
        at: beats(i),
        duration: beats(1),
        pitches: [pitch],
        ...(i === 2 ? { graces: [{ pitch: parsePitch("Eb4"), style: "slide" }] } : {}),
      }),
    );
    expect(
      fingerPassage(slid, { hand: "right", scale: "C major", weights: { "thumb-on-tonic": 1 }, fixed: { 0: 2 } })
        .costByRule,
    ).not.toHaveProperty("thumb-on-tonic");
    const octave = ["C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5"].map(parsePitch);
    expect(fingerPassage(octave, { hand: "right", weights: { "thumb-on-tonic": 1 } }).costByRule).not.toHaveProperty(
      "thumb-on-tonic",
    );
  });

  it("starts the chromatic scale with the thumb", () => {
    expect(fingerScale("C chromatic", { hand: "right", direction: "up" }).fingers[0]).toBe(1);
    expect(
      fingerScale("C chromatic", { hand: "right", direction: "up", without: ["ends-inner-thumb"] }).fingers[0],
    ).toBe(2);
  });
});

describe("a rule of one's own", () => {
  // Keeps the 4th finger off white keys.
  const noFour: FingeringRule = {
    id: "no-four-on-white",
    title: "One point for the 4th finger on a white key.",
    source: "a teacher",
    reads: "note",
    points: ({ finger, black }) => (finger === 4 && !black ? 1 : 0),
  };
  const line = "C4 D4 E4 F4 G4 A4 B4 C5 B4 G4 E4 C4";

  it("joins a set, is weighed, reported and left out like those that ship", () => {
    const own = { rule: noFour, weight: 500 };
    const found = fingerPassage(line, { hand: "right", scale: false, also: [own] });
    expect(found.fingers).not.toContain(4);
    expect(fingerPassage(line, { hand: "right", scale: false }).fingers).toContain(4);
    const fixed = { 3: 4 } as const;
    const paid = fingerPassage(line, { hand: "right", scale: false, also: [own], fixed });
    expect(paid.costByRule[noFour.id]).toBe(500);
    const without = fingerPassage(line, { hand: "right", scale: false, also: [own], without: [noFour.id] });
    expect(without.fingers).toEqual(fingerPassage(line, { hand: "right", scale: false }).fingers);
    const lighter = { hand: "right", also: [own], weights: { [noFour.id]: 7 }, fixed: { 0: 4 } } as const;
    expect(fingerPassage("C4", lighter).costByRule[noFour.id]).toBe(7);
  });

  it("stands in a set of one's own, beside rules that ship, by name or as rows", () => {
    const set = {
      id: "mine",
      title: "mine",
      source: "a teacher",
      rules: [
        { rule: noFour, weight: 3 },
        { rule: "stretch", weight: 1 },
      ],
    } as const;
    const { costByRule } = fingerPassage("C4 D4", { hand: "right", rules: set, fixed: { 1: 4 } });
    expect(costByRule).toEqual({ "no-four-on-white": 3 });
  });

  it("is refused where it is no rule, or charges what is no whole number of points", () => {
    const also = (rule: object) => () =>
      fingerPassage("C4", { hand: "right", also: [{ rule: rule as FingeringRule, weight: 1 }] });
    expect(also({ ...noFour, id: "No Four" })).toThrow("fingering/rule");
    expect(also({ ...noFour, points: 3 })).toThrow("fingering/rule");
    for (const points of [-1, 0.5, Number.NaN, 1e7, "1"])
      expect(also({ ...noFour, points: () => points })).toThrow("fingering/rule");
  });
});

describe("the natural call", () => {
  it("reads names where notes or a scale are meant", () => {
    expect(fingerScale("C major").fingers.join("")).toBe("123123454321321".slice(0, 15));
    expect(fingerPassage("C4, D4, E4", { hand: "right" }).fingers).toEqual([1, 2, 3]);
    expect(fingerChord("C4 E4 G4", { hand: "right" }).fingers).toEqual([1, 3, 5]);
  });

  it("takes undefined for an option that is left to the default, and refuses options that are none", () => {
    const open = { hand: "right", size: undefined, fixed: undefined, rules: undefined, loop: undefined } as const;
    expect(fingerPassage("C4 D4 E4", open)).toEqual(fingerPassage("C4 D4 E4", { hand: "right" }));
    expect(() => fingerPassage("C4", { hand: "right", finger: 1 } as { hand: "right" })).toThrow("fingering/argument");
  });
});
