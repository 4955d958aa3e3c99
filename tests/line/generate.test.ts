import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { GeneratedLine, NoteEvent, PhraseRuleRow, Pitch, VocabularyRow } from "./library.ts";
import {
  addBeats,
  alterationOf,
  barLength,
  beats,
  beatsToNumber,
  checkLine,
  compareBeats,
  generateLine,
  isMusicError,
  keyColour,
  metre,
  multiplyBeats,
  notate,
  parseMetre,
  parseProgression,
  phraseRuleCatalogue,
  pitch,
  pitchClassOf,
  pulseLength,
  transposeProgression,
  vocabularyCatalogue,
} from "./library.ts";
import { runs } from "./runs.ts";

const blues = parseProgression("blues", { key: "C" });
const pitchOf = (event: NoteEvent): Pitch => event.pitches[0] as Pitch;

const records = fc.record({
  seed: fc.integer({ min: 0, max: 0xffffffff }),
  level: fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const, 5 as const),
  changes: fc.constantFrom<readonly [string, string]>(
    ["blues", ""],
    ["turnaround", ""],
    ["two-five-one", ""],
    ["minor-blues", " minor"],
    ["minor-turnaround", " minor"],
    ["I | %", ""],
    ["I | % | IV | %", ""],
    ["N.C. | I", ""],
  ),
  key: fc.constantFrom("C", "F", "Bb", "Eb", "Ab", "F#", "B", "E", "A", "D", "G"),
  m: fc.constantFrom("4/4", "3/4", "12/8", "6/8", "5/4", "2/2", "9/8", "3/8", "7/8", "5/16", "9/16", "3/2"),
  type: fc.constantFrom(undefined, "major blues", "minor blues"),
});
type Input = typeof records extends fc.Arbitrary<infer T> ? T : never;
const optionsOf = ({ seed, level, key, type }: Input) => ({
  seed,
  level,
  ...(type === undefined ? {} : { scale: `${key} ${type}` }),
});
const changesOf = ({ changes: [id, mode], key, m }: Input) =>
  parseProgression(id as string, { key: key + mode, metre: parseMetre(m) });

const hasRoom = (input: Input): boolean => {
  const { bars, metre: m } = changesOf(input);
  return bars * beatsToNumber(barLength(m)) >= 4;
};
const inputs = records.filter(hasRoom);

const check = (line: GeneratedLine, chords: ReturnType<typeof parseProgression>["chords"]) =>
  checkLine(line.events, { metre: line.metre, chords, scale: line.scale, phrases: line.phrases }).findings;

