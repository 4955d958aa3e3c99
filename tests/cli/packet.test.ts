import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { makeDrill, packetDrills } from "../../src/drill/index.ts";
import { writeMusicXml } from "../../src/musicxml/index.ts";
import type { PacketRecipe } from "../../src/recipe/index.ts";
import { call } from "./call.ts";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "packet-"));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

const recipe = {
  title: "Thursday & Friday",
  keys: ["A", "Eb"],
  levels: [3, 1],
  exercises: ["turns"],
  changes: "Dm9 | G13 | Cmaj9",
  tempo: 88,
  backing: "none",
} satisfies PacketRecipe;

const file = (contents: string): string => {
  const path = join(folder, "recipe.json");
  writeFileSync(path, contents);
  return path;
};

const scoresIn = (root: string): readonly string[] =>
  readdirSync(root, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".musicxml"))
    .map((name) => readFileSync(join(root, name), "utf8"))
    .sort();

describe("packet from a recipe", () => {
  it("law: the command writes the drills that the library makes of the same recipe", async () => {
    const out = join(folder, "out");
    expect((await call(["packet", file(JSON.stringify(recipe)), "--out", out])).code).toBe(0);
    expect(scoresIn(out)).toEqual(
      packetDrills(recipe)
        .map((drill) => writeMusicXml(makeDrill(drill.recipe).score))
        .sort(),
    );
    expect(readdirSync(out).sort()).toEqual(["A", "E-flat", "index.html"]);
    expect(readFileSync(join(out, "index.html"), "utf8")).toContain("<h1>Thursday &amp; Friday</h1>");
  });

  it("takes options for what the recipe leaves out, and the recipe's word otherwise", async () => {
    const out = join(folder, "out");
    await call(["packet", file(JSON.stringify(recipe)), "--tempo", "200", "--scale", "minor blues", "--out", out]);
    const [score] = scoresIn(out);
    expect(score).toContain("<per-minute>88</per-minute>");
    expect(scoresIn(out)).toEqual(
      packetDrills({ ...recipe, scale: "minor blues" })
        .map((drill) => writeMusicXml(makeDrill(drill.recipe).score))
        .sort(),
    );
  });

  it("reads one recipe a line, each into a folder of its own, and answers a bad one in its place", async () => {
    const lines = [
      { ...recipe, keys: ["C"] },
      { ...recipe, keys: ["C", "H"] },
      { ...recipe, keys: ["F"], title: "Two" },
    ];
    const { code, out, err } = await call(
      ["packet", "-", "--out", join(folder, "out")],
      lines.map((line) => JSON.stringify(line)).join("\n"),
    );
    expect(code).toBe(2);
    const answers = out
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as { files?: string[]; error?: { code: string } });
    expect(answers.map((answer) => answer.error?.code)).toEqual([undefined, "recipe/packet", undefined]);
    expect(readdirSync(join(folder, "out")).sort()).toEqual(["1-Thursday-Friday", "3-Two"]);
    expect(err).toContain('recipe/packet: got "H"');
  });

  it.each([
    ["[]"],
    ["{"],
    [""],
    ['"C"'],
    ["null"],
    ['{"keys":["C"],"colour":1}'],
    ['{"tempo":1e400}'],
    ['{"keys":["Fb"]}'],
    ['{"exercises":["octave-shifts"],"changes":"nowhere"}'],
  ])("refuses %s and writes nothing", async (contents) => {
    const { code, out, err } = await call(["packet", file(contents), "--out", join(folder, "out")]);
    expect([code, out]).toEqual([2, ""]);
    expect(err.trim().split("\n")).toHaveLength(1);
    expect(readdirSync(folder)).toEqual(["recipe.json"]);
  });

  it("writes nothing where a later key can't be done", async () => {
    const { code, err } = await call([
      "packet",
      "--keys",
      "C F G#",
      "--levels",
      "1",
      "--exercises",
      "1",
      "--out",
      join(folder, "out"),
    ]);
    expect([code, readdirSync(folder)]).toEqual([2, []]);
    expect(err).toContain("Ab major");
  });

  it("names a recipe that isn't there", async () => {
    const { code, err } = await call(["packet", join(folder, "none.json"), "--out", join(folder, "out")]);
    expect(code).toBe(2);
    expect(err).toContain("none.json");
  });

  it("makes the packet of all minor keys", async () => {
    const { code, out } = await call([
      "packet",
      "--mode",
      "minor",
      "--levels",
      "1",
      "--exercises",
      "1",
      "--out",
      join(folder, "out"),
      "--json",
    ]);
    expect(code).toBe(0);
    expect((JSON.parse(out) as { files: string[] }).files.filter((name) => name.endsWith(".musicxml"))).toHaveLength(
      12,
    );
    for (const score of scoresIn(join(folder, "out"))) expect(score).toContain("<mode>minor</mode>");
  });
});
