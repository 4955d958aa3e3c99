import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { CheckLineOptions, NoteEvent } from "./library.ts";
import {
  beats,
  checkLine,
  exerciseCatalogue,
  exerciseLine,
  formatBeats,
  metre,
  parseProgression,
  phraseRuleCatalogue,
  pitch,
} from "./library.ts";
import { read } from "./read.ts";
import { runs } from "./runs.ts";

const chart = parseProgression("Cmaj7 | Am7 | Dm7 | G7");
const inC: CheckLineOptions = { chords: chart.chords, scale: "C major" };
const check = (events: readonly NoteEvent[], options: CheckLineOptions = inC): string[] =>
  checkLine(events, options).findings.map((f) => `${f.rule} ${f.bar} ${formatBeats(f.beat)}`);

const twoOctaves = ["C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5", "D5", "E5", "F5", "G5", "A5", "B5", "C6"];
const wave = [...twoOctaves, ...twoOctaves.slice(1, -1).toReversed(), ...twoOctaves].slice(0, 37);
const shell: NoteEvent = { at: beats(0), duration: beats(4), pitches: [pitch("E3"), pitch("B3")] };

// Each line is made to break one rule and no other.
const broken: [rule: string, where: string, text: string, options?: CheckLineOptions][] = [
  ["range", "1 2", "D3 1/2, C3 1/2, B2 1/2, C3 1"],
  ["clear-start", "1 1", "F#4 1/2, C5 1/2, B4 1/2, G4 2"],
  ["clear-end", "1 2", "C4 1/2, D4 1/2, E4 1/4"],
  ["resting-note", "1 2", "C4 1/2, E4 1/2, D4 1/2"],
  ["breath", "7 5/2", wave.map((name) => `${name} 3/4`).join(", ")],
  ["phrase-length", "1 1", "C4 1, r 2, E4 1/2, D4 1/2, C4 2"],
  ["blue-third", "1 1", "Eb4 1, E4 1, G4 1, C5 1"],
  ["chromatic-resolves", "1 3/2", "E4 1/2, F#4 1/2, C5 1/2, B4 1/2, G4 2"],
  ["held-clash", "1 1", "C4 3/2, D4 1/2, E4 1, G4 1", { ...inC, voicings: [shell] }],
  ["grace-neighbour", "1 3", "E4 1, D4 1, (G4)C5 1"],
  ["strong-beats", "1 1", "F4 1/2, E4 1/2, D4 1/2, E4 1/2, F4 1/2, F#4 1/2, G4 1"],
  ["leap-recovery", "1 3/2", "C4 1/2, A4 1/2, B4 1/2, C5 1/2, B4 1/2, G4 1"],
  ["leap-size", "1 3/2", "C4 1/2, E5 1/2, D5 1/2, C5 1"],
  ["repeats", "1 5/2", "G4 1/2, G4 1/2, G4 1/2, G4 1/2, E4 1"],
  ["contour", "1 1", "C4 1/2, D4 1/2, C4 1/2, D4 1/2, C4 1/2, D4 1/2, C4 1/2, D4 1/2, C4 1"],
  [
    "contour",
    "2 5/2",
    "C4 1/2, E4 1/2, C4 1/2, E4 1/2, C4 1/2, E4 1/2, D4 1/2, C4 1/2, D4 1/2, C4 1/2, D4 1/2, E4 1/2, C4 1",
  ],
  [
    "motif-answered",
    "2 1",
    "C4 1/2, D4 1/2, E4 1/2, G4 1, r 3/2, A4 1, E4 1/2, G4 1/2, A4 1, r 1, D4 1/3, C4 1/3, A3 1/3, D4 1",
  ],
  ["density", "1 1", "C4 1/8, D4 1/8, E4 1/8, F4 1/8, G4 1"],
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

  it.each(broken)("%s is found at %s, and nothing else", (rule, where, text, options) => {
    expect(check(read(text), options)).toEqual([`${rule} ${where}`]);
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
      }
    }
  });
});

describe("what the rules allow", () => {
  it.each([
    ["a slide into the third on beat 1", "(Eb4)E4 1, D4 1, C4 1"],
    ["the blue third passing off the beat", "C4 1/2, D4 1/2, Eb4 1/2, E4 1/2, G4 1"],
    ["a chromatic way of two notes into a chord tone", "C4 1/2, D#4 1/2, E4 1/2, F#4 1/2, G4 1"],
    ["an enclosure", "C4 1/2, F4 1/2, D#4 1/2, E4 1"],
    ["a leap followed by a step back", "C4 1/2, A4 1/2, G4 1/2, E4 1"],
    ["a short anticipation of the next chord", "C4 1/2, D4 1/2, E4 1/2, G4 1/2, B4 1/2, C5 1/2, B4 1/2, A4 1/2"],
    ["a scale tone held", "C4 1/2, E4 1/2, D4 2"],
  ])("%s", (_, text) => {
    expect(check(read(text))).toEqual([]);
  });

  it("the same short note a beat earlier anticipates nothing", () => {
    expect(check(read("C4 1/2, D4 1/2, E4 1/2, G4 1/2, B4 1/2, A4 1/2"))).toEqual(["resting-note 1 7/2"]);
  });

  it("a tonic held over V when I follows within two beats", () => {
    const voicings: NoteEvent[] = [{ at: beats(12), duration: beats(4), pitches: [pitch("F3"), pitch("B3")] }];
    const early = read("r 12, E4 1, D4 1, C4 2");
    const late = read("r 12, D4 1, C4 3/2, D4 1/2, E4 1");
    expect(check(early, { ...inC, voicings })).toEqual([]);
    expect(check(late, { ...inC, voicings })).toEqual(["held-clash 4 2"]);
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

  it("law: no rule finds anything, whether the phrases are told or found", () => {
    fc.assert(
      fc.property(inputs, ({ id, family, key, scale, changes, octaves, values, direction, m }) => {
        const over = parseProgression(family.changes[changes] as string, { key: key + family.mode, metre: metre(m) });
        const line = exerciseLine(id, {
          scale: `${over.key.tonic} ${family.scales[scale]}`,
          progression: over,
          values,
          direction,
          octaves: id === "octave-shifts" && octaves === 1 ? 2 : octaves,
        });
        const context = { metre: line.metre, chords: over.chords, scale: line.scale };
        expect(checkLine(line.events, { ...context, phrases: line.phrases }).findings).toEqual([]);
        expect(checkLine(line.events, context).findings).toEqual([]);
      }),
      { numRuns: runs(500) },
    );
  });
});
