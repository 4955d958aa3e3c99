import { execFileSync, spawn, spawnSync } from "node:child_process";
import { existsSync, openSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { plain } from "../../src/cli/plain.ts";
import { CAUTION, makeDrill, scoreToJson } from "../all.ts";
import type { Answer } from "./call.ts";
import { call } from "./call.ts";
import { realCommandLine } from "./real.ts";

const told = (...args: readonly string[]): Promise<Answer> => call(args);

describe("a process of its own", () => {
  let real = { folder: "", script: "" };
  beforeAll(async () => {
    real = await realCommandLine();
  }, 60_000);
  afterAll(() => rmSync(real.folder, { recursive: true, force: true }));
  const chord = (): readonly string[] => [real.script, "chord", "G13"];

  it.skipIf(!existsSync("/dev/full"))("says in one line that the disk is full, and fails", () => {
    const full = openSync("/dev/full", "w");
    const { status, stderr } = spawnSync(process.execPath, chord(), {
      stdio: ["ignore", full, "pipe"],
      encoding: "utf8",
    });
    expect(status).toBe(1);
    expect(stderr.trim().split("\n")).toEqual(["the answer can't be written: the disk is full"]);
  });

  it("succeeds where nobody reads its remarks or the whole of its answer", async () => {
    const quiet = spawn(process.execPath, [real.script, "voice", "Dm7 | G7"], { stdio: ["ignore", "pipe", "pipe"] });
    quiet.stderr.destroy();
    expect(await new Promise((end) => quiet.on("exit", end))).toBe(0);
    const early = spawn(process.execPath, [real.script, "schema", "drill"], { stdio: ["ignore", "pipe", "pipe"] });
    early.stdout.destroy();
    expect(await new Promise((end) => early.on("exit", end))).toBe(0);
  });

  it("loads what a command needs: a chord neither reads MusicXML nor makes drills", () => {
    const folder = join(real.folder, "bin");
    const seen = new Set<string>();
    const load = (name: string): void => {
      if (seen.has(name)) return;
      seen.add(name);
      for (const [, next = ""] of readFileSync(join(folder, name), "utf8").matchAll(/(?:from|^import) "\.\/([^"]+)"/gm))
        load(next);
    };
    load(readdirSync(folder).find((name) => name.startsWith("chord-")) ?? "none");
    const text = [...seen].map((name) => readFileSync(join(folder, name), "utf8")).join("\n");
    expect(text).toContain("// src/chord/chord.ts");
    for (const file of ["musicxml/write", "drill/make", "fingering/solve", "line/generate", "progression/chart"])
      expect(text).not.toContain(`// src/${file}.ts`);
  });

  it("completes commands and options in bash", async () => {
    const { out } = await told("completion", "bash");
    const ask = (...words: readonly string[]): readonly string[] =>
      execFileSync(
        "bash",
        [
          "-c",
          `${out}\nCOMP_WORDS=("$@") COMP_CWORD=$(($# - 1)); _hands_together; printf '%s\\n' "\${COMPREPLY[@]}"`,
          "bash",
          "hands-together",
          ...words,
        ],
        { encoding: "utf8" },
      )
        .trim()
        .split("\n");
    expect(ask("ch")).toEqual(["chord", "chart", "check"]);
    expect(ask("voice", "--a")).toEqual(["--aims"]);
    expect(ask("finger", "--hel")).toEqual(["--help"]);
  });
});

describe("what a terminal is told", () => {
  it("law: no control character but the end of a line and a tab reaches it, and plain text stays as it is", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        expect(plain(text)).not.toMatch(/(?![\n\t])[\p{Cc}\u202a-\u202e\u2066-\u2069]/u);
      }),
    );
    fc.assert(
      fc.property(fc.string(), (text) => {
        expect(plain(`${text}\n`)).toBe(`${text}\n`);
      }),
    );
    expect(plain("a\u001b[2Jb")).toBe("a\\u001b[2Jb");
  });

  it("neutralises a title from a file", async () => {
    const place = join((await realCommandLine()).folder, "drill.json");
    writeFileSync(
      place,
      JSON.stringify({ ...scoreToJson(makeDrill({ key: "C" }).score), title: "x\u001b]0;owned\u0007" }),
    );
    const { out, err } = await told("check", place);
    expect(out + err).not.toContain("\u001b");
  });

  it.each([
    ["chord", "G13", "--style", "rootless"],
    ["voice", "Dm7 | G7 | Cmaj7"],
    ["finger", "C4 D4 E4"],
    ["finger", "--scale", "C major"],
    ["plan", "--days", "2"],
  ])("the caution stands beside the answer: %s %s %s", async (...words) => {
    const text = await told(...words);
    expect(text.code, text.err).toBe(0);
    expect(text.out + text.err).toContain(CAUTION);
    const { out } = await told(...words, "--json");
    expect(JSON.parse(out)).toMatchObject({ caution: CAUTION });
  });

  it("has the same completions for zsh and fish", async () => {
    for (const shell of ["zsh", "fish"]) {
      const { code, out } = await told("completion", shell);
      expect(code).toBe(0);
      expect(out).toContain("spells a chord symbol");
      expect(out).toMatch(/aims/);
    }
    expect((await told("completion", "tcsh")).code).toBe(2);
  });
});
