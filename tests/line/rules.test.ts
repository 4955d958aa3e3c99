import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { CheckLineOptions, NoteEvent } from "./library.ts";
import {
  beats,
  beatsOf,
  checkLine,
  exerciseCatalogue,
  exerciseLine,
  formatBeats,
  metre,
  parseProgression,
  phraseRuleCatalogue,
  pitch,
  pitchFromMidi,
} from "./library.ts";
import { read } from "./read.ts";
import { runs } from "./runs.ts";

const chart = parseProgression("Cmaj7 | Am7 | Dm7 | G7");
const inC: CheckLineOptions = { chords: chart.chords, scale: "C major" };
const check = (events: readonly NoteEvent[], options: CheckLineOptions = inC): string[] =>
  checkLine(events, options).findings.map((f) => `${f.rule} ${f.bar} ${formatBeats(f.beat)}`);

const twoOctaves = ["C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5", "D5", "E5", "F5", "G5", "A5", "B5", "C6"];
const wave = [
  ...twoOctaves,
  ...twoOctaves.slice(1, -1).toReversed(),
  ...twoOctaves,
  ...twoOctaves.slice(0, -1).toReversed(),
];
const shell: NoteEvent = { at: beats(0), duration: beats(4), pitches: [pitch("E3"), pitch("B3")] };
const run = (value: string, notes = wave.length): string =>
  wave
    .slice(0, notes)
    .map((name) => `${name} ${value}`)
    .join(", ");

// Each line is made to break the rule, where it is said to.
const broken: [rule: string, where: string, text: string, options?: CheckLineOptions][] = [
  ["range", "1 2", "D3 1/2, C3 1/2, B2 1/2, C3 1", { ...inC, lowest: "C3" }],
  ["speed", "1 1", run("1/9", 20)],
  ["held-avoid", "1 1", "F4 2, E4 1"],
  ["held-avoid", "4 1", "r 12, F#4 4", { ...inC, scale: "G major" }],
  ["held-avoid", "2 1", "r 4, C#5 4"],
  ["held-clash", "1 1", "C4 3/2, D4 1/2, E4 1, G4 1", { ...inC, voicings: [shell] }],
  ["grace-neighbour", "1 3", "E4 1, D4 1, (G4)C5 1"],
  ["resting-note", "1 2", "C4 1/2, E4 1/2, F#4 2", { chords: parseProgression("Fmaj7").chords, scale: "F major" }],
  ["chromatic-resolves", "1 1", "F#4 1/2, C5 1/2, F#4 1/2, C5 1/2, F#4 1/2, C5 1/2, F#4 1/2, C5 1"],
  ["phrase-length", "1 1", run("1/4", 48)],
  ["breath", "1 1", run("1/2", 48)],
  ["density", "1 1", "C4 1/8, D4 1/8, E4 1/8, F4 1/8, G4 1"],
  ["leap-size", "1 3/2", "C4 1/2, F5 1/2, E5 1/2, C5 1"],
  ["leap-recovery", "1 3/2", "C4 1/2, A4 1/2, B4 1/2, C4 1/2, A4 1/2, C5 1"],
  ["repeats", "1 5/2", "G4 1/2, G4 1/2, G4 1/2, G4 1/2, E4 1"],
  ["seesaw", "1 7/2", "C4 1/2, D4 1/2, C4 1/2, D4 1/2, C4 1/2, D4 1/2, G4 1"],
  ["narrow", "1 1", "C4 1/2, D4 1/2, E4 1/2, D4 1/2, C4 1/2, E4 1/2, D4 1/2, E4 1/2, C4 1"],
];

