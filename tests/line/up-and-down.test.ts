import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Line } from "./library.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  equalBeats,
  exerciseLine,
  formatBeats,
  keyColour,
  metre,
  multiplyBeats,
  pitch,
  pitchName,
} from "./library.ts";
import { runs } from "./runs.ts";

const names = (line: Line, count = Infinity): string =>
  line.events
    .slice(0, count)
    .map((e) => [...(e.graces ?? []).map((g) => `(${pitchName(g.pitch)})`), ...e.pitches.map(pitchName)].join(""))
    .join(" ");
const lengths = (line: Line, count = Infinity): string =>
  line.events
    .slice(0, count)
    .map((e) => formatBeats(e.duration))
    .join(" ");
const four = { bars: 4, metre: metre("4/4") };

// Common practice, no source.
describe("up and down", () => {
  it("eighths: the top tonic lands on beat 4 and is held to the bar line; one way a bar", () => {
    const line = exerciseLine("up-and-down", { scale: "C major blues", progression: four });
    expect(names(line, 14)).toBe("C4 D4 Eb4 E4 G4 A4 C5 C5 A4 G4 E4 Eb4 D4 C4");
    expect(lengths(line, 7)).toBe("1/2 1/2 1/2 1/2 1/2 1/2 1");
    expect(line.bars).toBe(4);
    expect(line.phrases).toHaveLength(4);
  });

  it("triplets: the top tonic lands on beat 3 and is held for two beats", () => {
    const line = exerciseLine("up-and-down", { scale: "C major blues", progression: four, values: "triplets" });
    expect(lengths(line, 7)).toBe("1/3 1/3 1/3 1/3 1/3 1/3 2");
  });

  it("seven notes: the beat that is not full comes first, so that the top lands on a beat", () => {
    expect(lengths(exerciseLine("up-and-down", { scale: "C major", values: "triplets" }), 8)).toBe(
      "1 1/3 1/3 1/3 1/3 1/3 1/3 1",
    );
  });

  it("three octaves in eighths: a longer hold halves the number of bars before the round meets the turnaround again", () => {
    expect(exerciseLine("up-and-down", { scale: "C major blues", octaves: 3 }).bars).toBe(6);
    expect(exerciseLine("up-and-down", { scale: "C major blues", octaves: 3, progression: four }).bars).toBe(8);
  });

  it("sets out downwards on request", () => {
    expect(names(exerciseLine("up-and-down", { scale: "C major blues", direction: "down" }), 3)).toBe("C5 A4 G4");
  });

  it("three octaves start below C4 where they would not end below C7", () => {
    expect(names(exerciseLine("up-and-down", { scale: "Eb major blues", octaves: 3 }), 1)).toBe("Eb3");
    expect(() => exerciseLine("up-and-down", { scale: "Eb major blues", octaves: 3, lowest: pitch("C4") })).toThrow(
      expect.objectContaining({ code: "line/range" }),
    );
  });

  it("an unknown exercise names the nearest", () => {
    expect(() => exerciseLine("up-and-don" as "up-and-down", { scale: "C major blues" })).toThrow(
      /did you mean up-and-down/,
    );
  });
});

describe("slides", () => {
  it("C major blues: E flat slides into E, A flat into A", () => {
    const line = exerciseLine("slides", { scale: "C major blues", progression: four });
    expect(names(line, 12)).toBe("C4 D4 (Eb4)E4 G4 (Ab4)A4 C5 C5 (Ab4)A4 G4 (Eb4)E4 D4 C4");
  });

  it("law: the grace is a semitone below, and slides with one finger exactly from black to white", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"),
        fc.constantFrom("major blues", "minor blues", "major", "dorian"),
        (tonic, type) => {
          const line = exerciseLine("slides", { scale: `${tonic} ${type}`, octaves: 2 });
          const graced = line.events.filter((e) => e.graces !== undefined);
          expect(graced.length).toBeGreaterThan(0);
          for (const event of graced) {
            const [grace] = event.graces as NonNullable<typeof event.graces>;
            const main = event.pitches[0] as ReturnType<typeof pitch>;
            expect(main.semitones - (grace as { pitch: typeof main }).pitch.semitones).toBe(1);
            expect(grace?.style).toBe(
              keyColour((grace as { pitch: typeof main }).pitch) === "black" && keyColour(main) === "white"
                ? "slide"
                : "crushed",
            );
          }
        },
      ),
      { numRuns: runs(100) },
    );
  });
});

describe("up and down, slides", () => {
  it("law: bars are full and whole, phrases end held for at least a beat at a bar line", () => {
    const metres = fc.constantFrom("4/4", "3/4", "6/8", "12/8", "5/4");
    const inputs = fc.record({
      id: fc.constantFrom("up-and-down", "slides"),
      octaves: fc.constantFrom(1, 2, 3),
      values: fc.constantFrom("eighths", "triplets", "mixed"),
      direction: fc.constantFrom("up", "down"),
      type: fc.constantFrom("major blues", "minor blues", "major", "major pentatonic", "diminished"),
      bars: fc.constantFrom(1, 2, 3, 4, 8, 12),
      m: metres,
    });
    fc.assert(
      fc.property(inputs, ({ id, octaves, values, direction, type, bars, m }) => {
        const line = exerciseLine(id as "slides", {
          scale: `F ${type}`,
          octaves: octaves as 1,
          values: values as "mixed",
          direction: direction as "up",
          progression: { bars, metre: metre(m as "4/4") },
        });
        expect(line.bars % bars).toBe(0);
        let end = beats(0);
        for (const event of line.events) {
          expect(equalBeats(event.at, end)).toBe(true);
          end = addBeats(event.at, event.duration);
        }
        expect(end).toEqual(multiplyBeats(barLength(line.metre), beats(line.bars)));
        for (const phrase of line.phrases) {
          const last = line.events.find((e) =>
            equalBeats(addBeats(e.at, e.duration), addBeats(phrase.at, phrase.duration)),
          );
          expect(
            compareBeats((last as { duration: ReturnType<typeof beats> }).duration, beats(1)),
          ).toBeGreaterThanOrEqual(0);
        }
      }),
      { numRuns: runs(100) },
    );
  });
});