describe("generated lines", () => {
  it("law: every must is kept; whole bars, one note at a time, printable, in range, with fingers", () => {
    const [lowest, highest] = [pitch("C4").semitones, pitch("C7").semitones];
    fc.assert(
      fc.property(inputs, (input) => {
        const changes = changesOf(input);
        const line = generateLine(changes, optionsOf(input));
        expect(check(line, changes.chords).filter((f) => f.severity === "must")).toEqual([]);
        expect(line.bars).toBe(changes.bars);
        const ends = line.events.map((e) => addBeats(e.at, e.duration));
        expect(line.events.filter((e, i) => compareBeats(e.at, ends[i - 1] ?? beats(0)) < 0)).toEqual([]);
        expect(
          line.events.filter((e) => notate(e.at, e.duration, line.metre).length === 0 || e.fingers?.length !== 1),
        ).toEqual([]);
        expect(line.events.filter((e) => pitchOf(e).semitones < lowest || pitchOf(e).semitones > highest)).toEqual([]);
        expect(
          compareBeats(ends.at(-1) as ReturnType<typeof beats>, multiplyBeats(barLength(line.metre), beats(line.bars))),
        ).toBeLessThanOrEqual(0);
      }),
      { numRuns: runs(300) },
    );
  });

  it("law: the same seed gives the same line", () => {
    fc.assert(
      fc.property(inputs, (input) => {
        expect(generateLine(changesOf(input), optionsOf(input))).toEqual(
          generateLine(changesOf(input), optionsOf(input)),
        );
      }),
      { numRuns: runs(40) },
    );
  });

  it("law: a clashing note is never held against the voicings that are told", () => {
    const voicings: NoteEvent[] = blues.chords.map((span) => ({
      at: span.at,
      duration: span.duration,
      pitches: [pitch("E4"), pitch("Bb4"), pitch("D5")],
    }));
    for (let seed = 0; seed < runs(60); seed++) {
      const line = generateLine(blues, { seed, voicings });
      const findings = checkLine(line.events, {
        chords: blues.chords,
        scale: line.scale,
        phrases: line.phrases,
        voicings,
      }).findings;
      expect(findings.filter((f) => f.rule === "held-clash")).toEqual([]);
    }
  });

  it("no two of 100 seeds give the same line", () => {
    const lines = Array.from({ length: runs(100) }, (_, seed) => JSON.stringify(generateLine(blues, { seed }).events));
    expect(new Set(lines).size).toBe(runs(100));
  });

  it("phrases mostly start elsewhere than on beat 1", () => {
    let [onOne, all] = [0, 0];
    for (let seed = 0; seed < runs(200); seed++) {
      const { phrases, metre: m } = generateLine(blues, { seed, level: ((seed % 5) + 1) as 1 });
      const bar = beatsToNumber(barLength(m));
      onOne += phrases.filter((p) => beatsToNumber(p.at) % bar === 0).length;
      all += phrases.length;
    }
    expect(onOne / all).toBeLessThan(0.3);
  });

  it("motifs come back: a phrase that takes up another has its rhythm, bars later, and mostly its intervals", () => {
    let told = 0;
    let kept = 0;
    let returns = 0;
    for (let seed = 0; seed < runs(100); seed++) {
      const line = generateLine(blues, { seed });
      const parts = line.phrases.map((p) =>
        line.events.filter((e) => compareBeats(e.at, p.at) >= 0 && compareBeats(e.at, addBeats(p.at, p.duration)) < 0),
      );
      expect(line.form).toHaveLength(line.phrases.length);
      expect(line.form[0]).toMatchObject({ motif: "A", role: "statement" });
      line.form.forEach(({ motif, role }, i) => {
        if (role === "statement") return;
        returns += 1;
        const earlier = parts.filter((_, k) => k < i && line.form[k]?.motif === motif);
        const here = parts[i] as readonly NoteEvent[];
        // Of a long phrase, or of one that is cut short, the head comes back.
        const alike = Math.min(role === "variation" ? 2 : 3, here.length);
        const head = (part: readonly NoteEvent[]): readonly NoteEvent[] => part.slice(0, alike);
        const rhythm = (part: readonly NoteEvent[]): string =>
          head(part)
            .map((e) => (beatsToNumber(e.at) - beatsToNumber((part[0] as NoteEvent).at)).toFixed(3))
            .join(" ");
        expect(earlier.map(rhythm)).toContain(rhythm(here));
        if (role !== "return") return;
        const steps = (part: readonly NoteEvent[]): readonly number[] =>
          part.slice(1, 6).map((e, k) => pitchOf(e).semitones - pitchOf(part[k] as NoteEvent).semitones);
        const models = earlier.filter((part) => rhythm(part) === rhythm(here)).map(steps);
        told += steps(here).length;
        kept += Math.max(...models.map((other) => steps(here).filter((step, k) => step === other[k]).length));
      });
    }
    expect(returns).toBeGreaterThan(runs(100) / 2);
    expect(kept / told).toBeGreaterThan(0.6);
  });

  it("triplets come from level 3 on, and slides go from black to white", () => {
    const dens = (grade: 2 | 3): ReadonlySet<number> =>
      new Set(
        Array.from({ length: runs(30) }, (_, seed) =>
          generateLine(blues, { seed, level: grade }).events.map((e) => e.at.den),
        ).flat(),
      );
    expect(dens(2)).toEqual(new Set([1, 2]));
    expect([...dens(3)]).toEqual(expect.arrayContaining([1, 2, 3]));
    const graces = Array.from({ length: runs(30) }, (_, seed) => generateLine(blues, { seed }).events)
      .flat()
      .filter((e) => e.graces !== undefined);
    expect(graces.length).toBeGreaterThan(runs(10));
    for (const event of graces) {
      expect(keyColour(event.graces?.[0]?.pitch as Pitch)).toBe("black");
      expect(keyColour(pitchOf(event))).toBe("white");
    }
  });

  it("one value only, when asked", () => {
    const dens = (values: "eighths" | "triplets"): ReadonlySet<number> =>
      new Set(
        Array.from({ length: runs(20) }, (_, seed) =>
          generateLine(blues, { seed, values, level: 5 }).events.map((e) => e.duration.den),
        ).flat(),
      );
    expect(dens("eighths")).toEqual(new Set([1, 2]));
    expect(dens("triplets").has(3)).toBe(true);
    expect(dens("triplets").has(4)).toBe(false);
  });

  it("chord tones keep their letters in any key", () => {
    const changes = transposeProgression(blues, "Gb");
    const line = generateLine(changes, { seed: 3, level: 1, idiom: "melodic" });
    const names = new Set([
      ...changes.chords.flatMap((s) => s.chord?.tones.map((t) => t.note) ?? []),
      ...line.scale.notes,
    ]);
    const spelled = (p: Pitch): string => `${p.steps % 7} ${p.semitones % 12}`;
    const known = new Set([...names].map((name) => spelled(parsePitchIn(name))));
    for (const event of line.events) expect(known.has(spelled(pitchOf(event)))).toBe(true);
  });

  it("law: over a dominant a major seventh only leads by semitones between beats, from level 4 on, and is never held", () => {
    fc.assert(
      fc.property(inputs, (input) => {
        const changes = changesOf(input);
        const line = generateLine(changes, optionsOf(input));
        line.events.forEach((event, i) => {
          const chord = changes.chords.find(
            (s) => compareBeats(s.at, event.at) <= 0 && compareBeats(event.at, addBeats(s.at, s.duration)) < 0,
          )?.chord;
          const degrees: readonly string[] = chord?.tones.map((tone) => tone.degree) ?? [];
          if (chord === undefined || !degrees.includes("3") || !degrees.includes("b7")) return;
          if ((pitchOf(event).semitones - pitchClassOf(chord.root) + 120) % 12 !== 11) return;
          expect(input.level).toBeGreaterThanOrEqual(4);
          const next = line.events[i + 1];
          expect(next && Math.abs(pitchOf(next).semitones - pitchOf(event).semitones)).toBe(1);
          expect(beatsToNumber(event.duration)).toBeLessThan(beatsToNumber(pulseLength(changes.metre)));
          expect(beatsToNumber(event.at) % beatsToNumber(pulseLength(changes.metre))).toBeGreaterThan(0);
        });
      }),
      { numRuns: runs(60) },
    );
  });

  it("law: twelve keys share form and rhythm", () => {
    fc.assert(
      fc.property(inputs, (input) => {
        const key: Input["key"] = input.key === "C" ? "Ab" : "C";
        const [one, other] = [input, { ...input, key }].map((each) =>
          generateLine(changesOf(each), optionsOf(each)),
        ) as [GeneratedLine, GeneratedLine];
        const rhythm = ({ events }: GeneratedLine) => events.map((e) => [e.at, e.duration]);
        expect(rhythm(other)).toEqual(rhythm(one));
        expect(other.form).toEqual(one.form);
      }),
      { numRuns: runs(60) },
    );
  });

  it("the faster the tempo, the fewer notes a beat: never more than 16 a second from one to the next, 12.5 below the fifth level and over a beat", () => {
    for (const level of [1, 2, 3, 4, 5] as const)
      for (const tempo of [60, 120, 200, 300, 360]) {
        for (let seed = 0; seed < runs(20); seed++) {
          const { events } = generateLine(blues, { seed, level, tempo });
          const gaps = events
            .slice(1)
            .map((e, i) => ((beatsToNumber(e.at) - beatsToNumber((events[i] as NoteEvent).at)) * 60) / tempo);
          expect(Math.min(...gaps)).toBeGreaterThanOrEqual(1 / (level === 5 ? 16 : 12.5) - 1e-9);
          const beats = new Map<number, number>();
          for (const { at } of events) {
            const beat = Math.floor(beatsToNumber(at));
            beats.set(beat, (beats.get(beat) ?? 0) + 1);
          }
          const most = Math.max(...beats.values());
          expect(most === 1 ? 0 : (most * tempo) / 60).toBeLessThanOrEqual(12.5 + 1e-9);
        }
      }
    const notes = (tempo: number): number =>
      Array.from(
        { length: runs(40) },
        (_, seed) => generateLine(blues, { seed, level: 5, tempo }).events.length,
      ).reduce((a, b) => a + b, 0);
    expect(notes(60)).toBeGreaterThan(1.5 * notes(300));
  });

  it("every level has more notes than the one before at a slow tempo, in a wider range", () => {
    const of = (level: 1 | 2 | 3 | 4 | 5): readonly GeneratedLine[] =>
      Array.from({ length: runs(60) }, (_, seed) => generateLine(blues, { seed, level, tempo: 90 }));
    const mean = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0) / numbers.length;
    const spans = ([1, 3, 5] as const).map((level) =>
      mean(
        of(level).map(({ events }) => {
          const heights = events.map((e) => pitchOf(e).semitones);
          return Math.max(...heights) - Math.min(...heights);
        }),
      ),
    );
    const counts = ([1, 3, 5] as const).map((level) => mean(of(level).map(({ events }) => events.length)));
    expect(spans).toEqual([...spans].sort((a, b) => a - b));
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
  });

  it("the idiom of the blues takes its notes from the blues scales; level 1 keeps to them and the chords", () => {
    for (let seed = 0; seed < runs(40); seed++) {
      const line = generateLine(blues, { seed, level: 1, idiom: "blues" });
      expect(new Set(line.form.map(({ idiom }) => idiom))).toEqual(new Set(["blues"]));
      const blueNotes = ["C", "D", "Eb", "E", "F", "Gb", "G", "A", "Bb"].map(
        (name) => parsePitchIn(name).semitones % 12,
      );
      for (const event of line.events) {
        const chord = blues.chords.find(
          (s) => compareBeats(s.at, event.at) <= 0 && compareBeats(event.at, addBeats(s.at, s.duration)) < 0,
        )?.chord;
        const tones = chord?.tones.map((tone) => pitchClassOf(tone.note)) ?? [];
        expect([...blueNotes, ...tones]).toContain(pitchOf(event).semitones % 12);
      }
    }
  });

  it("figures of the vocabulary stand where they are said to", () => {
    let found = 0;
    for (let seed = 0; seed < runs(60); seed++) {
      const line = generateLine(blues, { seed, level: 3 });
      for (const { id, event } of line.figures) {
        const row = vocabularyCatalogue.find((one) => one.id === id);
        const tones = row?.tones ?? [];
        const played = line.events.slice(event, event + tones.length).map((e) => pitchOf(e).semitones);
        expect(played.map((p) => p - (played[0] ?? 0))).toEqual(tones.map((t) => t - (tones[0] ?? 0)));
        found += 1;
      }
    }
    expect(found).toBeGreaterThan(runs(20));
  });

  it("a figure and a rule of one's own are taken up", () => {
    const fall: VocabularyRow = {
      id: "octave-fall",
      title: "An octave down",
      over: ["dominant"],
      tones: [0, 12, 0],
      starts: "on",
      values: "eighths",
      idioms: ["blues", "melodic", "bebop"],
      level: 1,
      source: "ours",
    };
    const seeds = Array.from({ length: 60 }, (_, seed) => generateLine(blues, { seed, level: 5, vocabulary: [fall] }));
    expect(seeds.flatMap(({ figures }) => figures).map(({ id }) => id)).toContain("octave-fall");
    const noE: PhraseRuleRow = {
      id: "no-e",
      title: "No E.",
      severity: "must",
      source: "ours",
      check: () => [],
      keep: () => (midi) => midi % 12 !== 4,
      lead: () => (midi, next) => midi !== next,
    };
    for (let seed = 0; seed < runs(20); seed++) {
      const line = generateLine(parseProgression("C | F | Dm | F"), { seed, rules: [noE] });
      const heights = line.events.map((e) => pitchOf(e).semitones);
      expect(heights.map((p) => p % 12)).not.toContain(4);
    }
  });

  it("the likeliest pitches are the same for the same rhythm", () => {
    const chart = parseProgression("C7 | %");
    const line = generateLine(chart, { seed: 2, level: 2, pitches: "likeliest" });
    expect(generateLine(chart, { seed: 2, level: 2, pitches: "likeliest" })).toEqual(line);
    expect(line.events.map((e) => e.at)).toEqual(generateLine(chart, { seed: 2, level: 2 }).events.map((e) => e.at));
  });

  it("chromatic notes are spelled by where they lead: no double signs, no white key under a black key's name, a letter away", () => {
    let told = 0;
    for (let seed = 0; seed < runs(60); seed++) {
      const line = generateLine(blues, { seed, level: 4, idiom: "bebop" });
      const known = line.events.map((event) => {
        const chord = blues.chords.find(
          (s) => compareBeats(s.at, event.at) <= 0 && compareBeats(event.at, addBeats(s.at, s.duration)) < 0,
        )?.chord;
        return [...line.scale.notes, ...(chord?.tones.map((t) => t.note) ?? [])].some(
          (name) => parsePitchIn(name).semitones % 12 === pitchOf(event).semitones % 12,
        );
      });
      line.events.forEach((event, i) => {
        const next = line.events[i + 1];
        const p = pitchOf(event);
        const inPhrase = line.phrases.every(({ at }) => next === undefined || compareBeats(at, next.at) !== 0);
        if (known[i] === true || next === undefined || known[i + 1] !== true || !inPhrase) return;
        if (Math.abs(pitchOf(next).semitones - p.semitones) !== 1) return;
        told += 1;
        expect(Math.abs(alterationOf(p))).toBe(keyColour(p) === "white" ? 0 : 1);
        // B falls to B flat under its own letter, since C flat is not read at sight.
        expect(Math.abs(pitchOf(next).steps - p.steps) === 1 || keyColour(p) === "white").toBe(true);
      });
    }
    expect(told).toBeGreaterThan(runs(50));
  });

  it("names the rules that conflict when no line is left", () => {
    const chart = parseProgression("C | %", { key: "C" });
    const only = pitch("F5");
    const conflict = (): unknown => generateLine(chart, { lowest: only, highest: only, level: 4 });
    expect(conflict).toThrow(expect.objectContaining({ code: "line/conflict", reason: "cannot-be-done" }));
    const named = phraseRuleCatalogue
      .map((r) => r.id)
      .filter((id) => {
        try {
          return conflict() === undefined;
        } catch (error) {
          return isMusicError(error) && error.message.includes(id);
        }
      });
    expect(named).toEqual(["range", "held-avoid"]);
  });

  it.each([
    ["line/seed", { seed: -1 }],
    ["line/seed", { seed: 0.5 }],
    ["line/level", { level: 6 as 5 }],
    ["line/range", { lowest: pitch("C5"), highest: pitch("C4") }],
    ["scale/type", { scale: "C blue" }],
  ] as const)("refuses with %s", (code, options) => {
    expect(() => generateLine(blues, options)).toThrow(expect.objectContaining({ code }));
  });

  it("needs a key or a scale, and room", () => {
    expect(() => generateLine({ bars: 2, metre: metre("4/4") })).toThrow(
      expect.objectContaining({ code: "line/scale" }),
    );
    expect(generateLine({ bars: 2, metre: metre("4/4") }, { scale: "C major blues" }).bars).toBe(2);
    for (let seed = 0; seed < runs(50); seed++) {
      const end = generateLine({ bars: 1, metre: metre("4/4") }, { scale: "C major", seed }).events.at(-1) as NoteEvent;
      expect(beatsToNumber(addBeats(end.at, end.duration))).toBeLessThanOrEqual(4);
    }
    expect(() => generateLine({ bars: 1, metre: metre("2/4") }, { scale: "C major" })).toThrow(
      expect.objectContaining({ code: "line/bars" }),
    );
  });
});

const parsePitchIn = (name: string): Pitch => pitch(`${name}4` as "C4");