describe("phrase rules", () => {
  it("are at least 12, with unique ids, a title, a severity and a source each", () => {
    expect(phraseRuleCatalogue.length).toBeGreaterThanOrEqual(12);
    expect(new Set(phraseRuleCatalogue.map((rule) => rule.id)).size).toBe(phraseRuleCatalogue.length);
    for (const rule of phraseRuleCatalogue) {
      expect(rule.title).toMatch(/\.$/);
      expect(rule.source).not.toBe("");
    }
  });

  it.each(broken)("%s is found at %s", (rule, where, text, options) => {
    expect(check(read(text), options)).toContain(`${rule} ${where}`);
  });

  it("one-voice is found where notes overlap, and nothing else", () => {
    const [first, ...others] = read("C4 1/2, D4 1/2, E4 1") as [NoteEvent, ...NoteEvent[]];
    expect(check([{ ...first, duration: beats(1) }, ...others])).toEqual(["one-voice 1 3/2"]);
  });

  it("every rule has a line that breaks it", () => {
    expect(new Set(["one-voice", ...broken.map(([rule]) => rule)])).toEqual(
      new Set(phraseRuleCatalogue.map((rule) => rule.id)),
    );
  });

  it("each finding says what to try", () => {
    for (const [, , text, options] of broken) {
      for (const finding of checkLine(read(text), options ?? inC).findings) {
        expect(finding.message).not.toBe("");
        expect(finding.suggestion).not.toBe("");
        const { severity, percentile } = finding;
        // What is rare says how rare; what is wrong does not ask the corpus.
        expect(severity === "must" ? percentile === undefined : (percentile ?? 0) >= 90).toBe(true);
      }
    }
  });

  it("the stranger, the higher the percentile", () => {
    const percentile = (text: string): number =>
      checkLine(read(text), inC).findings.find((f) => f.rule === "repeats")?.percentile ?? 0;
    const six = percentile("G4 1/2, G4 1/2, G4 1/2, G4 1/2, G4 1/2, G4 1/2");
    expect(six).toBeGreaterThan(percentile("G4 1/2, G4 1/2, G4 1/2, G4 1/2"));
    expect(six).toBeLessThanOrEqual(100);
  });

  const lines = fc.record({
    notes: fc.array(
      fc.record({
        midi: fc.integer({ min: 55, max: 90 }),
        length: fc.constantFrom(1, 2, 4, 8),
        rest: fc.constantFrom(0, 0, 0, 4),
      }),
      { minLength: 1, maxLength: 30 },
    ),
    scale: fc.constantFrom("C major", "C major blues", "A minor", "F# major", "C whole tone"),
    tempo: fc.integer({ min: 60, max: 240 }),
  });
  const eventsOf = (notes: readonly { midi: number; length: number; rest: number }[]): readonly NoteEvent[] => {
    let at = 0;
    return notes.map(({ midi, length, rest }) => {
      const event = { at: beatsOf(at, 4), duration: beatsOf(length, 4), pitches: [pitchFromMidi(midi, "flats")] };
      at += length + rest;
      return event;
    });
  };

  it("law: told the scale, or the left hand, it hears no less", () => {
    fc.assert(
      fc.property(lines, ({ notes, scale, tempo }) => {
        const events = eventsOf(notes);
        const { chords } = chart;
        const heard = check(events, { chords, tempo });
        for (const more of [{ scale }, { voicings: [shell] }, { scale, voicings: [shell] }]) {
          const told = checkLine(events, { chords, tempo, ...more }).findings.map((f) => f.rule);
          for (const rule of heard.map((words) => words.split(" ")[0])) expect(told).toContain(rule);
        }
      }),
      { numRuns: runs(300) },
    );
  });

  it("the blue notes of the key belong in the idiom of the blues", () => {
    const blue = "Eb4 1/2, Gb4 1/2, Bb4 1/2, Gb4 1/2, Eb4 1/2, Bb4 1/2, Gb4 1/2, Bb4 2";
    const { chords } = parseProgression("C6 | F6");
    expect(check(read(blue), { chords, scale: "C major" })).toContain("resting-note 1 9/2");
    expect(check(read(blue), { chords, scale: "C major", idiom: "blues" })).not.toContain("resting-note 1 9/2");
  });
});

