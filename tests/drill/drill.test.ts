import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import ToneMidi from "@tonejs/midi";
import { XMLParser } from "fast-xml-parser";
import { parseMidi } from "midi-file";
import { describe, expect, it } from "vitest";
import type { Drill } from "../../src/drill/index.ts";
import { makeDrill } from "../../src/drill/index.ts";
import type { NoteEvent } from "../../src/event/index.ts";
import { writeMidi } from "../../src/midi/index.ts";
import { writeMusicXml } from "../../src/musicxml/index.ts";
import { midiNumber, pitchName } from "../../src/pitch/index.ts";
import type { DrillRecipe } from "../../src/recipe/index.ts";
import { parseDrillRecipe } from "../../src/recipe/index.ts";
import { scale, twelveKeys } from "../../src/scale/index.ts";
import { scoreFromJson, scoreToJson } from "../../src/score/index.ts";
import { addBeats, beats, compareBeats, formatBeats } from "../../src/time/index.ts";

const KEYS = twelveKeys({ degrees: scale("C", "major blues").degrees });
const EXERCISES: readonly Partial<DrillRecipe>[] = [
  { right: "up-and-down", values: "eighths" },
  { right: "up-and-down", values: "triplets" },
  { right: "slides", values: "eighths" },
];
const ALL: readonly Drill[] = KEYS.flatMap((key) =>
  (["shell", "rootless"] as const).flatMap((left) =>
    EXERCISES.map((exercise) => makeDrill({ key, left, ...exercise })),
  ),
);

const names = (event: NoteEvent | undefined): string => (event?.pitches ?? []).map(pitchName).join(" ");

interface Element {
  readonly [tag: string]: unknown;
}
const list = (value: unknown): readonly Element[] =>
  value === undefined ? [] : Array.isArray(value) ? value : [value as Element];

// Bars by staff from the printed text alone: the sum of durations of each voice, which backup and forward must agree with.
const staffLengths = (xml: string): readonly { readonly divisions: number; readonly lengths: readonly number[] }[] => {
  const parsed = new XMLParser({ ignoreAttributes: false, isArray: (tag) => ["note", "measure"].includes(tag) }).parse(
    xml,
  ) as Element;
  const part = (parsed["score-partwise"] as Element).part as Element;
  let divisions = 0;
  return list(part.measure).map((measure) => {
    divisions = Number(list(measure.attributes)[0]?.divisions ?? divisions);
    const lengths = new Map<string, number>();
    for (const note of list(measure.note)) {
      if (note.chord !== undefined || note.grace !== undefined) continue;
      const voice = String(note.voice);
      lengths.set(voice, (lengths.get(voice) ?? 0) + Number(note.duration));
    }
    return { divisions, lengths: [...lengths.values()] };
  });
};

describe("a drill's title", () => {
  const title = (changes: string, key = "C"): string => makeDrill({ key, changes, backing: "none" }).title;

  it("tells whole chords, with the signs of a page, and never the heading of the text", () => {
    expect(title("Key: F\nMetre: 4/4\nGm7 C7(b9) | Fmaj7", "F")).toBe("Gm7 C7(♭9) Fmaj7 in F");
    expect(title("Title: Mine\nKey: F\nGm7 C7 | Fmaj7", "F")).toBe("Mine in F");
    expect(title("ii V | I", "F")).toBe("ii V | I in F");
    const long = title(Array.from({ length: 12 }, () => "F#m7b5 B7(b9,#11)").join(" | "), "E");
    expect(long).toBe("F♯m7(♭5) B7(♭9,♯11) F♯m7(♭5) B7(♭9,♯11) F♯m7(♭5) B7(♭9,♯11) … in E");
  });
});

