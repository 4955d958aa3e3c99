import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, normalize, relative } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { describe, expect, it } from "vitest";

const ROOT = fileURLToPath(new URL("..", import.meta.url));

const GUIDE = readFileSync(join(ROOT, "DEVELOPERS.md"), "utf8");

// The layers, from the bottom up, as DEVELOPERS.md draws them. A folder imports itself and lower rows only.
const LAYERS: readonly (readonly string[])[] = (/```layers\n([\s\S]*?)```/.exec(GUIDE)?.[1] ?? "")
  .trim()
  .split("\n")
  .map((line) => line.split("  ")[0]?.trim().split(/\s+/) ?? [])
  .reverse();

// Modules of the outside world that one place alone may import.
const KEPT_BEHIND: Readonly<Record<string, string>> = {
  tonal: "ground",
  commander: "cli",
  "ical-generator": "plan",
  fflate: "musicxml",
};

const filesIn = (folder: string): string[] =>
  readdirSync(join(ROOT, folder)).flatMap((name) => {
    const path = join(folder, name);
    return statSync(join(ROOT, path)).isDirectory() ? filesIn(path) : path.endsWith(".ts") ? [path] : [];
  });

const folderOf = (file: string): string =>
  file
    .replace(/^src\//, "")
    .split("/")[0]
    ?.replace(/\.ts$/, "") ?? "";
const rowOf = (folder: string): number => LAYERS.findIndex((row) => row.includes(folder));

const importsOf = (file: string): string[] =>
  ts.preProcessFile(readFileSync(join(ROOT, file), "utf8"), true, true).importedFiles.map((i) => i.fileName);

const sources = filesIn("src").filter((file) => file !== "src/index.ts");

describe("architecture", () => {
  it("every folder of src stands in the layer picture", () => {
    expect([...new Set(sources.map(folderOf))].filter((folder) => rowOf(folder) < 0)).toEqual([]);
  });

  it("law: a folder imports itself and lower rows only, and other folders by their index or by inner.ts", () => {
    const faults: string[] = [];
    for (const file of sources) {
      const from = folderOf(file);
      for (const name of importsOf(file).filter((i) => i.startsWith("."))) {
        const target = relative(ROOT, normalize(join(ROOT, dirname(file), name)));
        const to = folderOf(target);
        if (to === from) continue;
        if (rowOf(to) >= rowOf(from)) faults.push(`${file} imports ${target}: ${to} is not below ${from}`);
        if (rowOf(to) > 0 && !/^src\/[^/]+\/(index|inner)\.ts$/.test(target))
          faults.push(`${file} imports ${target} past its index`);
      }
    }
    expect(faults).toEqual([]);
  });

  it("law: no file imports itself through others", () => {
    const graph = new Map(
      sources.map((file) => [
        file,
        importsOf(file)
          .filter((i) => i.startsWith("."))
          .map((i) => relative(ROOT, normalize(join(ROOT, dirname(file), i)))),
      ]),
    );
    const done = new Set<string>();
    const walk = (file: string, path: readonly string[]): void => {
      if (path.includes(file)) throw new Error(`circular: ${[...path.slice(path.indexOf(file)), file].join(" -> ")}`);
      if (done.has(file)) return;
      for (const next of graph.get(file) ?? []) walk(next, [...path, file]);
      done.add(file);
    };
    for (const file of sources) walk(file, []);
  });

  it("law: input and output, clock and chance live in cli alone", () => {
    const forbidden = /\bMath\.random\b|\bDate\.now\b|\bnew Date\(\s*\)|\bperformance\.now\b|\bprocess\.|\bfetch\(/;
    const faults = sources
      .filter((file) => folderOf(file) !== "cli")
      .filter((file) => {
        const text = readFileSync(join(ROOT, file), "utf8").replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, "");
        return forbidden.test(text) || importsOf(file).some((i) => i.startsWith("node:"));
      });
    expect(faults).toEqual([]);
  });

  it("law: an outside module is imported in its one place", () => {
    const faults = sources.flatMap((file) =>
      importsOf(file)
        .filter((i) => KEPT_BEHIND[i] !== undefined && KEPT_BEHIND[i] !== folderOf(file))
        .map((i) => `${file} imports ${i}`),
    );
    expect(faults).toEqual([]);
  });

  it("law: every folder but ground and cli is a subpath, built, exported and seen by the tests of all names", () => {
    const folders = [...new Set(sources.map(folderOf))].filter((folder) => !["cli", "ground"].includes(folder)).sort();
    const { exports, tsup } = JSON.parse(readFileSync(join(ROOT, "package.json"), "utf8")) as {
      exports: Readonly<Record<string, unknown>>;
      tsup: readonly { entry: Readonly<Record<string, string>> }[];
    };
    const missing = (present: readonly string[]): readonly string[] =>
      folders.filter((name) => !present.includes(name));
    expect(missing(Object.keys(exports).map((name) => name.slice(2)))).toEqual([]);
    expect(missing(Object.keys(tsup[0]?.entry ?? {}))).toEqual([]);
    expect(missing(importsOf("tests/all.ts").map((name) => name.split("/")[2] ?? ""))).toEqual([]);
  });

  it("law: every path and every layer that DEVELOPERS.md names exists", () => {
    const paths = [...GUIDE.matchAll(/`((?:src|tests|bench|docs|\.ci)\/[^`\s*]*)`/g)].map((m) => m[1] as string);
    expect(paths.length).toBeGreaterThan(10);
    expect(paths.filter((path) => !existsSync(join(ROOT, path)))).toEqual([]);
    const present = sources.map(folderOf);
    expect([LAYERS[0], LAYERS.at(-1)]).toEqual([["ground"], ["cli"]]);
    expect(LAYERS.flat().filter((folder) => !present.includes(folder))).toEqual([]);
  });
});
