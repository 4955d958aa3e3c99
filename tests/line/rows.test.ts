import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { ExerciseRow, PhraseRuleRow } from "./library.ts";
import {
  beats,
  checkLine,
  exerciseCatalogue,
  exerciseLine,
  formatForm,
  generateLine,
  isMusicError,
  midiNumber,
  parseProgression,
  pitchName,
} from "./library.ts";

const thirds: ExerciseRow = {
  id: "my-thirds",
  title: "My thirds",
  level: 2,
  aim: "Skip a note.",
  needsChords: false,
  leastOctaves: 1,
  scaleFingers: false,
  source: "common practice, no source",
  pattern: { over: "scale", steps: [0, 2] },
};
const names = (line: ReturnType<typeof exerciseLine>): string =>
  line.events.map((event) => event.pitches.map(pitchName).join("+")).join(" ");

const refused = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (isMusicError(error)) return error.code;
    throw error;
  }
  return "accepted";
};

describe("an exercise of one's own", () => {
  it("as data: thirds through a scale, up and down, the top tonic held", () => {
    expect(names(exerciseLine(thirds, { scale: "C major" }))).toBe(
      "C4 E4 D4 F4 E4 G4 F4 A4 G4 B4 C5 C5 A4 B4 G4 A4 F4 G4 E4 F4 D4 C4",
    );
  });

  it("as data over chords: 1235 of each, the nearest root, and a third where a degree has to be altered", () => {
    const cell: ExerciseRow = { ...thirds, needsChords: true, pattern: { over: "chords", degrees: [1, 2, 3, 5] } };
    expect(names(exerciseLine(cell, { scale: "C major", progression: "Dm7 | G7" }))).toBe(
      "D4 E4 F4 A4 D4 E4 F4 A4 G4 A4 B4 D5 G4 A4 B4",
    );
    // The F a tritone off on either side: the lower lies nearer to the middle of C4 to C5.
    const long: ExerciseRow = {
      ...thirds,
      needsChords: true,
      pattern: { over: "chords", degrees: [3, 7], long: true },
    };
    expect(names(exerciseLine(long, { scale: "C major", progression: "D7 | G7" }))).toBe("F#4 C5 B4 F4");
  });

  it("as a function that drafts phrases", () => {
    const one: ExerciseRow = {
      ...thirds,
      pattern: ({ ladder, grid }) => [
        { bars: 1, notes: ladder.slice(0, 1).map((pitch) => ({ at: 0, duration: grid.bar, pitch })) },
      ],
    };
    const line = exerciseLine(one, { scale: "F major", progression: "turnaround" });
    expect(line.bars % parseProgression("turnaround").bars).toBe(0);
    expect(new Set(line.events.map((event) => event.pitches.map(pitchName).join()))).toEqual(new Set(["F4"]));
  });

  it("is refused with what is wrong", () => {
    const options = { scale: "C major", progression: "blues" } as const;
    const wrong: readonly unknown[] = [
      { ...thirds, id: "No Id" },
      { ...thirds, pattern: { over: "scale", steps: [] } },
      { ...thirds, pattern: { over: "chords", degrees: [1] } },
      { ...thirds, pattern: { over: "scale", steps: [0], every: 2 } },
      { ...thirds, level: 6 },
      { ...thirds, pattern: () => "nothing" },
      { ...thirds, pattern: () => [{ bars: 1, notes: [{ at: 0, duration: 0, pitch: undefined }] }] },
    ];
    for (const row of wrong) expect(refused(() => exerciseLine(row as ExerciseRow, options))).toBe("line/exercise");
  });

  it("law: every figure over scale or chords fills whole turns with a finger on every note, in four octaves at most", () => {
    const figures = fc.oneof(
      fc.record({
        over: fc.constant("scale" as const),
        steps: fc.array(fc.integer({ min: 0, max: 7 }), { minLength: 1, maxLength: 6 }),
        by: fc.integer({ min: 1, max: 4 }),
      }),
      fc.record({
        over: fc.constant("chords" as const),
        degrees: fc.array(fc.integer({ min: 1, max: 13 }), { minLength: 1, maxLength: 6 }),
        long: fc.boolean(),
      }),
    );
    fc.assert(
      fc.property(
        figures,
        fc.constantFrom("C", "Gb", "B"),
        fc.constantFrom("blues", "turnaround"),
        (pattern, key, changes) => {
          const row: ExerciseRow = { ...thirds, pattern, needsChords: pattern.over === "chords" };
          const progression = parseProgression(changes, { key });
          const line = exerciseLine(row, { scale: `${key} major`, progression, octaves: 2 });
          expect(line.bars % progression.bars).toBe(0);
          expect(line.events.length).toBeGreaterThan(0);
          for (const event of line.events) expect(event.fingers).toHaveLength(1);
          const heights = line.events.flatMap((event) => event.pitches.map(midiNumber));
          expect(Math.max(...heights) - Math.min(...heights)).toBeLessThanOrEqual(24 + 24);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe("a rule of phrasing of one's own", () => {
  const noThird: PhraseRuleRow = {
    id: "no-e",
    title: "No E.",
    severity: "must",
    source: "ours",
    check: (line) =>
      line.notes.flatMap((note) =>
        note.sound === 4 ? [{ note, message: "an E", suggestion: "play another note" }] : [],
      ),
  };

  it("is held to, alone or beside those that ship", () => {
    const line = exerciseLine("up-and-down", { scale: "C major" });
    expect(checkLine(line.events, { rules: [noThird] }).findings.map((f) => f.rule)).toEqual(["no-e", "no-e"]);
    expect(checkLine(line.events, { rules: ["one-voice"] }).findings).toEqual([]);
  });

  it("is refused with what is wrong", () => {
    expect(refused(() => checkLine([], { rules: ["one-vioce"] }))).toBe("line/rule");
    expect(refused(() => checkLine([], { rules: [{ ...noThird, check: 3 } as never] }))).toBe("line/rule");
  });
});

describe("the boundary", () => {
  it("takes text where a value can be read from it", () => {
    expect(generateLine("turnaround", { seed: 1 })).toEqual(generateLine(parseProgression("turnaround"), { seed: 1 }));
    expect(names(exerciseLine("up-and-down", { scale: "C major", lowest: "C5" })).startsWith("C5")).toBe(true);
  });

  it("takes undefined for any option", () => {
    expect(generateLine("blues", { seed: undefined, scale: undefined })).toEqual(generateLine("blues"));
    expect(checkLine([], { tempo: undefined, rules: undefined }).findings).toEqual([]);
  });

  it("refuses what is none, and an option that there is not", () => {
    const junk: readonly unknown[] = [null, undefined, 7, "", [], {}, { bars: 4 }, () => 1];
    const calls: readonly ((value: never) => unknown)[] = [
      (value) => generateLine(value),
      (value) => generateLine("blues", { level: value ?? 9 }),
      (value) => generateLine("blues", { scale: value ?? 9 }),
      (value) => generateLine("blues", { voicings: value ?? 9 } as never),
      (value) => exerciseLine(value, { scale: "C major" }),
      (value) => exerciseLine("threes", value),
      (value) => checkLine(value),
      (value) => formatForm(value),
    ];
    for (const call of calls)
      for (const value of junk) {
        const code = refused(() => call(value as never));
        expect(["accepted", "TypeError"].includes(code) && !(Array.isArray(value) || value === undefined)).toBe(false);
      }
    expect(refused(() => generateLine("blues", { sede: 3 } as never))).toBe("line/argument");
    expect(refused(() => generateLine({ ...parseProgression("blues"), bars: 2 ** 53 }))).toBe("line/bars");
    expect(refused(() => checkLine([{ at: beats(0), duration: beats(0), pitches: [] }]))).toBe("line/argument");
  });
});

describe("the catalogue", () => {
  it("law: each row that ships goes through the door as a row", () => {
    for (const row of exerciseCatalogue) {
      const options = { scale: "C major", progression: "blues", octaves: 2 } as const;
      expect(exerciseLine({ ...row }, options)).toEqual(exerciseLine(row.id, options));
    }
  });
});
