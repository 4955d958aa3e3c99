import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { GraceNote, NoteEvent } from "../../src/event/index.ts";
import type { LineFingeringOptions } from "../../src/fingering/index.ts";
import { fingerPassage } from "../../src/fingering/index.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { interval, keyColour, noteName, parsePitch, pitchFromMidi, transpose } from "../../src/pitch/index.ts";
import { beats, beatsOf } from "../../src/time/index.ts";

const RIGHT = { hand: "right" } as const;

/** "C4 Eb4>E4 r (C3 E3)": eighth notes, a slide with >, a crushed note with *, rests r, chords in brackets joined by +. */
const line = (text: string, value = "1/2"): readonly NoteEvent[] => {
  const length = beats(value);
  return text.split(" ").flatMap((word, i): readonly NoteEvent[] => {
    if (word === "r") return [];
    const [main, grace, style] = word.includes(">")
      ? [word.split(">")[1], word.split(">")[0], "slide" as const]
      : word.includes("*")
        ? [word.split("*")[1], word.split("*")[0], "crushed" as const]
        : [word, undefined, "slide" as const];
    const graces: readonly GraceNote[] | undefined =
      grace === undefined ? undefined : [{ pitch: parsePitch(grace), style }];
    return [
      {
        at: beatsOf(i * length.num, length.den),
        duration: length,
        pitches: main!.split("+").map(parsePitch),
        ...(graces === undefined ? {} : { graces }),
      },
    ];
  });
};
const fingersOf = (text: string, options: LineFingeringOptions = RIGHT, value?: string): string =>
  fingerPassage(line(text, value), options).fingers.join("");

describe("slides and crushed notes", () => {
  it("common practice, no source: in C the slide E♭ to E leads to the thumb on G, A♭ to A to the thumb on C", () => {
    const { fingers, slides } = fingerPassage(line("C4 D4 Eb4>E4 G4 Ab4>A4 C5"), { ...RIGHT, scale: "C major blues" });
    expect(fingers.join("")).toBe("12331331");
    expect(slides.map(({ index, fingers: pair, oneFinger, possible }) => [index, pair, oneFinger, possible])).toEqual([
      [3, [3, 3], true, true],
      [6, [3, 3], true, true],
    ]);
  });

  it("common practice, no source: the same over two octaves, and coming down without slides 3 crosses over the thumb", () => {
    expect(
      fingersOf("C4 D4 Eb4>E4 G4 Ab4>A4 C5 D5 Eb5>E5 G5 Ab5>A5 C6 A5 G5 E5 Eb5 D5 C5", {
        ...RIGHT,
        scale: "C major blues",
      }),
    ).toBe("1233133" + "1233133" + "1" + "321321");
  });

  it("law: in every key one finger slides exactly from a black key to the white one beside it, else two fingers play and a remark says so", () => {
    for (let key = 0; key < 12; key++)
      for (const [from, to] of [
        ["m3", "M3"],
        ["m6", "M6"],
      ] as const) {
        const tonic = pitchFromMidi(60 + key, "flats");
        const [grace, main] = [transpose(tonic, interval(from)), transpose(tonic, interval(to))];
        const { slides, remarks, fingers } = fingerPassage(
          [{ at: beats(0), duration: beats(1), pitches: [main], graces: [{ pitch: grace, style: "slide" }] }],
          RIGHT,
        );
        const possible = keyColour(grace) === "black" && keyColour(main) === "white";
        expect(slides[0]).toMatchObject({ possible, oneFinger: possible });
        expect(fingers[0] === fingers[1]).toBe(possible);
        expect(remarks.map(({ kind: code, index }) => [code, index])).toEqual(
          possible ? [] : [["two-finger-slide", 1]],
        );
      }
  });

  it("slides with the 2nd or 3rd finger", () => {
    for (const text of ["Eb4>E4", "C4 Eb4>E4", "G4 Eb4>E4", "A4 G4 Eb4>E4 G4", "Bb4>B4 G4", "C5 Gb4>G4 C4"]) {
      for (const { fingers } of fingerPassage(line(text), RIGHT).slides) expect([2, 3]).toContain(fingers[0]);
    }
  });

  it("gives the slide to two fingers on request, 2 3 or 3 4, turned round from above", () => {
    const slide = (text: string, slides: "2-3" | "3-4", hand: "left" | "right" = "right") =>
      fingerPassage(line(text), { hand, slides }).slides[0]?.fingers;
    expect([slide("Eb4>E4", "2-3"), slide("Eb4>E4", "3-4")]).toEqual([
      [2, 3],
      [3, 4],
    ]);
    expect([slide("F#4>F4", "2-3"), slide("Eb4>E4", "2-3", "left")]).toEqual([
      [3, 2],
      [3, 2],
    ]);
  });

  it("plays a crushed note with a finger of its own, even where one could slide", () => {
    const { fingers, slides } = fingerPassage(line("C4 Eb4*E4 G4"), RIGHT);
    expect(fingers[1]).not.toBe(fingers[2]);
    expect(slides).toEqual([]);
  });

  it("writes the fingers onto the events, grace notes included", () => {
    const { events } = fingerPassage(line("C4 Eb4>E4 G4"), RIGHT);
    expect(events[1]?.graces?.[0]?.finger).toBe(events[1]?.fingers?.[0]);
    expect(events.map(({ fingers }) => fingers?.length)).toEqual([1, 1, 1]);
  });
});

