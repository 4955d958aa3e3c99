import { describe, expect, it } from "vitest";
import { gridOf } from "../../src/line/grid.ts";
import { chordSlots } from "../../src/line/harmony.ts";
import { buildProblem } from "../../src/line/improvise/build.ts";
import { chanceOf } from "../../src/line/improvise/chance.ts";
import { GRADES } from "../../src/line/improvise/grades.ts";
import type { Grade } from "../../src/line/improvise/grades.ts";
import { planLine } from "../../src/line/improvise/plan.ts";
import { settingsOf } from "../../src/line/improvise/setting.ts";
import { addBeats, beats, checkLine, compareBeats, generateLine, keyColour, metre, parseChart, parseKey, parseProgression, pitch, usualScale } from "./library.ts";
import type { GeneratedLine, NoteEvent, Pitch } from "./library.ts";
import { scoreOf } from "./reference.ts";
import { runs } from "./runs.ts";

const blues = parseProgression("blues", { key: "C" });
const heights = (line: GeneratedLine): readonly number[] => line.events.map((e) => (e.pitches[0] as Pitch).semitones);
const failure = (make: () => unknown): { code?: string; message?: string; input?: unknown; hint?: string; reason?: string } => {
  try {
    make();
    return {};
  } catch (error) {
    return error as object;
  }
};

describe("options", () => {
  it.each([[0], [4294967295]])("seed %s will do", (seed) => {
    expect(generateLine(blues, { seed }).seed).toBe(seed);
  });

  it.each([
    ["line/seed", { seed: 4294967296 }, 4294967296], ["line/seed", { seed: -1 }, -1], ["line/level", { level: 0 as 1 }, 0],
    ["line/range", { lowest: pitch("C1"), highest: pitch("C#6") }, ["C1", "C#6"]], ["line/range", { lowest: pitch("C5"), highest: pitch("B4") }, ["C5", "B4"]],
    ["line/range", { highest: pitch("C3") }, [undefined, "C3"]],
  ])("refuses with %s", (code, options, input) => {
    expect(failure(() => generateLine(blues, options))).toMatchObject({ code, input });
  });

  it.each([0, 1.5, -2])("%s bars are none to fill", (bars) => {
    expect(failure(() => generateLine({ bars, metre: metre("4/4") }, { scale: "C major" }))).toMatchObject({ code: "line/bars", input: bars });
  });

  it("five octaves are not too wide, two bars of 2/4 not too short", () => {
    expect(generateLine(blues, { lowest: pitch("C2"), highest: pitch("C7") }).events.length).toBeGreaterThan(20);
    expect(generateLine({ bars: 2, metre: metre("2/4") }, { scale: "C major" }).bars).toBe(2);
  });

  it("defaults: seed 0, level 3, from C4, the usual scale, no voicings", () => {
    const line = generateLine(blues);
    expect(line).toEqual(generateLine(blues, { seed: 0, level: 3, lowest: pitch("C4"), highest: pitch("A5"), scale: "C mixolydian", voicings: [] }));
    expect([line.kind, line.id, line.seed, line.level, line.bars]).toEqual(["line", "improvised", 0, 3, 12]);
    expect(generateLine(blues, { lowest: pitch("C6"), level: 5 }).events.every((e) => (e.pitches[0] as Pitch).semitones <= pitch("C7").semitones)).toBe(true);
  });

  it("the usual scale: major or minor as the key, mixolydian where the key note carries a dominant seventh", () => {
    const of = (key: string, chart: string): string => {
      const { tonic, type } = usualScale(parseKey(key), parseChart(chart).chords);
      return `${tonic} ${type}`;
    };
    expect([of("F", "F7 | Bb7"), of("F", "Fmaj7 | Bb7"), of("F", "Bb7 | C7"), of("C minor", "C7 | Fm7"), of("Eb", "Ebm7"), of("C", "C7(sus4)")])
      .toEqual(["F mixolydian", "F major", "F major", "C minor", "Eb major", "C major"]);
    expect(usualScale(parseKey("G"), []).type).toBe("major");
  });
});

describe("rules in conflict", () => {
  it("a single key breaks only the range or the rule about repeats", () => {
    const error = failure(() => generateLine(parseChart("C | %", { key: "C" }), { lowest: pitch("F#5"), highest: pitch("F#5"), level: 1, seed: 5 }));
    expect(error).toMatchObject({ code: "line/conflict", reason: "cannot-be-done", input: { seed: 5 } });
    expect(error.message).toContain("that keeps range, repeats,");
  });

  it("voicings on every key leave no long note but far away", () => {
    const everywhere: NoteEvent = { at: beats(0), duration: beats(8), pitches: Array.from({ length: 24 }, (_, i): Pitch => ({ ...pitch("C4"), semitones: pitch("B3").semitones + i })) };
    const error = failure(() => generateLine(parseChart("C | %", { key: "C" }), { lowest: pitch("C4"), highest: pitch("C5"), voicings: [everywhere] }));
    expect(error.message).toContain("that keeps range, held-clash,");
  });
});

