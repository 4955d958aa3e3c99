import { readFileSync } from "node:fs";
import fc from "fast-check";
import { afterAll, describe, expect, it } from "vitest";
import type { DrillRecipe, MusicErrorCode } from "../all.ts";
import {
  estimateDrill,
  fingerPassage,
  generateLine,
  isMusicError,
  makeBacking,
  makeDrill,
  voiceProgression,
  within,
  writeMidi,
  writeMusicXml,
} from "../all.ts";
import { hostile } from "./hostile.ts";
import { drillServer } from "./server.ts";

const codeOf = (work: () => unknown): MusicErrorCode | undefined => {
  try {
    work();
    return undefined;
  } catch (error) {
    if (!isMusicError(error)) throw error;
    return error.code;
  }
};

/** A clock that goes on by so much each time that it is looked at. */
const ticking = (by: number): (() => number) => {
  let now = 0;
  return () => (now += by);
};

// Rootless voicings are for one hand: where both comp they are refused.
const recipes: fc.Arbitrary<DrillRecipe> = fc.record<DrillRecipe>(
  {
    key: fc.constantFrom("C", "Eb", "F#"),
    changes: fc.constantFrom("turnaround", "blues", "Dm7 | G7 | Cmaj7"),
    right: fc.constantFrom("up-and-down", "turns", "enclosures", "improvised", "comping"),
    values: fc.constantFrom("eighths", "triplets"),
    repeats: fc.integer({ min: 1, max: 6 }),
    octaves: fc.constantFrom(1, 2),
    backing: fc.constantFrom("swing", "none"),
    ending: fc.constantFrom("none", "held", "tag"),
  },
  { requiredKeys: ["key"] },
);

describe("limits", () => {
  it("law: what is done within limits is what is done without, or a limit is told", () => {
    fc.assert(
      fc.property(
        recipes,
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 30, max: 900 }),
        (recipe, bars, notes) => {
          const whole = makeDrill(recipe);
          const { right, left, bass = [], drums = [] } = whole.score;
          const count = [right, left, bass].flat().reduce((sum, { pitches }) => sum + pitches.length, drums.length);
          const code = codeOf(() => expect(within({ bars, notes }, () => makeDrill(recipe))).toEqual(whole));
          if (code === undefined) expect(whole.score.bars <= bars && count <= notes).toBe(true);
          else if (code === "limits/bars") expect(whole.line.bars > bars || whole.score.bars > bars).toBe(true);
          else expect([code, count > notes]).toEqual(["limits/notes", true]);
        },
      ),
      { numRuns: 40 },
    );
  });

  const score = makeDrill({ key: "C", repeats: 4 }).score;
  const works: readonly (readonly [string, () => unknown])[] = [
    ["voicings", () => voiceProgression("Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7", { style: "rootless" })],
    ["a line", () => generateLine("Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | A7", { seed: 4 })],
    ["fingers", () => fingerPassage("C4 D4 E4 F4 G4 A4 B4 C5 B4 A4 G4 F4 E4 D4 C4", { hand: "right" })],
    ["a band", () => makeBacking("Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7", { style: "swing" })],
    ["MusicXML", () => writeMusicXml(score)],
  ];

  it.each(works)("law: %s stop when time is up or they are aborted, and tell how far they are", (_, work) => {
    let steps = 0;
    const now = (): number => {
      steps++;
      return 0;
    };
    within({ now, milliseconds: 1 }, work);
    expect(steps).toBeGreaterThan(3);
    expect(codeOf(() => within({ milliseconds: 2, now: ticking(1) }, work))).toBe("limits/milliseconds");
    let asked = 0;
    const signal = {
      get aborted() {
        return ++asked > 3;
      },
    };
    expect(codeOf(() => within({ signal }, work))).toBe("limits/aborted");
    expect(codeOf(work)).toBeUndefined();
  });

  it("holds what is inside to the limits around it", () => {
    expect(codeOf(() => within({ bars: 2 }, () => within({ bars: 99 }, () => makeDrill({ key: "C" }))))).toBe(
      "limits/bars",
    );
    expect(codeOf(() => within({ bytes: 1000 }, () => writeMusicXml(score)))).toBe("limits/bytes");
    expect(codeOf(() => within({ bytes: 1000 }, () => writeMidi(score)))).toBe("limits/bytes");
    expect(codeOf(() => within({ milliseconds: 5 }, () => 1))).toBe("limits/argument");
    let told = 0;
    within({ onProgress: (steps) => (told = steps) }, () => makeDrill({ key: "C", repeats: 20 }));
    expect(told).toBeGreaterThan(256);
  });

  it("law: an estimate tells the bars and chords that come, and the notes within a factor of two", () => {
    fc.assert(
      fc.property(recipes, (recipe) => {
        const { bars, chords, notes } = estimateDrill(recipe);
        const { score: made } = makeDrill(recipe);
        const { right, left, bass = [], drums = [] } = made;
        const count = [right, left, bass].flat().reduce((sum, { pitches }) => sum + pitches.length, drums.length);
        expect(bars).toBe(made.bars);
        expect(chords).toBe(made.chords.length);
        expect(notes / count).toBeGreaterThan(0.5);
        expect(notes / count).toBeLessThan(2);
      }),
      { numRuns: 60 },
    );
  });
});

describe("the server of the guide", () => {
  const app = drillServer();
  afterAll(() => app.close());
  const post = (payload: string) =>
    app.inject({ method: "POST", url: "/drill", headers: { "content-type": "application/json" }, payload });

  it("is the one that is tested here", () => {
    const guide = readFileSync(new URL("../../docs/on-a-server.md", import.meta.url), "utf8");
    const own = readFileSync(new URL("server.ts", import.meta.url), "utf8");
    // Types aside, and where things come from.
    const bare = (text: string): string =>
      text
        .replace(/^import .*\n/gm, "")
        .replace(/^if \(process.*\n/gm, "")
        .replace(/: Error & \{[^}]*\}| as Parameters<[^>]*>\[0\]/g, "")
        .trim();
    const [, block = ""] = /```js\n\/\/ server\.mjs\n([\s\S]*?)```/.exec(guide) ?? [];
    expect(bare(block)).toBe(bare(own));
  });

  it.each(hostile)("answers as 4xx: %s", async (_, body) => {
    const { statusCode, body: answer } = await post(body);
    expect(statusCode, answer.slice(0, 200)).toBeGreaterThanOrEqual(400);
    expect(statusCode, answer.slice(0, 200)).toBeLessThan(500);
    expect(answer.length).toBeLessThan(3000);
  });

  it("makes a drill, with its caution", async () => {
    const { statusCode, body } = await post('{"key":"Eb","left":"rootless"}');
    expect(statusCode).toBe(200);
    expect(JSON.parse(body)).toMatchObject({
      title: "Turnaround in E♭",
      caution: expect.stringContaining("Playing can hurt"),
    });
  });
});
