import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { all, bundle, entry } from "./bundle.ts";

const ROOT = fileURLToPath(new URL("..", import.meta.url));

// Bytes after minifying and gzip -9, dependencies included: what a page pays that uses all of a subpath. A budget is the promise, or,
// where none is made, the size of the day and a tenth; raise it only for a reason.
const BUDGETS: Readonly<Record<string, number>> = {
  pitch: 3_900,
  time: 6_300,
  event: 100,
  swing: 7_200,
  chord: 7_100,
  scale: 14_600,
  // Charts as people type them; what takes changes as text pays for their reader.
  progression: 48_000,
  harmony: 62_000,
  // Altered chords in fourths, and what a chord that lasts may move to.
  voicing: 19_900,
  "voice-leading": 77_000,
  fingering: 47_500,
  // Twenty-five of it are the counts that lines are drawn from, and eleven the reader of harmony that tells each chord's scale.
  line: 147_000,
  "line-model": 28_500,
  // A voicing holds a chord, and whether that is one its symbol tells.
  // Three thousand of it is comping that listens.
  comping: 22_700,
  score: 29_000,
  // Ids of printed notes are those of MusicXML, of which nothing else comes along.
  schedule: 27_400,
  musicxml: 104_000,
  // Half of it reads charts, for what joins a melody to one.
  midi: 57_000,
  // Two thousand of it is arrangements, and tables that serve again.
  backing: 60_000,
  recipe: 124_000,
  // It counts the bars of a drill by reading its recipe and drawing its exercise.
  limits: 141_000,
  // Repeats on paper are made once and played out.
  drill: 210_000,
  // By the band's clock as well; how loud, how joined and pedalled.
  assess: 118_000,
  // Keys in the order of how they lie under the hand bring the fingering along.
  plan: 140_500,
  // A week is made of drills that were made and measured, and heard by assess.
  notebook: 332_000,
  // A scale by its name, in twelve keys, brings the dictionary of scales along: fourteen thousand.
  picture: 62_000,
  // Repeats, endings and jumps are written and followed.
  handout: 179_000,
  ".": 352_000,
  // Its last word is that of assess.
  follow: 118_000,
};

describe("size", () => {
  it("law: every subpath of the package has a budget", () => {
    const { exports } = JSON.parse(readFileSync(`${ROOT}package.json`, "utf8")) as {
      exports: Readonly<Record<string, unknown>>;
    };
    const subpaths = Object.keys(exports)
      .filter((name) => !name.endsWith(".json"))
      .map((name) => name.replace(/^\.\//, ""));
    expect(Object.keys(BUDGETS).sort()).toEqual(subpaths.sort());
  });

  it.each(Object.entries(BUDGETS))("%s stays within %i bytes", async (subpath, budget) => {
    const { size } = await bundle(all(subpath));
    expect(size).toBeGreaterThan(0);
    expect(size).toBeLessThanOrEqual(budget);
  });

  // A progression may be its text, so the reader of charts is among it, and what the ear knows of keys.
  it("voicing with voice leading stays within 77 kB, tonal not among it", async () => {
    const { size, modules } = await bundle(all("voicing", "voice-leading"));
    expect(size).toBeLessThanOrEqual(77_000);
    expect(modules.length).toBeGreaterThan(10);
    expect(modules.filter((path) => path.includes("tonal"))).toEqual([]);
    const scale = await bundle(all("scale"));
    expect(scale.modules.some((path) => path.includes("tonal"))).toBe(true);
  });

  it("writing MusicXML stays within 33 kB: no XML parser, and no reader of harmony", async () => {
    const { modules, size } = await bundle(`export { writeMusicXml } from "${entry("musicxml")}";`);
    expect(modules.some((path) => path.includes("musicxml/write"))).toBe(true);
    expect(modules.filter((path) => /fast-xml-parser|src\/harmony/.test(path))).toEqual([]);
    expect(size).toBeLessThanOrEqual(33_000);
  });

  it.each(Object.keys(BUDGETS))("%s leaves nothing behind where it is imported and not used", async (subpath) => {
    expect((await bundle(`import "${entry(subpath)}";`)).code.length).toBe(0);
    expect((await bundle(`import * as all from "${entry(subpath)}";`)).code.length).toBe(0);
  });
});

describe("side effects", () => {
  it("law: importing everything leaves the globals and their prototypes as they were", async () => {
    const names = (): readonly string[] =>
      [
        globalThis,
        ...[Object, Array, String, Number, Map, Set, Date, RegExp, Error, Promise].flatMap((c) => [
          c,
          c.prototype as object,
        ]),
      ].map((thing) => Reflect.ownKeys(thing).map(String).sort().join(" "));
    const before = names();
    await import("../src/index.ts");
    expect(names()).toEqual(before);
  });
});
