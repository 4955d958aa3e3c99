import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Beats, Line, Pitch } from "./library.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsToNumber,
  compareBeats,
  exerciseCatalogue,
  exerciseLine,
  metre,
  midiNumber,
  multiplyBeats,
  notate,
  parseProgression,
  pitchName,
} from "./library.ts";
import { runs } from "./runs.ts";

const keys = ["C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "F#", "B", "E", "A", "D", "G"];
const inputs = fc.record({
  id: fc.constantFrom(...exerciseCatalogue.map((row) => row.id)),
  key: fc.constantFrom(...keys),
  type: fc.constantFrom(
    "major blues",
    "minor blues",
    "major",
    "dorian",
    "harmonic minor",
    "major pentatonic",
    "diminished",
    "whole tone",
  ),
  octaves: fc.constantFrom(1 as const, 2 as const, 3 as const),
  values: fc.constantFrom("eighths" as const, "triplets" as const, "mixed" as const),
  direction: fc.constantFrom("up" as const, "down" as const),
  changes: fc.constantFrom("turnaround", "blues", "I | IV V | I", "I", "ii V | I", "I vi ii V | %"),
  m: fc.constantFrom("4/4" as const, "3/4" as const, "6/8" as const, "12/8" as const, "5/4" as const),
});

type Input = typeof inputs extends fc.Arbitrary<infer T> ? T : never;
const octavesOf = ({ id, octaves }: Input): 1 | 2 | 3 =>
  exerciseCatalogue.some((row) => row.id === id && row.leastOctaves > octaves) ? 2 : octaves;

const make = (input: Input): { line: Line; bars: number } => {
  const changes = parseProgression(input.changes, { key: input.key, metre: metre(input.m) });
  const octaves = octavesOf(input);
  return {
    line: exerciseLine(input.id, {
      scale: `${input.key} ${input.type}`,
      progression: changes,
      octaves,
      values: input.values,
      direction: input.direction,
    }),
    bars: changes.bars,
  };
};

describe("the catalogue of exercises", () => {
  it("holds at least 15 rows with unique ids, graded 1 to 5, easiest first", () => {
    expect(exerciseCatalogue.length).toBeGreaterThanOrEqual(15);
    expect(new Set(exerciseCatalogue.map((row) => row.id)).size).toBe(exerciseCatalogue.length);
    const grades = exerciseCatalogue.map((row) => row.level);
    expect(grades).toEqual([...grades].sort());
    expect(new Set(grades)).toEqual(new Set([1, 2, 3, 4, 5]));
  });

  it("law: every exercise fills whole turns of the progression, one note at a time, inside its bars, between its tonics, printable, with a finger on every note and grace note", () => {
    fc.assert(
      fc.property(inputs, (input) => {
        const { line, bars } = make(input);
        const octaves = octavesOf(input);
        expect(line.bars % bars).toBe(0);
        expect(line.bars).toBeGreaterThan(0);
        const ends = line.events.map((e) => addBeats(e.at, e.duration));
        expect(line.events.filter((e, i) => compareBeats(e.at, ends[i - 1] ?? beats(0)) < 0)).toEqual([]);
        expect(
          compareBeats(ends.at(-1) as Beats, multiplyBeats(barLength(line.metre), beats(line.bars))),
        ).toBeLessThanOrEqual(0);
        const tones = line.events.map((e) => midiNumber(e.pitches[0] as Pitch));
        const low = Math.min(...tones);
        const high = Math.max(...tones);
        expect(high - low).toBeLessThanOrEqual(12 * octaves);
        expect(low).toBeGreaterThanOrEqual(octaves === 3 ? 48 : 60);
        expect(high).toBeLessThanOrEqual(96);
        expect(line.events.filter((e) => notate(e.at, e.duration, line.metre).length === 0)).toEqual([]);
        expect(
          line.events.filter(
            (e) => e.fingers?.length !== 1 || (e.graces ?? []).some((grace) => grace.finger === undefined),
          ),
        ).toEqual([]);
      }),
      { numRuns: runs(600) },
    );
  });

  it("law: phrases cover every note, in order, and end with a note of a beat or more", () => {
    fc.assert(
      fc.property(
        // Figures that go from chord to chord end where a chord ends, be it half a beat; rhythms end where they end.
        inputs.filter(({ id }) => {
          const row = exerciseCatalogue.find((one) => one.id === id);
          return id !== "rhythm-alone" && id !== "bebop-scales" && typeof row?.pattern === "function";
        }),
        (input) => {
          const { line } = make(input);
          const ends = line.phrases.map((p) => addBeats(p.at, p.duration));
          expect(
            line.phrases.filter((phrase, i) => i > 0 && compareBeats(phrase.at, ends[i - 1] as Beats) < 0),
          ).toEqual([]);
          expect(
            ends.filter((end) => {
              const last = line.events.findLast((e) => compareBeats(e.at, end) < 0);
              return last === undefined || beatsToNumber(last.duration) < 1;
            }),
          ).toEqual([]);
          expect(
            line.events.filter(
              (event) =>
                line.phrases.filter(
                  (p, i) => compareBeats(p.at, event.at) <= 0 && compareBeats(event.at, ends[i] as Beats) < 0,
                ).length !== 1,
            ),
          ).toEqual([]);
        },
      ),
      { numRuns: runs(300) },
    );
  });

  it("law: neighbouring notes of one phrase differ, but for a tone that two neighbouring chords share, and the rhythms on one note", () => {
    fc.assert(
      fc.property(
        inputs.filter(({ id }) => {
          const row = exerciseCatalogue.find((one) => one.id === id);
          return (
            !id.includes("guide-tones") &&
            id !== "rhythm-alone" &&
            typeof row?.pattern === "function" &&
            id !== "bebop-scales"
          );
        }),
        (input) => {
          const { line } = make(input);
          const starts = new Set(line.phrases.map((p) => `${p.at.num}/${p.at.den}`));
          expect(
            line.events.filter((event, i) => {
              const before = line.events[i - 1];
              return (
                before !== undefined &&
                !starts.has(`${event.at.num}/${event.at.den}`) &&
                before.pitches[0]?.semitones === event.pitches[0]?.semitones
              );
            }),
          ).toEqual([]);
        },
      ),
      { numRuns: runs(300) },
    );
  });
});

const first = (line: Line, count: number): string =>
  line.events
    .slice(0, count)
    .map((e) => pitchName(e.pitches[0] as Pitch))
    .join(" ");
const inC = parseProgression("turnaround", { key: "C" });

// Common practice, no source.
describe("figures", () => {
  it("groups of three and of four overlap", () => {
    expect(first(exerciseLine("threes", { scale: "C major" }), 9)).toBe("C4 D4 E4 D4 E4 F4 E4 F4 G4");
    expect(first(exerciseLine("fours", { scale: "C major" }), 8)).toBe("C4 D4 E4 F4 D4 E4 F4 G4");
  });

  it("broken thirds close by step", () => {
    expect(first(exerciseLine("broken-thirds", { scale: "C major" }), 13)).toBe(
      "C4 E4 D4 F4 E4 G4 F4 A4 G4 B4 A4 B4 C5",
    );
  });

  it("turns circle each note", () => {
    expect(first(exerciseLine("turns", { scale: "C major" }), 8)).toBe("E4 D4 C4 D4 F4 E4 D4 E4");
  });

  it("each degree starts a phrase", () => {
    const line = exerciseLine("each-degree", { scale: "C major blues" });
    const starts = line.phrases.map((p) => line.events.find((e) => e.at.num === p.at.num && e.at.den === p.at.den));
    expect(starts.map((e) => pitchName((e as { pitches: readonly Pitch[] }).pitches[0] as Pitch))).toEqual([
      "C4",
      "D4",
      "Eb4",
      "E4",
      "G4",
      "A4",
    ]);
  });

  it("approach notes lead by a semitone into the chord tone on the beat", () => {
    expect(first(exerciseLine("approach-notes", { scale: "C major", progression: inC }), 7)).toBe(
      "C4 D#4 E4 F#4 G4 A#4 B4",
    );
  });

  it("enclosures come from above in the scale and from a semitone below", () => {
    const line = exerciseLine("enclosures", { scale: "C major", progression: inC });
    expect(first(line, 4)).toBe("E4 A4 F#4 G4");
  });

  it("guide tones: each chord enters on its third or seventh", () => {
    for (const key of keys) {
      const changes = parseProgression("ii V | I", { key });
      const line = exerciseLine("guide-tones", { scale: `${key} major`, progression: changes });
      for (const span of changes.chords) {
        const event = line.events.find((e) => compareBeats(e.at, span.at) === 0);
        const tones = span.chord?.tones.filter((t) => /[37]$/.test(t.degree)).map((t) => t.note);
        expect(tones).toContain(pitchName(event?.pitches[0] as Pitch).slice(0, -1));
      }
    }
  });

  it("the silent beat goes through the bar, or stays", () => {
    const silentBeats = (line: Line): readonly number[] =>
      Array.from({ length: line.bars * 4 }, (_, beat) => beat).filter((beat) =>
        line.events.every((e) => beatsToNumber(e.at) >= beat + 1 || beatsToNumber(addBeats(e.at, e.duration)) <= beat),
      );
    expect(silentBeats(exerciseLine("rest-on-a-beat", { scale: "C major blues" }))).toEqual([0, 5, 10, 15]);
    expect(silentBeats(exerciseLine("rest-on-a-beat", { scale: "C major blues", restOn: 3 }))).toEqual([2, 6, 10, 14]);
  });

  it("off the beat: every phrase starts and lands between beats", () => {
    for (const values of ["eighths", "triplets", "mixed"] as const) {
      const line = exerciseLine("off-the-beat", { scale: "G major", values });
      for (const phrase of line.phrases) {
        expect(phrase.at.den).toBeGreaterThan(1);
        const last = line.events.findLast((e) => compareBeats(e.at, addBeats(phrase.at, phrase.duration)) < 0);
        expect(last?.at.den).toBeGreaterThan(1);
      }
    }
  });

  it("octave shifts need two octaves, and chord exercises a progression", () => {
    expect(() => exerciseLine("octave-shifts", { scale: "C major", octaves: 1 })).toThrow(
      expect.objectContaining({ code: "line/octaves" }),
    );
    expect(() => exerciseLine("enclosures", { scale: "C major" })).toThrow(
      expect.objectContaining({ code: "line/chords" }),
    );
  });

  it("rests where the chart has no chord", () => {
    const line = exerciseLine("chord-tones", { scale: "C major", progression: parseProgression("C | N.C.") });
    expect(line.events.every((e) => beatsToNumber(e.at) < 4)).toBe(true);
  });
});