describe("what the rules allow", () => {
  it.each([
    ["a slide into the third on beat 1", "(Eb4)E4 1, D4 1, C4 1"],
    ["the blue third passing off the beat", "C4 1/2, D4 1/2, Eb4 1/2, E4 1/2, G4 1"],
    ["a chromatic way of two notes into a chord tone", "C4 1/2, D#4 1/2, E4 1/2, F#4 1/2, G4 1"],
    ["an enclosure", "C4 1/2, F4 1/2, D#4 1/2, E4 1"],
    ["a leap followed by a step back", "C4 1/2, A4 1/2, G4 1/2, E4 1"],
    ["the fourth in passing", "E4 1/2, F4 1/2, G4 1"],
    ["a phrase that ends short and off the beat", "C4 1/2, E4 1/2, G4 1/2, E4 1/2"],
    ["a scale tone held", "C4 1/2, E4 1/2, D4 2"],
  ])("%s", (_, text) => {
    expect(check(read(text))).toEqual([]);
  });

  it("a note held into the next chord is heard over that one", () => {
    expect(check(read("r 7/2, C#5 3/2"), { chords: parseProgression("Am7 | A7").chords })).toEqual([]);
    expect(check(read("r 5/2, C#5 3/2"), { chords: parseProgression("Am7 | A7").chords })).toContain(
      "held-avoid 1 7/2",
    );
  });

  it("a tonic held over V when I follows within two beats", () => {
    const voicings: NoteEvent[] = [{ at: beats(12), duration: beats(4), pitches: [pitch("F3"), pitch("B3")] }];
    const early = read("r 12, E4 1, D4 1, C4 2");
    const late = read("r 12, D4 1, C4 3/2, D4 1/2, E4 1");
    expect(check(early, { ...inC, voicings })).not.toContain("held-clash 4 3");
    expect(check(late, { ...inC, voicings })).toContain("held-clash 4 2");
  });

  it("an empty line", () => {
    expect(checkLine([], inC)).toEqual({ kind: "line-report", phrases: [], findings: [] });
  });

  it("says nothing about chords or scale where it knows none", () => {
    expect(check(read("F#4 1/2, C5 1/2, Bb4 1/2, G4 1/2"), {})).toEqual([]);
  });

  it("refuses a tempo that is none", () => {
    expect(() => checkLine([], { tempo: 0 })).toThrow(expect.objectContaining({ code: "line/tempo" }));
  });
});

describe("phrases", () => {
  it("part at a rest of a beat, at two beats without a new note, and after a note held to the bar line", () => {
    const report = checkLine(
      read("C4 1/2, D4 1/2, E4 1, r 1, G4 1/2, E4 1/2, C4 2, D4 1/2, E4 1/2, G4 1, A4 1/2, G4 1/2"),
      inC,
    );
    expect(report.phrases.map((p) => `${p.bar} ${formatBeats(p.beat)} ${p.notes}`)).toEqual([
      "1 1 3",
      "1 4 3",
      "2 3 3",
      "3 1 2",
    ]);
  });

  it("part where they are said to", () => {
    const events = read("C4 1/2, D4 1/2, E4 1/2, G4 1/2");
    const phrases = [
      { at: beats(0), duration: beats(1) },
      { at: beats(1), duration: beats(1) },
    ];
    expect(checkLine(events, { ...inC, phrases }).phrases.map((p) => p.notes)).toEqual([2, 2]);
  });
});

describe("the exercises", () => {
  const major = {
    scales: ["major blues", "major", "major pentatonic"],
    changes: ["turnaround", "blues", "two-five-one"],
    mode: "",
  };
  const minor = {
    scales: ["minor blues", "harmonic minor", "dorian"],
    changes: ["minor-turnaround", "minor-two-five-one", "minor-blues"],
    mode: " minor",
  };
  const inputs = fc.record({
    id: fc.constantFrom(...exerciseCatalogue.map((row) => row.id)),
    family: fc.constantFrom(major, minor),
    key: fc.constantFrom("C", "F", "Bb", "Eb", "Ab", "F#", "B", "E", "A", "D", "G"),
    scale: fc.nat(2),
    changes: fc.nat(2),
    octaves: fc.constantFrom(1 as const, 2 as const, 3 as const),
    values: fc.constantFrom("eighths" as const, "triplets" as const, "mixed" as const),
    direction: fc.constantFrom("up" as const, "down" as const),
    m: fc.constantFrom("4/4" as const, "3/4" as const, "12/8" as const),
  });

  it("law: none breaks a must, whether the phrases are told or found; what keeps to one scale over all chords may hold any note of it", () => {
    fc.assert(
      fc.property(inputs, ({ id, family, key, scale, changes, octaves, values, direction, m }) => {
        const over = parseProgression(family.changes[changes] as string, { key: key + family.mode, metre: metre(m) });
        const line = exerciseLine(id, {
          scale: `${over.key.tonic} ${family.scales[scale]}`,
          progression: over,
          values,
          direction,
          octaves: exerciseCatalogue.some((row) => row.id === id && row.leastOctaves > octaves) ? 2 : octaves,
        });
        const followsChords = exerciseCatalogue.some((row) => row.id === id && row.needsChords);
        const context = { metre: line.metre, chords: over.chords, scale: line.scale };
        const musts = (report: ReturnType<typeof checkLine>) =>
          report.findings.filter((f) => f.severity === "must" && (followsChords || f.rule !== "held-avoid"));
        expect(musts(checkLine(line.events, { ...context, phrases: line.phrases }))).toEqual([]);
        expect(musts(checkLine(line.events, context))).toEqual([]);
      }),
      { numRuns: runs(500) },
    );
  });
});
