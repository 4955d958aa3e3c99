import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const TSC = join(ROOT, "node_modules/typescript/bin/tsc");

const run = (command: string, args: readonly string[], cwd: string): string =>
  execFileSync(command, args, { cwd, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });

// The package as a stranger gets it: packed, installed into an empty project, with nothing of this checkout in reach.
describe("the packed package in an empty project", () => {
  const project = mkdtempSync(join(tmpdir(), "hands-together-"));
  const packed: string[] = [];
  beforeAll(() => {
    const [{ filename, files }] = JSON.parse(
      run("npm", ["pack", "--json", "--ignore-scripts", "--pack-destination", project], ROOT),
    ) as [{ filename: string; files: readonly { readonly path: string }[] }];
    packed.push(...files.map(({ path }) => path));
    writeFileSync(join(project, "package.json"), '{ "name": "stranger", "private": true, "type": "module" }');
    run("npm", ["install", "--no-audit", "--no-fund", "--prefer-offline", join(project, filename)], project);
  });
  afterAll(() => rmSync(project, { recursive: true, force: true }));

  const PROGRAM = `chord.parseChord("Cdim7").tones.map((t) => t.note).join(" ") + " " + pitch.pitchName(pitch.transpose(pitch.pitch("Gb3"), pitch.interval("d5")))`;

  it("holds what is built, its schemas and its guides, and none of the sources", () => {
    const { exports } = JSON.parse(readFileSync(join(ROOT, "package.json"), "utf8")) as {
      exports: Readonly<Record<string, { readonly import?: Readonly<Record<string, string>> } | string>>;
    };
    const built = Object.values(exports).flatMap((entry) =>
      typeof entry === "string" ? [] : Object.values(entry.import ?? {}),
    );
    expect(built.filter((path) => !packed.includes(path.replace("./", "")))).toEqual([]);
    for (const path of ["README.md", "LICENSE", "CHANGELOG.md", "dist/cli.js", "dist/schemas/score.json"])
      expect(packed).toContain(path);
    expect(packed.filter((path) => /^(src|tests|bench)\/|\.tsbuildinfo$|(?<!\.d)\.ts$/.test(path))).toEqual([]);
  });

  it("law: what README.md and the guides link to is there", () => {
    const dead = packed
      .filter((path) => path.endsWith(".md"))
      .flatMap((path) =>
        [...readFileSync(join(ROOT, path), "utf8").matchAll(/\]\((?!https?:|#|mailto:)([^)#\s]+)/g)].map(
          ([, link = ""]) => join(dirname(path), link),
        ),
      )
      .filter((link) => !packed.includes(link));
    expect(dead).toEqual([]);
  });

  it("works by import", () => {
    writeFileSync(
      join(project, "a.mjs"),
      `import * as chord from "hands-together"; import * as pitch from "hands-together/pitch"; console.log(${PROGRAM});`,
    );
    expect(run("node", ["a.mjs"], project).trim()).toBe("C Eb Gb Bbb Dbb4");
  });

  it("works by require, with one error class in every subpath", () => {
    writeFileSync(
      join(project, "a.cjs"),
      `
      const chord = require("hands-together/chord"); const pitch = require("hands-together/pitch"); const { MusicError } = require("hands-together");
      console.log(${PROGRAM});
      try { pitch.parsePitch("H4"); } catch (error) { console.log(error instanceof MusicError); }`,
    );
    expect(run("node", ["a.cjs"], project).trim().split("\n")).toEqual(["C Eb Gb Bbb Dbb4", "true"]);
  });

  it.each([
    ["node16", "node16"],
    ["bundler", "esnext"],
    ["node10", "commonjs"],
  ])("type-checks under moduleResolution %s", (moduleResolution, module) => {
    const good = `import { parseChord, type Chord } from "hands-together"; import { pitch } from "hands-together/pitch";
      export const chord: Chord = parseChord("Dm7"); export const note = pitch("Eb4");`;
    writeFileSync(join(project, "good.ts"), good);
    writeFileSync(join(project, "bad.ts"), `${good} export const wrong = pitch("H4");`);
    const check = (file: string): string => {
      try {
        return run(
          "node",
          [
            TSC,
            "--noEmit",
            "--strict",
            "--exactOptionalPropertyTypes",
            "--noUncheckedIndexedAccess",
            "--target",
            "es2022",
            "--module",
            module,
            "--moduleResolution",
            moduleResolution,
            "--skipLibCheck",
            file,
          ],
          project,
        );
      } catch (error) {
        return (error as { stdout: string }).stdout;
      }
    };
    expect(check("good.ts")).toBe("");
    expect(check("bad.ts")).toContain(`'"H4"' is not assignable`);
  });

  it.each(["pitch", "time", "swing"])("importing %s does not load tonal", (folder) => {
    writeFileSync(
      join(project, "load.cjs"),
      `
      require("hands-together/${folder}");
      console.log(Object.keys(require.cache).filter((file) => file.includes("tonal")).length);`,
    );
    expect(run("node", ["load.cjs"], project).trim()).toBe("0");
  });

  it("has a command line that answers", () => {
    const answer = JSON.parse(run("npx", ["--no-install", "hands-together", "chord", "Dm9", "--json"], project)) as {
      tones: readonly { note: string }[];
    };
    expect(answer.tones.map((tone) => tone.note)).toEqual(["D", "F", "A", "C", "E"]);
  });
});