describe("rests, leaps, repetition and speed", () => {
  it("law: a rest of a beat frees the hand: both sides are fingered as if alone", () => {
    const phrase = fc.array(fc.integer({ min: 55, max: 79 }), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(phrase, phrase, (one, two) => {
        const at = (keys: readonly number[], from: number): readonly NoteEvent[] =>
          keys.map((key, i) => ({
            at: beatsOf(from * 2 + i, 2),
            duration: beats("1/2"),
            pitches: [pitchFromMidi(key, "flats")],
          }));
        const both = fingerPassage([...at(one, 0), ...at(two, one.length + 2)], RIGHT);
        const [a, b] = [fingerPassage(at(one, 0), RIGHT), fingerPassage(at(two, 0), RIGHT)];
        expect(both.fingers).toEqual([...a.fingers, ...b.fingers]);
        expect(both.cost).toBe(a.cost + b.cost);
        expect(both.crossings.some(({ index }) => index === one.length)).toBe(false);
        expect(both.positions.some(({ from }) => from === one.length)).toBe(true);
      }),
    );
  });

  it("does not free the hand at a shorter rest", () => {
    const short = fingerPassage([...line("C4 D4 E4"), ...line("r r r r r r r F4", "1/4")], RIGHT);
    expect(short.positions.every(({ from }) => from !== 3) || short.crossings.some(({ index }) => index === 3)).toBe(
      true,
    );
  });

  it("lands on any key after a leap beyond the hand", () => {
    const { fingers, cost } = fingerPassage(line("C3 C6 C3"), RIGHT);
    expect(fingers).toHaveLength(3);
    expect(cost).toBeGreaterThan(0);
  });

  it("repeats a slow key with one finger and a fast one with changing fingers", () => {
    const same = fingersOf("G4 G4 G4 G4", { ...RIGHT, tempo: 60 });
    expect(new Set(same).size).toBe(1);
    const fast = fingersOf("G4 G4 G4 G4", { ...RIGHT, tempo: 180 }, "1/4");
    expect([...fast].every((finger, i) => i === 0 || finger !== fast[i - 1])).toBe(true);
  });

  it("takes triplets by their time, not by their names", () => {
    const triplets = line("C4 C4 C4", "1/3");
    const fixed = { 0: 1, 1: 1, 2: 1 } as const;
    const charge = (tempo: number) => fingerPassage(triplets, { ...RIGHT, tempo, fixed, sequences: false }).costByRule;
    expect(charge(40)).not.toHaveProperty("repeated-key");
    expect(charge(60)).toHaveProperty("repeated-key");
  });

  it("law: events without rests are fingered as their pitches", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 50, max: 80 }), { minLength: 1, maxLength: 20 }), (keys) => {
        const pitches = keys.map((key) => pitchFromMidi(key, "flats"));
        const events = pitches.map((p, i): NoteEvent => ({ at: beats(i), duration: beats(1), pitches: [p] }));
        const { fingers, cost, costByRule, crossings } = fingerPassage(events, RIGHT);
        expect({ fingers, cost, costByRule, crossings }).toEqual(
          (({ fingers: f, cost: c, costByRule: r, crossings: x }) => ({
            fingers: f,
            cost: c,
            costByRule: r,
            crossings: x,
          }))(fingerPassage(pitches, RIGHT)),
        );
      }),
    );
  });

  it("keeps the fingers that are written when asked", () => {
    const written = line("C4 D4 E4").map((event, i): NoteEvent => ({ ...event, fingers: [([2, 3, 4] as const)[i]!] }));
    expect(fingerPassage(written, { ...RIGHT, keepWritten: true }).fingers).toEqual([2, 3, 4]);
    expect(fingerPassage(written, RIGHT).fingers).not.toEqual([2, 3, 4]);
  });

  it("law: the steps add up to the cost with rests, grace notes and chords", () => {
    const {
      cost,
      costByRule,
      steps = [],
    } = fingerPassage(line("C4 Eb4>E4 r r r C4+E4+A4 B3 Ab4*A4"), { ...RIGHT, explain: true });
    expect(steps.reduce((sum, step) => sum + step.cost, 0)).toBe(cost);
    expect(Object.values(costByRule).reduce((sum, charge) => sum + charge, 0)).toBe(cost);
  });

  it("refuses events out of order, pitches not from low to high, and tempos that are none", () => {
    const [a, b] = line("C4 D4") as [NoteEvent, NoteEvent];
    expect(() => fingerPassage([b, a], RIGHT)).toThrow("fingering/order");
    expect(() => fingerPassage(line("E4+C4"), RIGHT)).toThrow("fingering/order");
    expect(() => fingerPassage([a], { ...RIGHT, tempo: 0 })).toThrow("fingering/tempo");
    expect(() => fingerPassage([a], { ...RIGHT, slides: "4-5" as "3-4" })).toThrow("fingering/slides");
    expect(() => fingerPassage([], RIGHT)).toThrow("fingering/notes");
  });
});

describe("named scales", () => {
  it("law: every note of a line in scale order keeps the scale's finger", () => {
    const pattern = new Map([
      ["C", 1],
      ["D", 2],
      ["Eb", 3],
      ["E", 1],
      ["G", 2],
      ["A", 3],
    ]);
    const text = "C4 D4 Eb4 E4 G4 E4 Eb4 D4 Eb4 E4 G4 A4 C5 A4 G4 A4 C5 D5";
    const { fingers, pitches } = fingerPassage(line(text), { ...RIGHT, scale: "C major blues" });
    pitches.forEach((p: Pitch, i) => expect(fingers[i]).toBe(pattern.get(noteName(p))));
  });
});