describe("drill", () => {
  // I–vi–ii–V shells in C: C with E–B, A with G–C, D with F–C, G with F–B. Common practice, no source.
  it("common practice: turnaround shells in C, root then chord", () => {
    const { score } = makeDrill({ key: "C" });
    expect(score.left.slice(0, 8).map(names)).toEqual(["C3", "E3 B3", "A2", "G3 C4", "D3", "F3 C4", "G2", "F3 B3"]);
  });

  // C major blues up and down, the top tonic held. Common practice, no source.
  it("common practice: the right hand goes up to the top tonic, holds it, and comes back down", () => {
    const { score } = makeDrill({ key: "C", values: "eighths" });
    const first = score.right.slice(0, 7);
    expect(first.map(names)).toEqual(["C4", "D4", "Eb4", "E4", "G4", "A4", "C5"]);
    expect(first.map((event) => formatBeats(event.at))).toEqual(["0", "1/2", "1", "3/2", "2", "5/2", "3"]);
    expect(score.right.slice(7, 14).map(names)).toEqual(["C5", "A4", "G4", "E4", "Eb4", "D4", "C4"]);
  });

  it("law: every bar of all 12 keys × 2 left hands × 3 exercises is full in every voice, and the schema accepts them all", () => {
    const folder = mkdtempSync(join(tmpdir(), "hands-together-drills-"));
    try {
      const files = ALL.map((drill, i) => {
        const xml = writeMusicXml(drill.score);
        const bars = staffLengths(xml);
        expect(bars).toHaveLength(drill.score.bars);
        for (const { divisions, lengths } of bars) {
          expect(lengths.length).toBeGreaterThanOrEqual(2);
          for (const length of lengths) expect(length).toBe(4 * divisions);
        }
        const file = join(folder, `${i}.musicxml`);
        writeFileSync(file, xml);
        return file;
      });
      expect(files).toHaveLength(72);
      // The W3C schema itself is checked where a validator is at hand: a program that takes files and exits 0 when all are valid.
      const tool = process.env.HANDS_TOGETHER_XSD_TOOL;
      if (tool !== undefined) execFileSync(tool, files, { stdio: "pipe" });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  // midi-file and @tonejs/midi (npm): independent readers of Standard MIDI Files.
  it("midi-file and @tonejs/midi: both hear the notes of the score in each hand", () => {
    for (const { score } of ALL) {
      const bytes = writeMidi(score);
      const expected = (["right", "left"] as const).map((hand) =>
        score[hand]
          .flatMap((event) => [...(event.graces ?? []).map((grace) => grace.pitch), ...event.pitches])
          .map(midiNumber)
          .sort((a, b) => a - b),
      );
      const heard = new ToneMidi.Midi(bytes).tracks
        .filter((track) => track.notes.length > 0)
        .map((track) => track.notes.map((note) => note.midi).sort((a, b) => a - b));
      expect(heard).toHaveLength(4); // right hand, left hand, bass, drums
      expect(heard.slice(0, 2)).toEqual(expected);
      const raw = parseMidi(bytes).tracks.map((track) =>
        track.flatMap((e) => (e.type === "noteOn" && e.velocity > 0 ? [e.noteNumber] : [])).sort((a, b) => a - b),
      );
      expect(raw.filter((notes) => notes.length > 0).slice(0, 2)).toEqual(expected);
    }
  });

  it("law: JSON read back is the same score", () => {
    for (const { score } of ALL) expect(scoreFromJson(JSON.parse(JSON.stringify(scoreToJson(score))))).toEqual(score);
  });

  it("law: the same recipe makes the same drill", () => {
    for (const recipe of [{ key: "Eb" }, { key: "F#", left: "rootless", pickup: true, repeats: 2 }] as const) {
      expect(makeDrill(recipe)).toEqual(makeDrill(recipe));
    }
  });

  it("law: repeats play the same bars again", () => {
    const once = makeDrill({ key: "G", left: "rootless" }).score;
    const twice = makeDrill({ key: "G", left: "rootless", repeats: 2 }).score;
    const by = beats(4 * once.bars);
    for (const hand of ["right", "left"] as const) {
      expect(twice[hand]).toEqual([
        ...once[hand],
        ...once[hand].map((event) => ({ ...event, at: addBeats(event.at, by) })),
      ]);
    }
  });

  it("a pickup goes before bar 1, and every shell held in one hand stays inside an octave", () => {
    const led = makeDrill({ key: "Eb", pickup: true }).score;
    expect(formatBeats(led.pickup)).toBe("1");
    expect(compareBeats(led.left[0]?.at ?? beats(0), beats(0))).toBeLessThan(0);
    for (const key of KEYS) {
      for (const event of makeDrill({ key, comping: "held" }).score.left) {
        expect(event.pitches).toHaveLength(2);
        expect((event.pitches[1]?.semitones ?? 99) - (event.pitches[0]?.semitones ?? 0)).toBeLessThanOrEqual(12);
      }
    }
  });

  // Bass roots stay inside one octave, E to the E♭ above; an option drops them an octave. Common practice, no source.
  it("common practice: bass roots lie from E2 to Eb3, or an octave below", () => {
    for (const key of KEYS) {
      const roots = (lowBass: boolean): number[] =>
        makeDrill({ key, lowBass })
          .score.left.filter((event) => event.pitches.length === 1)
          .map((event) => midiNumber(event.pitches[0] as NoteEvent["pitches"][0]));
      for (const root of roots(false)) expect(root >= 40 && root <= 51).toBe(true);
      expect(roots(true)).toEqual(roots(false).map((root) => root - 12));
    }
  });

  it("takes minor keys, numerals and charts", () => {
    expect(makeDrill({ key: "C minor", changes: "iiø V7b9 i" }).line.scale.type).toBe("minor blues");
    expect(makeDrill({ key: "F", changes: "Gm7 C7 | Fmaj7" }).score.bars % 2).toBe(0);
  });

  it.each([
    [{}, /key/],
    [{ key: "Eb", tint: 1 }, /no such field at tint/],
    [{ key: "Eb", tempo: "fast" }, /tempo/],
    [{ key: "Eb", left: "shells" }, /did you mean shell\?/],
    [{ key: "Eb", octave: 2 }, /did you mean octaves\?/],
    [{ key: "Eb", repeats: 0 }, /repeats/],
    [null, /an object/],
  ])("refuses the recipe %j", (recipe, message) => {
    expect(() => parseDrillRecipe(recipe)).toThrowError(expect.objectContaining({ code: "recipe/drill" }));
    expect(() => parseDrillRecipe(recipe)).toThrowError(message);
  });

  it("refuses changes without a chord", () => {
    expect(() => makeDrill({ key: "C", changes: "N.C. | N.C." })).toThrowError(
      expect.objectContaining({ code: "recipe/drill", expected: "changes with at least one chord at changes" }),
    );
  });
});

describe("what a drill keeps of its recipe", () => {
  it("law: a stored score makes the same drill again from the recipe that it records", () => {
    for (const recipe of [
      { key: "Eb" },
      { key: "C minor", left: ["rootless", "shell"], bars: [2, 3], hands: "left", repeats: 2 },
      { key: "F", right: "improvised", seed: 9, level: 2, metre: "3/4", changes: "Fmaj7 | Gm7 | C7" },
    ] as const) {
      const { score } = makeDrill(recipe);
      const stored = scoreFromJson(JSON.parse(JSON.stringify(scoreToJson(score))));
      expect(stored.recipe).toMatchObject({ kind: "drill", version: 1, key: recipe.key });
      expect(makeDrill(parseDrillRecipe(stored.recipe)).score).toEqual(score);
    }
  });

  it("bars and hands: those bars of the same drill, one hand with bass and drums, as often as asked", () => {
    const whole = makeDrill({ key: "C" }).score;
    const part = makeDrill({ key: "C", bars: [3, 4], hands: "left", repeats: 2 }).score;
    expect([part.bars, part.right, part.title]).toEqual([4, [], "Turnaround in C, bars 3–4, left hand"]);
    const third = whole.left.filter(({ at }) => compareBeats(at, beats(8)) >= 0 && compareBeats(at, beats(16)) < 0);
    expect(part.left.slice(0, third.length).map(names)).toEqual(third.map(names));
    expect(part.left.map(names)).toEqual([...third, ...third].map(names));
    expect(part.chords.map(({ chord }) => chord?.symbol)).toEqual(["Dm7", "G7", "Dm7", "G7"]);
    expect(part.bass?.length).toBeGreaterThan(0);
    expect(() => makeDrill({ key: "C", bars: [3, 99] })).toThrowError(
      expect.objectContaining({ code: "drill/bars", reason: "cannot-be-done" }),
    );
  });
});
