import { describe, expect, it } from "vitest";
import { makeDrill, packetDrills } from "../../src/drill/index.ts";
import { handoutPage } from "../../src/handout/index.ts";
import type { PhraseRuleRow } from "../../src/line/index.ts";
import { pitchName } from "../../src/pitch/index.ts";
import type { DrillRecipe, PacketRecipe } from "../../src/recipe/index.ts";
import { parseDrillRecipe, recipeHash } from "../../src/recipe/index.ts";

const source = "ours, for the test";
// Rows as a user writes them, in JSON.
const ROWS = {
  left: {
    id: "open-guide",
    title: "3rd, 7th and 9th",
    degrees: ["3", "b7", "9"],
    serves: [{ has: ["3", "b7"] }],
    tensions: ["9"],
    source,
  },
  comping: { id: "on-two", title: "on two", level: 1, hits: [{ at: "1", hold: "1", play: "all" }], source },
  pickup: { id: "from-below", title: "from below", level: 1, play: ["semitone-below"], each: "1/2", source },
  scale: { id: "four notes", title: "Four notes", degrees: ["1", "2", "3", "5"], source },
  right: {
    id: "sixths",
    title: "Sixths through the scale",
    level: 2,
    aim: "Hear the sixth.",
    needsChords: false,
    leastOctaves: 1,
    scaleFingers: false,
    pattern: { over: "scale", steps: [0, 2] },
    source,
  },
  backing: { id: "bass-alone", title: "Bass alone", bass: "long-notes", drums: "hi-hat-only", eighths: "even", source },
  changes: { id: "two-chords", title: "Two chords", changes: "I7 | IV7", mode: "major", metre: "4/4", bars: 2, source },
} as const;

const inJson = <Recipe extends object = DrillRecipe>(recipe: object): Recipe =>
  JSON.parse(JSON.stringify(recipe)) as Recipe;

describe("rows in recipes", () => {
  it.each(Object.keys(ROWS) as (keyof typeof ROWS)[])(
    "law: a row of one's own as %s, in JSON, makes a drill",
    (field) => {
      const recipe = inJson({ key: "F", changes: "I7 | IV7", [field]: ROWS[field] });
      const drill = makeDrill(recipe);
      expect(drill.score.bars).toBeGreaterThan(0);
      expect(recipeHash("drill", recipe)).not.toBe(recipeHash("drill", { key: "F", changes: "I7 | IV7" }));
      expect(parseDrillRecipe(inJson(drill.recipe))).toEqual(drill.recipe);
    },
  );

  it("the voicing is what is played, the pattern where, the scale which notes", () => {
    const { score, voiced, line } = makeDrill(inJson({ key: "F", ...ROWS }));
    expect(new Set(voiced.forms)).toEqual(new Set(["open-guide"]));
    // 3, flat 7 and 9 of F7 and Bb7: A Eb G and D Ab C. Common practice, no source.
    expect(voiced.voicings.map(({ pitches }) => pitches.map((p) => pitchName(p).replace(/\d/, "")))).toEqual([
      ["A", "Eb", "G"],
      ["D", "Ab", "C"],
    ]);
    expect(
      score.left.filter(({ pitches }) => pitches.length === 3).every(({ at }) => at.den === 1 && at.num % 4 === 1),
    ).toBe(true);
    expect(line.scale.notes).toEqual(["F", "G", "A", "C"]);
    expect(score.right.length).toBeGreaterThan(0);
  });

  it("rows stand in a packet and on a handout too", () => {
    const { left, comping, scale } = ROWS;
    const drills = packetDrills(
      inJson<PacketRecipe>({ keys: ["C", "Eb"], levels: [1], exercises: 1, changes: "I7 | IV7", left, comping, scale }),
    );
    expect(drills.map(({ recipe }) => makeDrill(recipe).voiced.forms)).toEqual([
      ["open-guide", "open-guide"],
      ["open-guide", "open-guide"],
    ]);
    const page = handoutPage(makeDrill(inJson({ key: "C", ...ROWS })), { engrave: () => ["<svg></svg>"] });
    for (const title of ["on two", "sixths through the scale", "four notes"])
      expect(page.toLowerCase()).toContain(title);
  });

  it("a voicing that fits some chords only: the next style steps in, and it is said", () => {
    const drill = makeDrill(inJson({ key: "C", changes: "C7 | Csus2", left: [ROWS.left, "rootless"] }));
    expect(drill.voiced.voicings[0]?.form).toBe("open-guide");
    expect(drill.remarks.join(" ")).toMatch(/^Csus2 has no .*\.$/);
  });

  it("a level of one's own picks what a packet plays", () => {
    const level = {
      id: "evening-class",
      title: "Evening class",
      level: 2,
      changes: { major: "blues", minor: "minor-blues" },
      left: ["three-note-rootless", "shell"],
      pickup: false,
      values: ["triplets"],
      octaves: 1,
      right: ["turns", "improvised"],
      source,
    };
    const drills = packetDrills(JSON.parse(JSON.stringify({ keys: ["C"], levels: [level] })) as object);
    expect(drills.map(({ recipe: { right, left, changes } }) => [right, left, changes])).toEqual([
      ["turns", level.left, "blues"],
      ["improvised", level.left, "blues"],
    ]);
  });

  it("a rule of phrasing of one's own chooses the line, and what stays broken is told", () => {
    const rule = (id: string, most: number): PhraseRuleRow => ({
      id,
      title: "few notes",
      severity: "must",
      source,
      check: ({ notes }) =>
        notes.slice(most).map((note) => ({ note, message: `more than ${most} notes`, suggestion: "leave it out" })),
    });
    const recipe = { key: "C", right: "improvised", level: 2, seed: 5 } as const;
    const free = makeDrill(recipe).line.events.length;
    const { line, remarks } = makeDrill({ ...recipe, rules: [rule("fewer", free - 3)] });
    expect(line.events.length).toBeLessThan(free);
    expect(remarks[0]).toMatch(/^Seed \d+ in place of 5/);
    expect(makeDrill({ ...recipe, rules: [rule("any", 1000)] }).line.events).toEqual(makeDrill(recipe).line.events);
    expect(makeDrill({ key: "C", rules: [rule("none", 0)] }).remarks[0]).toMatch(
      /^Bar 1, beat 1: more than 0 notes \(none\)\.$/,
    );
  });

  it.each([
    [{ left: { ...ROWS.left, degrees: ["3", "9", "b7", "H"] } }, /at left/],
    [{ comping: { ...ROWS.comping, hits: [] } }, /at comping\.hits/],
    [{ scale: { ...ROWS.scale, degrees: ["2", "3"] } }, /at scale/],
    [{ right: { ...ROWS.right, pattern: "x" } }, /at right/],
    [{ changes: { ...ROWS.changes, bars: 3 } }, /at changes/],
  ])("refuses the row %j with its path", (fields, expected) => {
    expect(() => makeDrill(inJson({ key: "C", ...fields }))).toThrowError(
      expect.objectContaining({ code: "recipe/drill", expected: expect.stringMatching(expected) as string }),
    );
  });
});
