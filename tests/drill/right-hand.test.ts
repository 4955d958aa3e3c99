import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compingCatalogue, compingMannerCatalogue } from "../../src/comping/index.ts";
import { makeDrill } from "../../src/drill/index.ts";
import type { NoteEvent } from "../../src/event/index.ts";
import { handoutPage } from "../../src/handout/index.ts";
import { checkLine, exerciseCatalogue, exerciseLine } from "../../src/line/index.ts";
import { writeMusicXml } from "../../src/musicxml/index.ts";
import type { PitchName } from "../../src/pitch/index.ts";
import { midiNumber, pitchFromMidi, pitchName } from "../../src/pitch/index.ts";
import { formatPracticePlan, makePracticePlan } from "../../src/plan/index.ts";
import { progressionCatalogue } from "../../src/progression/index.ts";
import type { DrillRecipe, LevelId } from "../../src/recipe/index.ts";
import { drillsOfLevel, parseDrillRecipe, rightHandCatalogue } from "../../src/recipe/index.ts";
import { addBeats, barLength, beats, beatsToNumber, formatBeats } from "../../src/time/index.ts";
import type { VoicedProgression } from "../../src/voice-leading/index.ts";
import { voiceProgression } from "../../src/voice-leading/index.ts";
import type { Voicing } from "../../src/voicing/index.ts";

const TONICS = ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"] as const;
const LEVELS = [1, 2, 3, 4, 5] as const;
const LEFT = ["shell", "rootless"] as const;

/** Pairs of a right-hand note and a key above it that the left hand holds at some time while it sounds, by brute force. */
const crossings = (right: readonly NoteEvent[], left: readonly NoteEvent[]): number =>
  right.filter((note) =>
    left.some(
      (chord) =>
        beatsToNumber(chord.at) < beatsToNumber(addBeats(note.at, note.duration)) &&
        beatsToNumber(note.at) < beatsToNumber(addBeats(chord.at, chord.duration)) &&
        chord.pitches.some((held) => note.pitches.some((p) => midiNumber(p) < midiNumber(held))),
    ),
  ).length;

// Exercises that the left hand has a part in have laws of their own.
const rightAlone = exerciseCatalogue.filter((row) => !("left" in row || "comping" in row));

const lines = fc.record({
  key: fc.constantFrom(...TONICS),
  changes: fc.constantFrom(...progressionCatalogue.filter((row) => row.mode === "major").map((row) => row.id)),
  left: fc.constantFrom(...LEFT),
  right: fc.constant("improvised" as const),
  level: fc.constantFrom(...LEVELS),
  seed: fc.integer({ min: 0, max: 2 ** 31 - 1 }),
});

