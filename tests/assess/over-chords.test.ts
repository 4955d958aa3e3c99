import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { answersOf } from "../../src/assess/improvised/answers.ts";
import { degreeOver, overChords } from "../../src/assess/improvised/over-chords.ts";
import { chanceOf } from "../../src/ground/chance.ts";
import type { FoundPhrase, NoteEvent, PlayedNote, Score } from "../all.ts";
import {
  assessImprovisation,
  beats,
  beatsOf,
  generateLine,
  makeDrill,
  makeScore,
  metre,
  midiNumber,
  parseChord,
  parseKey,
  parsePitch,
  parseProgression,
  pitchFromMidi,
  simulateTake,
} from "../all.ts";

const eighths = (keys: readonly number[], from = 0): readonly NoteEvent[] =>
  keys.map((midi, i) => ({
    at: beatsOf(2 * from + i, 2),
    duration: beatsOf(1, 2),
    pitches: [pitchFromMidi(midi, "flats")],
  }));
const over = (chords: string, line: readonly NoteEvent[]) =>
  overChords(
    line,
    makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 4,
      chords: parseProgression(chords, { key: "C" }).chords,
    }),
  );

describe("what was played over each chord", () => {
  it("degrees are those of the chord, or by their distance from the root", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("C7", "Dm9", "Ebmaj7", "F#m7b5", "G13(b9)", "Bdim7"),
        fc.integer({ min: 36, max: 96 }),
        (symbol, midi) => {
          const chord = parseChord(symbol);
          const own = chord.tones.find(({ note }) => midiNumber(parsePitch(`${note}4`)) % 12 === midi % 12);
          if (own !== undefined) expect(degreeOver(chord, midi)).toBe(own.degree);
          expect(degreeOver(chord, midi)).toBe(degreeOver(chord, midi + 12));
        },
      ),
    );
    expect([60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 71].map((midi) => degreeOver(parseChord("C7"), midi))).toEqual([
      "1",
      "b9",
      "9",
      "#9",
      "3",
      "11",
      "#11",
      "5",
      "b13",
      "13",
      "b7",
      "7",
    ]);
  });

  it("names arpeggios, scales, enclosures and half steps, and what lies outside", () => {
    const [dm, g, c] = over("Dm7 | G7 | Cmaj7 | Cmaj7", [
      ...eighths([62, 65, 69, 72, 71, 69, 67, 65]),
      ...eighths([66, 67, 69, 70, 71], 4),
      ...eighths([65, 62, 64], 8),
    ]);
    expect(dm).toMatchObject({ bar: 1, symbol: "Dm7", figures: ["arpeggio up", "scale down"] });
    expect(dm?.notes.map(({ degree, role }) => `${degree} ${role}`)).toEqual([
      "1 chord",
      "b3 chord",
      "5 chord",
      "b7 chord",
      "13 colour",
      "5 chord",
      "11 colour",
      "b3 chord",
    ]);
    expect(g?.figures).toContain("half step into the 1");
    expect(c).toMatchObject({ bar: 3, figures: ["enclosure of the 3"] });
    expect(over("Cmaj7", eighths([61, 66, 61, 68]))[0]?.notes.map(({ role }) => role)).toEqual([
      "outside",
      "outside",
      "outside",
      "outside",
    ]);
  });

  it("the chart comes round for as long as the line lasts", () => {
    const told = over("Dm7 | G7", [...eighths([62, 65]), ...eighths([62, 65], 8), ...eighths([67, 71], 12)]);
    expect(told.map(({ bar, symbol }) => `${bar} ${symbol}`)).toEqual(["1 Dm7", "3 Dm7", "4 G7"]);
  });
});

describe("call and response", () => {
  const phrase = (from: number, notes: number): FoundPhrase => ({
    at: beats(from),
    duration: beatsOf(notes, 2),
    bar: from / 4 + 1,
    beat: beats(1),
    notes,
  });
  it("law: a figure moved to another place and pitch answers itself wholly; upside down its shape is the opposite", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 60, max: 72 }), { minLength: 3, maxLength: 8 }),
        fc.integer({ min: -7, max: 7 }),
        (keys, by) => {
          const phrases = [phrase(0, keys.length), phrase(8, keys.length)];
          const answer = (second: readonly number[]) =>
            answersOf([...eighths(keys), ...eighths(second, 8)], phrases)[0];
          expect(answer(keys.map((key) => key + by))).toMatchObject({
            call: 0,
            answer: 1,
            rhythm: 1,
            even: true,
            higher: by,
          });
          if (new Set(keys).size > 1) {
            expect(answer(keys.map((key) => key + by))?.shape).toBeCloseTo(1, 2);
            expect(answer(keys.map((key) => 132 - key))?.shape).toBeCloseTo(-1, 2);
          }
        },
      ),
      { numRuns: 50 },
    );
  });
  it("another rhythm is another rhythm", () => {
    const call = eighths([60, 62, 64, 65]);
    const answer = [0, 3, 4, 7].map(
      (at, i): NoteEvent => ({
        at: beatsOf(16 + at, 2),
        duration: beatsOf(1, 2),
        pitches: [pitchFromMidi(60 + 2 * i, "flats")],
      }),
    );
    const [told] = answersOf([...call, ...answer], [phrase(0, 4), { ...phrase(8, 4), duration: beats(4) }]);
    // Of the onsets 0 1 2 3 and 0 3 4 7 two are shared by six.
    expect(told?.rhythm).toBe(0.33);
  });
});

describe("praise of improvised takes", () => {
  const drill = (tempo: number, key: string): Score =>
    makeDrill({ key, left: "rootless", changes: "blues", tempo, backing: "none" }).score;

  it("random chromatic eighths are never praised for belonging, breathing or telling the chords", () => {
    for (let seed = 1; seed <= 25; seed++) {
      const score = drill(120, ["F", "Bb", "C"][seed % 3] ?? "F");
      const chance = chanceOf(seed, 5);
      const right = Array.from({ length: 12 }, (_, bar) =>
        eighths(
          Array.from({ length: 6 }, () => chance.between(62, 82)),
          bar * 4,
        ),
      ).flat();
      const { played } = simulateTake({ ...score, right }, { seed, jitterMs: 8 });
      expect(assessImprovisation(score, played).praise).not.toMatch(
        /belongs|breathes|tell the chords|answers|smoothly/,
      );
    }
  });

  it("a line 90 ms behind the left hand is told so and not praised for its time, at any tempo", () => {
    for (const [tempo, key] of [
      [170, "G"],
      [66, "F"],
      [90, "Bb"],
      [120, "Eb"],
      [140, "C"],
    ] as const) {
      const { score, progression } = makeDrill({ key, left: "rootless", changes: "blues", tempo, backing: "none" });
      const line = generateLine(progression, { seed: 3, level: 2, voicings: score.left });
      const by = (hand: "right" | "left", ms: number): readonly PlayedNote[] =>
        simulateTake(
          { ...score, right: hand === "right" ? line.events : [], left: hand === "left" ? score.left : [] },
          { jitterMs: 6 },
        ).played.map((note) => ({ ...note, hand, onsetSeconds: note.onsetSeconds + ms / 1000 }));
      const late = (ms: number): readonly PlayedNote[] => [...by("left", 500), ...by("right", 500 + ms)];
      const heard = assessImprovisation(score, late(90));
      expect([tempo, heard.say[0]?.id]).toEqual([tempo, "late-line"]);
      expect(heard.praise).not.toMatch(/in time|breathes/);
      expect(assessImprovisation(score, late(0)).say.map(({ id }) => id)).not.toContain("late-line");
    }
  });
});
