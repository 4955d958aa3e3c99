import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger } from "../../src/event/index.ts";
import { fingerPassage, fingerThroughKeys } from "../../src/fingering/index.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";

const FINGERS: readonly Finger[] = [1, 2, 3, 4, 5];
const WHITE = [0, 2, 4, 5, 7, 9, 11] as const;
const white = (step: number): number => 12 * Math.floor(step / 7) + (WHITE[((step % 7) + 7) % 7] ?? 0);
const fingersOf = (midi: readonly number[]): string =>
  fingerPassage(
    midi.map((one) => pitchFromMidi(one, "flats")),
    { hand: "right" },
  ).fingers.join("");
const figures = (fingers: string, size: number): readonly string[] =>
  Array.from({ length: fingers.length / size }, (_, i) => fingers.slice(i * size, (i + 1) * size));

// Figures of three to eight notes in steps and small leaps, played three times or four.
const shapes = fc.record({
  start: fc.integer({ min: 0, max: 6 }),
  moves: fc.array(
    fc.integer({ min: -3, max: 3 }).filter((move) => move !== 0),
    { minLength: 2, maxLength: 7 },
  ),
  times: fc.constantFrom(3, 4),
});
const placesOf = ({ start, moves }: { readonly start: number; readonly moves: readonly number[] }) =>
  moves.reduce<readonly number[]>((places, move) => [...places, (places.at(-1) ?? 0) + move], [start]);

/** How many of 200 figures have other fingers at one of their times. */
const departing = (keysOf: (places: readonly number[], time: number) => readonly number[]): number =>
  fc.sample(shapes, { numRuns: 200, seed: 16 }).filter((shape) => {
    const places = placesOf(shape);
    const midi = Array.from({ length: shape.times }, (_, time) => keysOf(places, time)).flat();
    return new Set(figures(fingersOf(midi), places.length)).size > 1;
  }).length;

describe("figures that come back", () => {
  // Issue 16 measured 67 of 200 and 82 of 200 before figures shared their fingers.
  it("literally: hardly one in twenty changes its fingers", () => {
    expect(departing((places) => places.map((place) => 60 + place))).toBeLessThan(10);
  });

  it("step by step on the white keys: hardly one in ten does", () => {
    expect(departing((places, time) => places.map((place) => white(35 + place + time)))).toBeLessThan(20);
  });

  // Without sharing, 182 of 200 did.
  it("up by minor thirds, a rest after each time: hardly one in five changes its fingers", () => {
    const changed = fc.sample(shapes, { numRuns: 200, seed: 16 }).filter((shape) => {
      const places = placesOf(shape);
      const notes = Array.from({ length: shape.times }, (_, time) =>
        places.map((place, i) => ({
          at: beats(`${time * (places.length + 3) + i}/2`),
          duration: beats("1/2"),
          pitches: [pitchFromMidi(60 + place + 3 * time, "flats")],
        })),
      ).flat();
      const fingers = fingerPassage(notes, { hand: "right" }).fingers.join("");
      return new Set(figures(fingers, places.length)).size > 1;
    });
    expect(changed.length).toBeLessThan(40);
  });

  // Common practice: the first exercises of every volume of five-finger studies; the second is the one that issue 16 names.
  it.each([
    [[0, 2, 3, 4, 5, 4, 3, 2], "12345432"],
    [[0, 2, 5, 4, 3, 2, 3, 4], "12543234"],
  ])("a five-finger study keeps its fingers: %j", (figure, fingers) => {
    const midi = [0, 1, 2, 3, 4, 5].flatMap((time) => figure.map((step) => white(35 + step + time)));
    expect(new Set(figures(fingersOf(midi), 8))).toEqual(new Set([fingers]));
  });

  it("says which key forces a departure", () => {
    const { fingers, remarks } = fingerPassage("C4 Eb4 F4 Gb4 G4 Bb4 C5", { hand: "right", sequences: false });
    expect([fingers.length, remarks]).toEqual([7, []]);
    const inC = fingerThroughKeys("C4 Eb4 F4 Gb4 G4 Bb4 C5", { hand: "right" }).keys[0];
    const departures = inC?.remarks.filter(({ kind }) => kind === "departure") ?? [];
    expect(departures.length).toBeGreaterThan(0);
    for (const { message, forcedBy } of departures) {
      expect(message).toMatch(/^G♭ forces [1-5] .*here, [1-5] elsewhere in the sequence$/);
      expect(forcedBy?.semitones).toBe(54);
    }
  });
});

describe("fingerThroughKeys", () => {
  it("law: no other fingers cost less in all keys together", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 58, max: 66 }), { minLength: 2, maxLength: 3 }),
        fc.constantFrom("left" as const, "right" as const),
        (midi, hand) => {
          const notes = midi.map((one) => pitchFromMidi(one, "flats"));
          const { shared, keys } = fingerThroughKeys(notes, { hand, keys: ["C", "Eb", "F#"] });
          const total = (fingers: readonly Finger[]): number =>
            keys.reduce(
              (sum, { pitches }) =>
                sum + fingerPassage(pitches, { hand, fixed: { ...fingers }, scale: false, sequences: false }).cost,
              0,
            );
          const ways = midi.reduce<readonly (readonly Finger[])[]>(
            (list) => list.flatMap((way) => FINGERS.map((finger) => [...way, finger])),
            [[]],
          );
          expect(total(shared)).toBe(Math.min(...ways.map(total)));
        },
      ),
      { numRuns: 15 },
    );
  });

  it("plays each key within a tritone, spelled in it", () => {
    const { keys } = fingerThroughKeys("E4 G4", { hand: "right", key: "C", keys: ["C", "Gb", "G", "B"] });
    expect(keys.map(({ pitches }) => pitches.map(({ semitones }) => semitones))).toEqual([
      [52, 55],
      [58, 61],
      [47, 50],
      [51, 54],
    ]);
    expect(keys[1]?.pitches.map(({ steps }) => steps % 7)).toEqual([6, 1]);
  });

  it.each([
    [{ keys: [] }, "fingering/keys"],
    [{ keys: ["H"] }, "pitch/name"],
    [{ hand: "both" }, "fingering/hand"],
    [{ fixed: { 7: 1 } }, "fingering/fixed"],
  ])("refuses %j", (options, code) => {
    const asked: object = { hand: "right", ...options };
    expect(() => fingerThroughKeys("C4 D4 E4", asked as { hand: "right" })).toThrow(expect.objectContaining({ code }));
  });

  it("needs two notes", () => {
    expect(() => fingerThroughKeys("C4", { hand: "right" })).toThrow(
      expect.objectContaining({ code: "fingering/notes" }),
    );
  });
});
