import { describe, expect, it } from "vitest";
import { chanceOf } from "../../src/ground/chance.ts";
import type { Improvisation, NoteEvent, PlayedNote } from "../all.ts";
import {
  assessImprovisation,
  beatsOf,
  beatsToNumber,
  generateLine,
  makeDrill,
  midiNumber,
  partFeel,
  pitchFromMidi,
  soundingSpan,
} from "../all.ts";

const { score, progression } = makeDrill({ key: "F", left: "rootless", changes: "blues", backing: "none", tempo: 120 });

/** A line over the written left hand, every key spread by 10 ms, the line so many seconds late. */
const heard = (line: readonly NoteEvent[], late = 0): Improvisation => {
  const chance = chanceOf(4, 3);
  const play = (events: readonly NoteEvent[], hand: "right" | "left", by: number): readonly PlayedNote[] =>
    events.flatMap((event) => {
      const { at, duration } = soundingSpan(partFeel(score.feel, hand), event);
      return event.pitches.map((p) => ({
        midi: midiNumber(p),
        onsetSeconds: 1 + beatsToNumber(at) / 2 + by + 0.01 * chance.normal(),
        durationSeconds: (beatsToNumber(duration) / 2) * 0.9,
        velocity: 80,
      }));
    });
  return assessImprovisation(score, [...play(score.left, "left", 0), ...play(line, "right", late)]);
};

const line = generateLine(progression, { seed: 3, level: 2, voicings: score.left }).events;
const eighths = (keys: readonly number[], bar: number, last = 1): readonly NoteEvent[] =>
  keys.map((midi, i) => ({
    at: beatsOf(bar * 8 + i, 2),
    duration: beatsOf(i === keys.length - 1 ? last : 1, 2),
    pitches: [pitchFromMidi(midi, "flats")],
  }));

describe("facts of an improvised line", () => {
  it("late or early as a whole is heard, and the line is written down as it was meant", () => {
    const meant = heard(line);
    expect(meant.lateMs).toBe(0);
    expect(meant.praise).toContain("in time with your left hand");
    for (const [late, id] of [
      [0.09, "late-line"],
      [-0.06, "early-line"],
    ] as const) {
      const other = heard(line, late);
      expect(Math.abs(other.lateMs - 1000 * late)).toBeLessThanOrEqual(10);
      expect(other.say[0]?.id).toBe(id);
      expect(other.praise).not.toContain("in time");
      expect(other.line.map(({ at }) => beatsToNumber(at))).toEqual(meant.line.map(({ at }) => beatsToNumber(at)));
    }
    // What soloists do is no fault.
    expect(heard(line, 0.03).say.map(({ id }) => id)).not.toContain("late-line");
  });

  it("law: keys at random are not praised for telling the chords", () => {
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const chance = chanceOf(seed, 9);
      const keys = () => Array.from({ length: 7 }, () => chance.between(63, 82));
      const random = [0, 1, 3, 4, 6, 7, 9, 10].flatMap((bar) => eighths(keys(), bar));
      expect(heard(random).praise).not.toMatch(/tell the chords|ends well/);
    }
  });

  it("a riff may stay as it is while the chords change; the same figure twice is none", () => {
    for (const figure of [
      [72, 75, 77, 75],
      [77, 77, 75, 72],
      [72, 77, 72, 77],
    ]) {
      const riff = heard(Array.from({ length: 12 }, (_, bar) => eighths(figure, bar, 2)).flat());
      expect(riff).toMatchObject({ riff: 12, say: [] });
      expect(riff.praise).toMatch(/^Your figure comes back twelve times/);
      const twice = heard([
        ...eighths(figure, 0, 2),
        ...eighths(figure, 2, 2),
        ...line.filter(({ at }) => beatsToNumber(at) >= 16),
      ]);
      expect(twice).not.toHaveProperty("riff");
    }
  });
});