describe("the right hand of a drill", () => {
  it("law: every exercise can be asked for, and a line of phrases besides", () => {
    expect(rightHandCatalogue.map((row) => row.id)).toEqual([
      ...exerciseCatalogue.map((row) => row.id),
      "comping",
      "improvised",
    ]);
    for (const { id } of rightHandCatalogue)
      expect(makeDrill({ key: "G", right: id, ...(id === "octave-shifts" ? { octaves: 2 } : {}) }).line.id).toBe(id);
  });

  // Two hands can't play in each other's place: common practice, no source.
  it("law: over one octave no hand reaches below the other, in any key, over shells or rootless voicings", () => {
    for (const key of TONICS) {
      for (const left of LEFT) {
        for (const { id, leastOctaves } of exerciseCatalogue) {
          if (leastOctaves > 1) continue;
          for (const changes of ["turnaround", "blues"]) {
            const { score } = makeDrill({ key, left, right: id, changes });
            expect([key, left, id, changes, crossings(score.right, score.left)]).toEqual([key, left, id, changes, 0]);
          }
        }
      }
    }
  });

  it("law: over two octaves none does either, over shells, rootless or close voicings", () => {
    for (const key of TONICS) {
      for (const left of ["shell", "rootless", "close"] as const) {
        for (const { id } of exerciseCatalogue) {
          const { score } = makeDrill({ key, left, right: id, octaves: 2, backing: "none" });
          expect([key, left, id, crossings(score.right, score.left)]).toEqual([key, left, id, 0]);
        }
      }
    }
  });

  // Brute force: every placement that may be chosen, its crossings counted pair by pair.
  it("law: of an exercise from C4, over rootless voicings lower in their register, an octave higher up to D7, and over voicings below their register, the first that crosses least", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...TONICS),
        fc.constantFrom("turnaround", "blues", "minor-cycle"),
        fc.constantFrom(...rightAlone),
        fc.constantFrom(1 as const, 2 as const, 3 as const),
        (key, changes, { id, leastOctaves }, many) => {
          const octaves = Math.max(many, leastOctaves) as 1 | 2 | 3;
          const { score, progression, line, voiced } = makeDrill({
            key: changes === "minor-cycle" ? `${key === "Db" ? "C#" : key} minor` : key,
            changes,
            left: "rootless",
            right: id,
            octaves,
          });
          const low = exerciseLine(id, { scale: line.scale, progression, octaves });
          const bar = beatsToNumber(barLength(progression.metre));
          const held = (voicings: readonly Voicing[]): readonly NoteEvent[] =>
            Array.from({ length: low.bars / progression.bars }, (_, turn) =>
              voicings.map(({ pitches }, i): NoteEvent => {
                const { at, duration } = progression.chords[i] as (typeof progression.chords)[number];
                return { at: addBeats(at, beats(turn * progression.bars * bar)), duration, pitches };
              }),
            ).flat();
          const midi = (events: readonly NoteEvent[], up = 0): readonly (readonly number[])[] =>
            events.map(({ pitches, graces }) =>
              [...(graces ?? []).map((grace) => grace.pitch), ...pitches].map((p) => midiNumber(p) + up),
            );
          const up = low.events.map((event) => ({
            ...event,
            pitches: event.pitches.map((p) => ({ ...p, semitones: p.semitones + 12 })),
          }));
          const usual = voiceProgression(progression, {
            style: "rootless",
            loop: true,
            colour: "in-context",
            aims: "pianist",
          });
          const top = pitchName(
            pitchFromMidi(Math.min(...midi(low.events).map((notes) => notes.at(-1) as number)) - 1, "flats"),
          ) as PitchName;
          const below = (from: "C4" | "G3", most: number): readonly Way[] => {
            try {
              const moved = voiceProgression(progression, {
                style: "rootless",
                colour: "in-context",
                aims: "pianist",
                loop: true,
                register: { from, to: top },
                lowIntervals: "forbid",
              });
              return moved.totalMotion <= most ? [way(low.events, 0, moved)] : [];
            } catch {
              return [];
            }
          };
          interface Way {
            readonly octave: number;
            readonly voicings: readonly Voicing[];
            readonly crossed: number;
          }
          const way = (events: readonly NoteEvent[], octave: number, { voicings }: VoicedProgression): Way => ({
            octave,
            voicings,
            crossed: crossings(events, held(voicings)),
          });
          const ways = [
            way(low.events, 0, usual),
            ...below("C4", usual.totalMotion),
            ...(up.every(({ pitches }) => pitches.every((p) => midiNumber(p) <= 98)) ? [way(up, 12, usual)] : []),
            ...below("G3", Infinity),
          ];
          const first = ways.find(({ crossed }) => crossed === Math.min(...ways.map((other) => other.crossed)));
          expect(midi(score.right)).toEqual(midi(low.events, first?.octave));
          expect(voiced.voicings.map(({ pitches }) => pitches)).toEqual(first?.voicings.map(({ pitches }) => pitches));
        },
      ),
      { numRuns: 60 },
    );
  });

  it("law: over shells in any left-hand pattern, which stay where they are, it stands from C4 or an octave higher, where it crosses less, counted pair by pair", () => {
    const patterns = fc.constantFrom(undefined, ...compingCatalogue.map((row) => row.id));
    fc.assert(
      fc.property(
        fc.constantFrom(...TONICS),
        fc.constantFrom("blues", "jazz-blues", "cycle-of-fourths"),
        patterns,
        fc.constantFrom(...rightAlone),
        (key, changes, comping, { id, leastOctaves }) => {
          const octaves = Math.max(leastOctaves, 2) as 2;
          const { score, progression, line, voiced } = makeDrill({ key, changes, comping, right: id, octaves });
          expect(voiced).toEqual(makeDrill({ key, changes, comping }).voiced);
          const low = exerciseLine(id, { scale: line.scale, progression, octaves }).events;
          const up = low.map((event) => ({
            ...event,
            pitches: event.pitches.map((p) => ({ ...p, semitones: p.semitones + 12 })),
          }));
          const raised =
            up.every(({ pitches }) => pitches.every((p) => midiNumber(p) <= 98)) &&
            crossings(up, score.left) < crossings(low, score.left);
          expect(score.right.map(({ pitches }) => pitches.map(midiNumber))).toEqual(
            (raised ? up : low).map(({ pitches }) => pitches.map(midiNumber)),
          );
        },
      ),
      { numRuns: 60 },
    );
  });

  it("raises grace notes with their notes, spelled alike", () => {
    const slides = makeDrill({ key: "C", left: "rootless", right: "slides" }).line.events.filter(
      (event) => event.graces !== undefined,
    );
    expect(slides.length).toBeGreaterThan(0);
    for (const { graces, pitches } of slides)
      expect(
        midiNumber(pitches[0] as NoteEvent["pitches"][0]) - midiNumber(graces?.[0]?.pitch as NoteEvent["pitches"][0]),
      ).toBe(1);
    expect(slides[0]?.graces?.[0]?.pitch).toMatchObject({ steps: 7 * 5 + 2, semitones: 12 * 5 + 3 });
  });
});

