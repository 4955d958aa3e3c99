import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { practiceStep } from "../../src/assess/say/practice.ts";
import { run } from "../../src/cli/run.ts";
import type { DrillRecipe, Hand, NoteEvent, PracticeStep, Score } from "../all.ts";
import {
  assessTake,
  beatsToNumber,
  findingCatalogue,
  makeDrill,
  makeScore,
  midiNumber,
  pitchFromMidi,
  practiceScore,
  readMusicXml,
  scoreFromJson,
  scoreToJson,
  writeMidi,
  writeMusicXml,
} from "../all.ts";
import { person } from "./people.ts";

/** What sounds in a stretch, from its beginning; what is held over into it begins there. */
const shown = (events: readonly NoteEvent[], from: number, to: number): readonly string[] =>
  events
    .filter(({ at, duration }) => beatsToNumber(at) + beatsToNumber(duration) > from + 1e-9)
    .filter(({ at }) => beatsToNumber(at) < to - 1e-9)
    .map(({ at, pitches, fingers }) =>
      [
        Math.max(0, beatsToNumber(at) - from).toFixed(4),
        pitches.map(midiNumber).join("+"),
        fingers?.join("") ?? "",
      ].join(" "),
    );

/** Whether a sheet is just what a step asks for of a drill: its bars and hands, note for note, at its tempo, as often as it says. */
const isThatSheet = (sheet: Score, step: PracticeStep, drill: Score, bar: number, once: number): void => {
  const inside = step.bars.filter((n) => n >= 1).map((n) => ((n - 1) % once) + 1);
  const [first = 1] = inside;
  const last = inside.length === 0 ? once : Math.max(...inside.filter((n) => n >= first && n < first + 4));
  const [from, to] = [(first - 1) * bar, last * bar];
  for (const hand of ["right", "left"] as const) {
    const own = step.hands === "both" || step.hands === hand ? shown(drill[hand], from, to) : [];
    expect(shown(sheet[hand], 0, to - from)).toEqual(own);
  }
  expect(sheet.bars).toBe((last - first + 1) * Number(step.recipe.repeats));
  expect(sheet.recipe).toMatchObject({ tempo: step.recipe.tempo });
};

const recipes: readonly DrillRecipe[] = [
  { key: "Eb", values: "triplets" },
  { key: "F", left: "rootless", changes: "blues", repeats: 2 },
  { key: "C minor", left: "shell", octaves: 2 },
  { key: "G", right: "improvised", seed: 5, left: "rootless", backing: "none" },
  { key: "D", changes: "blues", metre: "12/8", tempo: 70 },
];