describe("what is generated", () => {
  it("scores what the problem that its seed states says", () => {
    for (let seed = 0; seed < runs(100); seed++) {
      const level = ((seed % 5) + 1) as 1;
      const line = generateLine(blues, { seed, level });
      const chance = chanceOf(seed);
      const tier = GRADES[level - 1] as Grade;
      const grid = gridOf(blues.metre);
      const plan = planLine(12, grid, tier, undefined, chance);
      if (plan.notes.length !== line.events.length) continue;
      const low = pitch("C4").semitones;
      const frame = { settings: settingsOf(chordSlots(blues.chords), line.scale), scale: line.scale, grid, grade: tier, low, high: low + tier.range, voicings: [] };
      expect(scoreOf(buildProblem(plan, frame, chance), heights(line).map((height) => height - low))).toBe(line.points);
      expect(line.form).toEqual(plan.phrases.map(({ motif, role }) => ({ motif: "AB"[motif], role })));
    }
  });

  it("ranges and leaps as its grade allows, and leaves the scale from the third on", () => {
    for (const level of [1, 2, 3, 4, 5] as const) {
      const { range, widest, chromatic } = GRADES[level - 1] as Grade;
      let foreign = 0;
      for (let seed = 0; seed < runs(100); seed++) {
        const line = generateLine(parseChart("C | % | % | %", { key: "C" }), { seed, level, scale: "C major" });
        const low = pitch("C4").semitones;
        expect(heights(line).filter((height) => height < low || height > low + range)).toEqual([]);
        const starts = new Set(line.phrases.map((p) => `${p.at.num}/${p.at.den}`));
        const leaps = heights(line).flatMap((height, i) => (i === 0 || starts.has(`${line.events[i]?.at.num}/${line.events[i]?.at.den}`) ? [] : [Math.abs(height - (heights(line)[i - 1] as number))]));
        expect(Math.max(...leaps)).toBeLessThanOrEqual(widest);
        foreign += heights(line).filter((height) => ![0, 2, 4, 5, 7, 9, 11].includes(height % 12)).length;
      }
      expect(foreign > 0).toBe(chromatic);
    }
  });

  it("slides into the guide tones of its chords from the black key below, six notes apart at least, not from that key nor from the note itself", () => {
    let told = 0;
    for (let seed = 0; seed < runs(200); seed++) {
      const line = generateLine(blues, { seed, level: 5 });
      let last = -Infinity;
      line.events.forEach((event, i) => {
        const grace = event.graces?.[0];
        if (grace === undefined) return;
        told += 1;
        const main = event.pitches[0] as Pitch;
        const chord = blues.chords.find((span) => compareBeats(span.at, event.at) <= 0 && compareBeats(event.at, addBeats(span.at, span.duration)) < 0)?.chord;
        const guides = chord?.tones.filter((tone) => /[37]$/.test(tone.degree)).map((tone) => pitch(`${tone.note}4` as "C4").semitones % 12);
        expect(guides).toContain(main.semitones % 12);
        expect([main.semitones - grace.pitch.semitones, main.steps - grace.pitch.steps, keyColour(grace.pitch)]).toEqual([1, 0, "black"]);
        expect(i - last).toBeGreaterThanOrEqual(6);
        last = i;
        expect([main.semitones, main.semitones - 1]).not.toContain(heights(line)[i - 1]);
        expect(event.duration.num / event.duration.den).toBeGreaterThanOrEqual(1 / 3);
      });
    }
    expect(told).toBeGreaterThan(runs(100));
    expect(generateLine(blues, { seed: 1, level: 1 }).events.every((e) => e.graces === undefined)).toBe(true);
  });

  it("keeps the rule about contours, of which it says only that it does what it can", () => {
    let broken = 0;
    for (let seed = 0; seed < runs(200); seed++) {
      const line = generateLine(blues, { seed, level: 1 });
      broken += checkLine(line.events, { chords: blues.chords, scale: line.scale, phrases: line.phrases }).findings.filter((f) => f.rule === "contour").length;
    }
    expect(broken).toBeLessThanOrEqual(runs(200) / 50);
  });

  // By score alone the best lines of these seeds come to a phrase's top too often, or circle within a minor third.
  it.each([
    ["a ninth", pitch("D5"), [0, 33, 38, 40, 44, 63, 67, 70]], ["a fifth", pitch("G4"), [9, 17, 19, 21, 22, 24, 28, 57, 130, 182]], ["a fourth", pitch("F4"), [26, 30, 34, 44, 57, 88, 1, 2]],
  ] as const)("keeps the rule about contours within %s where it takes another search", (_, highest, seeds) => {
    for (const seed of seeds) {
      const line = generateLine(blues, { seed, level: 1, lowest: pitch("C4"), highest });
      const found = checkLine(line.events, { chords: blues.chords, scale: line.scale, phrases: line.phrases }).findings;
      expect([seed, found.filter((f) => f.rule === "contour")]).toEqual([seed, []]);
    }
  });

  it("goes over changes of key and metre that chords do not fill", () => {
    const [first] = parseChart("C | F").chords;
    const line = generateLine({ bars: 4, metre: metre("4/4"), chords: first === undefined ? [] : [first] }, { scale: "C major", seed: 2 });
    expect(line.events.length).toBeGreaterThan(7);
    expect(checkLine(line.events, { scale: "C major", phrases: line.phrases }).findings.filter((f) => f.severity === "must")).toEqual([]);
  });
});