describe("an improvised line in a drill", () => {
  it("law: it keeps every rule of severity must over the drill's own chords and left hand, in whole turns of the progression, eight bars or more", () => {
    fc.assert(
      fc.property(lines, (recipe) => {
        const { line, score, progression } = makeDrill(recipe);
        const findings = checkLine(line.events, {
          metre: line.metre,
          chords: score.chords,
          scale: line.scale,
          phrases: line.phrases,
          voicings: score.left,
        }).findings;
        expect(findings.filter((finding) => finding.severity === "must")).toEqual([]);
        expect(line.bars).toBeGreaterThanOrEqual(8);
        expect(line.bars - progression.bars).toBeLessThan(8);
        expect(line.bars % progression.bars).toBe(0);
        expect(score.bars).toBe(line.bars);
        expect(line).toMatchObject({ level: recipe.level, seed: recipe.seed });
      }),
      { numRuns: 60 },
    );
  });

  it("law: another key keeps form and rhythm", () => {
    fc.assert(
      fc.property(lines, fc.constantFrom(...TONICS), (recipe, key) => {
        const shape = (asked: DrillRecipe): unknown => {
          const { line } = makeDrill(asked);
          return [
            line.events.map(({ at, duration }) => [formatBeats(at), formatBeats(duration)]),
            "form" in line && line.form,
          ];
        };
        expect(shape({ ...recipe, key })).toEqual(shape(recipe));
      }),
      { numRuns: 30 },
    );
  });

  it("law: another seed, another line; repeats play the same again", () => {
    const recipe = { key: "F", changes: "blues", right: "improvised", left: "rootless" } as const;
    expect(makeDrill({ ...recipe, seed: 2 }).score.right).not.toEqual(makeDrill(recipe).score.right);
    const once = makeDrill(recipe).score.right;
    expect(makeDrill({ ...recipe, repeats: 2 }).score.right.slice(0, once.length)).toEqual(once);
    expect(makeDrill({ ...recipe, repeats: 2 }).score.right).toHaveLength(2 * once.length);
  });

  it("law: hardly a note lies below the left hand, however low the level", () => {
    for (const level of LEVELS) {
      const drills = TONICS.flatMap((key) =>
        LEFT.map((left) => makeDrill({ key, left, level, right: "improvised" }).score),
      );
      const notes = drills.reduce((sum, { right }) => sum + right.length, 0);
      expect(drills.reduce((sum, { right, left }) => sum + crossings(right, left), 0) / notes).toBeLessThan(0.005);
    }
  });

  it("ranges over the octaves asked for, in the values asked for, with the scale asked for", () => {
    const { line } = makeDrill({
      key: "Bb",
      right: "improvised",
      octaves: 1,
      values: "triplets",
      level: 5,
      scale: "minor blues",
    });
    const heights = line.events.flatMap((event) => event.pitches.map(midiNumber));
    expect(Math.min(...heights)).toBeGreaterThanOrEqual(60);
    expect(Math.max(...heights)).toBeLessThanOrEqual(72);
    expect(line.scale.type).toBe("minor blues");
    expect(line.events.every(({ duration }) => duration.den !== 4)).toBe(true);
    expect(line.events.filter(({ duration }) => duration.den === 3).length).toBeGreaterThan(line.events.length / 3);
  });

  it.each([
    { key: "C", level: 2 },
    { key: "C", level: 2, right: "turns" },
  ])("refuses a level beside an exercise: %j", (recipe) => {
    expect(() => parseDrillRecipe(recipe)).toThrowError(
      expect.objectContaining({
        code: "recipe/drill",
        input: 2,
        expected: expect.stringContaining("no level beside the exercise") as string,
      }),
    );
  });

  it("fills in what it leaves open: level 3, and neither values nor octaves", () => {
    expect(parseDrillRecipe({ key: "C", right: "improvised" })).toMatchObject({ level: 3 });
    expect(parseDrillRecipe({ key: "C", right: "improvised" }).values).toBeUndefined();
    expect(parseDrillRecipe({ key: "C", right: "turns" })).toMatchObject({ values: "eighths", octaves: 1 });
  });

  it("law: every level has one among its first three drills, of that level", () => {
    for (const level of LEVELS) {
      for (const mode of ["major", "minor"] as const) {
        const drills = drillsOfLevel(level, { mode });
        expect(drills.slice(0, 3).filter((drill) => drill.right === "improvised")).toMatchObject([
          { level: level satisfies LevelId },
        ]);
        expect(drills.filter((drill) => drill.right === "improvised")).toHaveLength(1);
      }
    }
  });

  it("law: the W3C schema accepts it in every key at every level", () => {
    const folder = mkdtempSync(join(tmpdir(), "hands-together-lines-"));
    try {
      const files = TONICS.flatMap((key) =>
        LEVELS.map((level) => {
          const file = join(folder, `${key}-${level}.musicxml`);
          writeFileSync(
            file,
            writeMusicXml(
              makeDrill({
                key,
                level,
                right: "improvised",
                left: level < 3 ? "shell" : "rootless",
                changes: level % 2 === 0 ? "blues" : "turnaround",
                seed: level,
              }).score,
            ),
          );
          return file;
        }),
      );
      expect(files).toHaveLength(60);
      const tool = process.env.HANDS_TOGETHER_XSD_TOOL;
      if (tool !== undefined) execFileSync(tool, files, { stdio: "pipe" });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it.each([
    ["up-and-down", "eighths", true],
    ["up-and-down", "triplets", true],
    ["guide-tone-line", "eighths", false],
  ] as const)("a handout of %s says values of notes that are there: %s, %s", (right, values, said) => {
    const page = handoutPage(makeDrill({ key: "C", changes: "two-five-one-long", right, values }), {
      engrave: () => ["<svg></svg>"],
    });
    expect(page.includes(`in ${values}`)).toBe(said);
  });

  it("is named on handouts and in plans", () => {
    const page = handoutPage(makeDrill({ key: "C", right: "improvised", level: 2 }), {
      engrave: () => ["<svg></svg>"],
    });
    expect(page).toContain("C major blues, improvised line, level 2.");
    expect(page).toContain("begin, end and breathe");
    expect(page).toMatch(/<p>Phrases: bar 1 motif A \(new\), bar \d motif/);
    expect(page.split("<script>")[0]).not.toContain("undefined");
    const plan = formatPracticePlan(
      makePracticePlan({
        keys: ["C"],
        weeks: 1,
        drills: [{ right: "improvised" }, { right: "improvised", level: 5, left: "rootless" }],
      }),
    );
    expect(plan).toContain("Improvised line, major blues, level 3; shell, turnaround");
    expect(plan).not.toContain("undefined");
  });
});

describe("the left hand under an improvised line", () => {
  const KEYS = ["C", "Eb", "F#", "A"];
  const drillOf = (recipe: Partial<DrillRecipe>) =>
    makeDrill({ key: "C", changes: "two-five-one", left: "rootless", right: "improvised", ...recipe });

  it("listens, in the manner of its band, unless a pattern is asked for", () => {
    expect(drillOf({}).comping.id).toBe("listening");
    expect(drillOf({ backing: "bossa" }).comping.id).toBe("listening-even");
    expect(drillOf({ backing: "ballad" }).comping.id).toBe("listening-ballad");
    expect(drillOf({ comping: "held" }).comping.id).toBe("held");
    expect(drillOf({ right: "turns" }).comping.id).toBe("held");
  });

  it("law: the line is the one that is made over held chords", () => {
    for (const key of KEYS)
      for (const seed of [1, 2, 3])
        expect(drillOf({ key, seed }).score.right).toEqual(drillOf({ key, seed, comping: "held" }).score.right);
  });

  it("law: no pad: in most bars something else than one whole note, and choruses differ", () => {
    let [pads, bars] = [0, 0];
    for (const key of KEYS)
      for (const seed of [1, 2, 3]) {
        const { score } = drillOf({ key, seed, repeats: 2, level: 4 });
        bars += score.bars;
        pads += score.left.filter(({ duration }) => beatsToNumber(duration) >= 4).length;
        const half = score.left.filter(({ at }) => beatsToNumber(at) < 2 * score.bars).length;
        const once = score.left.slice(0, half).map(({ at }) => beatsToNumber(at));
        expect(score.left.slice(half).map(({ at }) => beatsToNumber(at) - 2 * score.bars)).not.toEqual(once);
      }
    expect(pads / bars).toBeLessThan(0.4);
  });

  it("law: the level of the line is that of the left hand: the higher, the denser", () => {
    const strokes = ([1, 3, 5] as const).map((level) =>
      [1, 2, 3, 4, 5, 6].reduce((sum, seed) => sum + drillOf({ level, seed }).score.left.length, 0),
    );
    expect(strokes[1]).toBeGreaterThan((strokes[0] ?? 0) + 5);
    expect(strokes[2]).toBeGreaterThan((strokes[1] ?? 0) + 5);
  });

  it("takes a manner of one's own, and plays it in any metre and with a pickup", () => {
    const [shipped] = compingMannerCatalogue;
    const mine = { ...shipped, id: "mine" };
    for (const metre of ["4/4", "3/4", "5/4", "6/8", "12/8"]) {
      const drill = drillOf({ comping: mine, metre, pickup: true, left: "shell", level: 4 });
      expect(drill.score.left).toEqual(drillOf({ metre, pickup: true, left: "shell", level: 4 }).score.left);
      expect(drill.recipe.comping).toEqual(mine);
    }
  });
});