describe("what to practise next", () => {
  it("law: a step of every kind of finding makes exactly its sheet: those bars, those hands, that tempo", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...findingCatalogue.map(({ id }) => id)),
        fc.constantFrom(...recipes),
        fc.constantFrom<Hand | "both">("right", "left", "both"),
        fc.array(fc.integer({ min: 1, max: 12 }), { maxLength: 4 }),
        fc.boolean(),
        (finding, recipe, hands, places, stored) => {
          const drill = makeDrill(recipe);
          // The recipe goes with the drill's own JSON, or is given.
          const score = stored ? scoreFromJson(JSON.parse(JSON.stringify(scoreToJson(drill.score)))) : drill.score;
          const bars = [...new Set(places.map((n) => ((n - 1) % score.bars) + 1))].sort((a, b) => a - b);
          const advice = { hands, bars, slower: 0.8, how: "Slowly." };
          const step = practiceStep(finding, advice, score, score.tempo, stored ? undefined : drill.recipe);
          const sheet = makeDrill(JSON.parse(JSON.stringify(step.recipe))).score;
          const bar = recipe.metre === "12/8" ? 6 : 4;
          isThatSheet(sheet, step, score, bar, score.bars / drill.recipe.repeats);
        },
      ),
      { numRuns: 60 },
    );
  });

  it("what assess says to practise goes into drill as it is, and comes out as that sheet", async () => {
    const folder = mkdtempSync(join(tmpdir(), "practise-"));
    try {
      const { score } = makeDrill({ key: "Eb", repeats: 2, tempo: 96 });
      const { practise } = assessTake(score, person(score, 4, { wrong: 0.1, lateLeftMs: 90, tempo: 90 }));
      expect(practise.length).toBeGreaterThan(1);
      let out = "";
      const code = await run(["drill", "-", "--json", "--out", folder], {
        write: (text) => void (out += text),
        complain: () => undefined,
        readStdin: () => practise.map(({ recipe }) => JSON.stringify(recipe)).join("\n"),
        columns: undefined,
      });
      expect(code).toBe(0);
      const files = out
        .trim()
        .split("\n")
        .map((line) => JSON.parse(line).files.find((file: string) => file.endsWith(".json")));
      practise.forEach((step, i) => {
        const sheet = scoreFromJson(JSON.parse(readFileSync(files[i], "utf8")));
        isThatSheet(sheet, step, score, 4, score.bars / 2);
      });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it("who practised one hand alone goes on with that hand", () => {
    const { score } = makeDrill({ key: "C" });
    const slow = person(score, 2, { stretches: [{ hands: "left", from: 1, to: score.bars }], tempo: 60 });
    const { practise } = assessTake(score, slow);
    expect(practise).toMatchObject([{ finding: "other-tempo", hands: "left", recipe: { hands: "left" } }]);
  });

  it("law: of a score that no recipe makes, a step is cut out of that very score: those bars, those hands, that tempo", () => {
    const { recipe: _recipe, ...own } = makeDrill({ key: "Eb", left: "rootless" }).score;
    const score = makeScore({ ...own, title: "Of somebody else" });
    fc.assert(
      fc.property(
        fc.constantFrom<Hand | "both">("right", "left", "both"),
        fc.uniqueArray(fc.integer({ min: 1, max: score.bars }), { maxLength: 3 }),
        (hands, places) => {
          const bars = [...places].sort((a, b) => a - b);
          const step = practiceStep("pauses", { hands, bars, slower: 0.7, how: "Slowly." }, score, 90, undefined);
          expect(step).toMatchObject({ of: "score", recipe: { score: "Of somebody else" } });
          const sheet = practiceScore(score, step);
          const [first = 1] = bars;
          const last = bars.length === 0 ? score.bars : Math.max(...bars.filter((n) => n < first + 4));
          expect(sheet.bars).toBe(last - first + 1);
          expect(sheet.tempo).toBe(step.recipe.tempo);
          const inside = (events: readonly NoteEvent[]): readonly string[] =>
            events
              .filter(({ at }) => beatsToNumber(at) >= 4 * (first - 1) && beatsToNumber(at) < 4 * last)
              .map(({ at, pitches }) => `${beatsToNumber(at) - 4 * (first - 1)} ${pitches.map(midiNumber).join("+")}`);
          for (const hand of ["right", "left"] as const)
            expect(
              sheet[hand].map(({ at, pitches }) => `${beatsToNumber(at)} ${pitches.map(midiNumber).join("+")}`),
            ).toEqual(hands === "both" || hands === hand ? inside(score[hand]) : []);
          // The sheet is a score to be assessed again.
          expect(assessTake(sheet, person(sheet, 3)).findings.map(({ id }) => id)).not.toContain("left-out");
        },
      ),
      { numRuns: 30 },
    );
  });

  it("assess writes the sheets of a foreign score as MusicXML, and drill says plainly that it can't", async () => {
    const folder = mkdtempSync(join(tmpdir(), "foreign-"));
    try {
      const { recipe: _recipe, ...own } = makeDrill({ key: "Bb", left: "shell" }).score;
      const score = makeScore({ ...own, title: "Of somebody else" });
      const [sheet, take] = [join(folder, "piece.musicxml"), join(folder, "take.mid")];
      writeFileSync(sheet, writeMusicXml(score));
      const { bass: _bass, drums: _drums, ...hands } = score;
      const wrong = hands.right.map((event, i) =>
        i === 9 ? { ...event, pitches: [pitchFromMidi(61, "flats")] } : event,
      );
      writeFileSync(take, writeMidi({ ...hands, right: wrong }));
      let [out, err] = ["", ""];
      const terminal = {
        write: (text: string) => void (out += text),
        complain: (text: string) => void (err += text),
        readStdin: () => JSON.stringify(step.recipe),
        columns: undefined,
      };
      expect(await run(["assess", sheet, take, "--out", folder, "--json"], terminal)).toBe(0);
      const { practise, files } = JSON.parse(out) as { practise: readonly [PracticeStep]; files: readonly string[] };
      const [step] = practise;
      const cut = readMusicXml(readFileSync(files.find((file) => file.endsWith("practise-1.musicxml")) ?? "", "utf8"));
      expect([step.of, cut.bars, cut.tempo]).toEqual(["score", 1, step.recipe.tempo]);
      out = "";
      expect(await run(["drill", "-", "--json"], terminal)).toBe(2);
      expect(err).toMatch(/bars of a score of its own.*assess SCORE TAKE --out FOLDER/);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
