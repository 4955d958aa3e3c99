import { describe, expect, it } from "vitest";
import type { Finger, NoteEvent } from "../../src/event/index.ts";
import { fingerPassage } from "../../src/fingering/index.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";
import { beatsOf } from "../../src/time/index.ts";

const eighths = (midi: readonly (number | readonly number[])[]): readonly NoteEvent[] =>
  midi.map((one, i) => ({
    at: beatsOf(i, 2),
    duration: beatsOf(1, 2),
    pitches: [one].flat().map((key) => pitchFromMidi(key, "flats")),
  }));
const strainsOf = (
  midi: readonly (number | readonly number[])[],
  tempo: number,
  fixed: Readonly<Record<number, Finger>> = {},
): readonly string[] =>
  fingerPassage(eighths(midi), { hand: "right", tempo, fixed })
    .remarks.filter(({ kind }) => kind === "strain")
    .map(({ index, message }) => `${index} ${message}`);

// What is told is ours, no source; each case stands beside one that is just not told.
describe("where a line may strain", () => {
  it("tells fingers that are opened as far as they go", () => {
    // Parncutt et al. (1997), Table 1: 1-2 spans ten semitones at most, 2-5 ten.
    expect(strainsOf([60, 70], 60, { 0: 1, 1: 2 })).toEqual([
      expect.stringMatching(/^1 1 to 2 from C to B♭ opens the hand as far as it goes: stop at pain, .*clinician$/),
    ]);
    expect(strainsOf([60, 69], 60, { 0: 1, 1: 2 })).toEqual([]);
  });

  it("tells a fast leap, not a slow one", () => {
    expect(strainsOf([60, 84], 200)).toEqual([expect.stringMatching(/^1 a fast leap of 24 semitones from C to C/)]);
    expect(strainsOf([60, 84], 60)).toEqual([]);
  });

  it("tells a long run at more than nine notes a second", () => {
    const run = [60, 62, 64, 65, 67, 65, 64, 62, 60, 62, 64, 65];
    expect(strainsOf(run, 300)).toEqual([expect.stringMatching(/^0 12 notes at more than 9 a second/)]);
    expect(strainsOf(run.slice(1), 300)).toEqual([]);
    expect(strainsOf(run, 200)).toEqual([]);
  });

  it("tells octaves in a row", () => {
    const octaves = [60, 62, 64, 65].map((low) => [low, low + 12]);
    expect(strainsOf(octaves, 120)).toEqual([expect.stringMatching(/^0 4 octaves or wider in a row, fast/)]);
    expect(strainsOf(octaves.slice(1), 120)).toEqual([]);
    expect(strainsOf(octaves, 60)).toEqual([]);
  });

  it("tells one finger again and again", () => {
    const again = Object.fromEntries([0, 1, 2, 3, 4, 5].map((i): [number, Finger] => [i, 3]));
    expect(strainsOf([60, 60, 60, 60, 60, 60], 130, again)).toEqual([
      expect.stringMatching(/^0 3 again 6 times, fast/),
    ]);
    expect(strainsOf([60, 60, 60, 60, 60, 60], 130)).toEqual([]);
  });

  it("pitches that come in no time are never fast", () => {
    const { remarks } = fingerPassage("C4 C6 C4 C6 C4 C6 C4 C6 C4 C6 C4 C6", { hand: "right" });
    expect(remarks.filter(({ kind }) => kind === "strain")).toEqual([]);
    const fast = fingerPassage("C4 C6 C4 C6", { hand: "right", tempo: 400 });
    expect(fast.remarks.some(({ kind }) => kind === "strain")).toBe(true);
  });
});
