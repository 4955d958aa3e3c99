import { spawn, spawnSync } from "node:child_process";
import { copyFileSync, cpSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { ClassOverview } from "../all.ts";
import {
  addEntry,
  makeDrill,
  makeNotebook,
  nextWeek,
  readNotebook,
  weeklyChallenge,
  writeMidi,
  writeNotebook,
} from "../all.ts";
import { realCommandLine } from "./real.ts";

const AT = "2026-01-05T08:00:00Z";
const START = "2026-01-05";
// Two of one alias, and one from whom nothing comes.
const CLASS = [
  ["wren", "Wren", 3],
  ["wren-two", "Wren", 2],
  ["sparrow", "Sparrow", 2],
  ["robin", "Robin", 0],
] as const;
const TAKES = 7;

const takesIn = (folder: string): number =>
  CLASS.reduce(
    (sum, [stem]) =>
      sum +
      readNotebook(readFileSync(join(folder, `${stem}.json`), "utf8")).entries.filter(({ kind }) => kind === "take")
        .length,
    0,
  );

describe("a class", () => {
  let real = { folder: "", script: "" };
  let made = "";
  beforeAll(async () => {
    real = await realCommandLine();
    made = join(real.folder, "made");
    for (const [stem, alias, takes] of CLASS) {
      mkdirSync(join(made, stem), { recursive: true });
      const empty = makeNotebook({ alias, at: AT, id: `bird-${stem}`, level: 2 });
      const week = nextWeek(empty, { start: START });
      writeFileSync(join(made, `${stem}.json`), writeNotebook(addEntry(empty, { kind: "week", at: AT, week })));
      for (let place = 0; place < takes; place++)
        writeFileSync(
          join(made, stem, `take-${place}.mid`),
          writeMidi(makeDrill(week.drills[place]!.recipe).score, {
            tracks: { bass: false, drums: false },
            spreadMs: 3,
            seed: place + 1,
          }),
        );
    }
    writeFileSync(join(made, "week.json"), '{"kind":"practice-week"}');
  }, 120_000);
  afterAll(() => rmSync(real.folder, { recursive: true, force: true }));

  const copy = (name: string): string => {
    const folder = join(real.folder, name);
    cpSync(made, folder, { recursive: true });
    return folder;
  };

  const hear = (folder: string, ...more: readonly string[]) =>
    spawnSync(process.execPath, [real.script, "notebook", "class", folder, "--today", "2026-01-12", ...more], {
      cwd: real.folder,
      encoding: "utf8",
    });

  it("hears every take by workers, keeps students of one name apart, and writes page and table", () => {
    const folder = copy("whole");
    const out = join(real.folder, "overview");
    const { status, stdout, stderr } = hear(folder, "--out", out, "--json");
    expect([status, stderr.trim().split("\n").length]).toEqual([0, TAKES]);
    const overview = JSON.parse(stdout) as ClassOverview;
    expect(overview.students.map(({ name, takes }) => `${name} ${takes}`)).toEqual([
      "Robin 0",
      "Sparrow 2",
      "Wren (bird-wren) 3",
      "Wren (bird-wren-two) 2",
    ]);
    expect(readdirSync(out).sort()).toEqual(["class-2026-01-12.csv", "class-2026-01-12.html"]);
    const lines = readFileSync(join(out, "class-2026-01-12.csv"), "utf8").split("\r\n");
    expect(lines.length).toBe(1 + CLASS.length + 1);
    expect(readFileSync(join(out, "class-2026-01-12.html"), "utf8")).toContain("Wren (bird-wren-two)");
    // Again there is nothing new to hear.
    const before = CLASS.map(([stem]) => readFileSync(join(folder, `${stem}.json`), "utf8"));
    expect(hear(folder).status).toBe(0);
    expect(CLASS.map(([stem]) => readFileSync(join(folder, `${stem}.json`), "utf8"))).toEqual(before);
  }, 120_000);

  it("law: killed in the middle, the next run hears the rest, each recording once", async () => {
    const folder = copy("killed");
    const killed = await new Promise<boolean>((resolve) => {
      const child = spawn(process.execPath, [real.script, "notebook", "class", folder], {
        stdio: ["ignore", "ignore", "pipe"],
      });
      child.stderr.on("data", () => child.kill("SIGKILL"));
      child.on("close", (_, signal) => resolve(signal === "SIGKILL"));
    });
    expect(killed).toBe(true);
    const sofar = takesIn(folder);
    expect(sofar).toBeGreaterThan(0);
    expect(sofar).toBeLessThan(TAKES);
    expect(hear(folder).status).toBe(0);
    expect(takesIn(folder)).toBe(TAKES);
  }, 120_000);

  it("what can't be heard is told in one line, and the rest is heard", () => {
    const folder = copy("bad");
    writeFileSync(join(folder, "wren", "broken.mid"), "MThd");
    writeFileSync(join(folder, "newer.json"), '{"kind":"notebook","version":9}');
    const { status, stderr } = hear(folder);
    expect(status).toBe(2);
    const told = stderr
      .trim()
      .split("\n")
      .filter((line) => !/^\d+\/\d+ /.test(line));
    expect(told.length).toBe(2);
    expect(takesIn(folder)).toBe(TAKES);
  }, 120_000);

  it("the challenge's drills are written, its takes are heard with the class's, and each one's growth is told", () => {
    const folder = copy("challenge");
    const args = [real.script, "notebook", "challenge", folder, "--start", START];
    expect(spawnSync(process.execPath, args, { encoding: "utf8" }).status).toBe(0);
    const drill = weeklyChallenge(START).drills[1]!;
    writeFileSync(
      join(folder, "sparrow", "z.mid"),
      writeMidi(makeDrill({ ...drill.recipe, tempo: 60 }).score, {
        tracks: { bass: false, drums: false },
        spreadMs: 4,
      }),
    );
    copyFileSync(join(folder, "sparrow", "z.mid"), join(folder, "robin", "z.mid"));
    expect(hear(folder).status).toBe(0);
    const { stdout, status } = spawnSync(process.execPath, args, { encoding: "utf8" });
    expect(status).toBe(0);
    expect(stdout).toMatch(/Robin: took part[^\n]*\nSparrow: took part/);
  }, 120_000);
});
