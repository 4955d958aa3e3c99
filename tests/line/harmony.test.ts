import { describe, expect, it } from "vitest";
import type { ExerciseRow } from "./library.ts";
import {
  beats,
  checkLine,
  exerciseLine,
  generateLine,
  parseProgression,
  pitch,
  pitchName,
  usualScale,
} from "./library.ts";

/** Every degree over each chord: what a chord's scale is heard through from outside. */
const degrees = {
  id: "degrees",
  title: "Every degree",
  level: 3,
  aim: "Hear each chord's scale.",
  needsChords: true,
  leastOctaves: 2,
  scaleFingers: false,
  source: "a test's own",
  pattern: { over: "chords", degrees: [1, 2, 3, 4, 5, 6, 7] },
} as const satisfies ExerciseRow;

/** By bar, the note names that the exercise plays. */
const heard = (changes: string, scale = "C major"): readonly string[] => {
  const progression = parseProgression(changes, { key: scale.split(" ")[0] + (/minor/.test(scale) ? " minor" : "") });
  const { events } = exerciseLine(degrees, { scale, progression, octaves: 2 });
  return Array.from({ length: progression.bars }, (_, bar) => {
    const here = events.filter((e) => e.at.num / e.at.den >= 4 * bar && e.at.num / e.at.den < 4 * bar + 4);
    return [...new Set(here.flatMap((e) => e.pitches.map((p) => pitchName(p).replace(/-?[0-9]+$/, ""))))]
      .sort()
      .join(" ");
  });
};

// Source of the scales: Nettles, B. & Graf, R. (1997), The Chord Scale Theory and Jazz Harmony; Levine, M. (1995), The Jazz Theory Book.
describe("the scale of each chord, in context", () => {
  it("a dominant that leads to a minor chord has the flat ninth and the flat thirteenth", () => {
    expect(heard("Cmaj7 | A7 | Dm7 | G7")[1]).toBe("A Bb C# D E F G");
    expect(heard("Dm7b5 | G7 | Cm6 | %", "C minor")[1]).toBe("Ab B C D Eb F G");
  });

  it("the ii of an applied dominant is dorian, whatever the key of the whole", () => {
    expect(heard("Cmaj7 | % | F#m7 | B7 | Emaj7 | %")[2]).toBe("A B C# D# E F# G#");
    expect(heard("Cmaj7 | Gm7 | C7 | Fmaj7")[1]).toBe("A Bb C D E F G");
  });

  it("a substitute dominant is lydian dominant, an altered one has no natural ninth or thirteenth", () => {
    expect(heard("Dm7 | Db7 | Cmaj7 | %")[1]).toBe("Ab Bb Cb Db Eb F G");
    expect(heard("Dm7b5 | G7alt | Cm6 | %", "C minor")[1]).not.toMatch(/\bA\b|\bE\b|\bD\b/);
  });

  it("a line's own scale stands over the chords that it has every tone of", () => {
    expect(heard("Cm7 | %", "C dorian")[0]).toBe("A Bb C D Eb F G");
    expect(heard("Cm7 | %", "C minor")[0]).toBe("Ab Bb C D Eb F G");
  });

  it("a dominant seventh on the key note makes a blues only where it is at rest", () => {
    const passing = parseProgression("Cmaj7 | C7 | Fmaj7 | Fm6 | Cmaj7 | Dm7 G7 | Cmaj7 | %", { key: "C" });
    expect(usualScale("C", passing.chords).type).toBe("major");
    expect(usualScale("C", parseProgression("blues", { key: "C" }).chords).type).toBe("mixolydian");
    expect(generateLine(passing, { seed: 3 }).scale.type).toBe("major");
  });

  it("check hears it too: the flat ninth of a dominant that leads to minor belongs, the natural one does not", () => {
    const { chords } = parseProgression("Em7b5 | A7 | Dm7 | %", { key: "C" });
    const line = (name: string) =>
      [
        ["G4", 4, "1/2"],
        [name, "9/2", "1/2"],
        ["C#5", 5, "1/2"],
        [name, "11/2", "5/2"],
      ].map(([note, at, length]) => ({
        at: beats(at as never),
        duration: beats(length as never),
        pitches: [pitch(note as "G4")],
      }));
    const rest = (name: string) =>
      checkLine(line(name), { chords, scale: "C major" }).findings.filter(({ rule }) => rule === "resting-note");
    expect(rest("B4")).toHaveLength(1);
    expect(rest("F4")).toEqual([]);
  });
});
