import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import ICAL from "ical.js";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { run } from "../../src/cli/run.ts";
import type { Notebook, PracticeWeek } from "../all.ts";
import { makeDrill, readNotebook, writeMidi } from "../all.ts";
import type { Answer } from "./call.ts";
import { call as commandLine } from "./call.ts";
import { realCommandLine } from "./real.ts";

const folder = mkdtempSync(join(tmpdir(), "hands-together-notebook-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const call = (args: readonly string[], stdin = ""): Promise<Answer> => commandLine(["notebook", ...args], stdin);

const at = (name: string): string => join(folder, name);
const bookAt = (path: string): Notebook => readNotebook(readFileSync(path, "utf8"));

/** A take of a drill as a MIDI file: its own notes, a few milliseconds off. */
const record = (path: string, week: PracticeWeek, place: number): void => {
  const { score } = makeDrill(week.drills[place]!.recipe);
  writeFileSync(path, writeMidi(score, { tracks: { bass: false, drums: false }, spreadMs: 3 }));
};

const newBook = async (name: string, ...more: readonly string[]): Promise<string> => {
  const path = at(name);
  expect((await call(["new", path, "--alias", "Sparrow", ...more])).code).toBe(0);
  return path;
};

const weekOf = async (path: string, start: string, ...more: readonly string[]) => {
  const { out, code } = await call(["next", path, "--start", start, "--json", ...more]);
  expect(code).toBe(0);
  return JSON.parse(out) as PracticeWeek & { readonly files?: readonly string[] };
};

describe("notebook", () => {
  it("a student's three weeks: take, next, show", async () => {
    const path = await newBook("three.json", "--level", "2", "--weak", "Ab");
    const first = await weekOf(path, "2026-01-05");
    record(at("one.mid"), first, 0);
    const heard = await call(["take", path, at("one.mid"), "--at", "2026-01-07T17:00:00Z", "--json"]);
    expect(JSON.parse(heard.out)).toMatchObject({ kind: "take", drill: first.drills[0]?.id, clean: true });
    const second = await weekOf(path, "2026-01-12");
    expect(second.number).toBe(2);
    const going = second.drills.find(({ skill }) => skill === first.drills[0]?.skill);
    expect(going?.tempo).toBeGreaterThan(first.drills[0]!.tempo);
    expect((await call(["show", path])).out).toContain("Sparrow");
  }, 60_000);

  it("a recording that was heard is not written down again", async () => {
    const path = await newBook("twice.json");
    record(at("twice.mid"), await weekOf(path, "2026-01-05"), 0);
    await call(["take", path, at("twice.mid")]);
    const before = readFileSync(path, "utf8");
    expect((await call(["take", path, at("twice.mid")])).code).toBe(0);
    expect(readFileSync(path, "utf8")).toBe(before);
  }, 60_000);

  it("law: the week's files have names of their own, each calendar entry names its sheet, and every UID comes once", async () => {
    const path = await newBook("files.json", "--level", "3");
    const out = at("week");
    const week = await weekOf(path, "2026-01-05", "--no-handouts", "--out", out, "--time", "17:30");
    const files = readdirSync(out);
    expect(new Set(week.files).size).toBe(week.files?.length);
    expect([...files].sort()).toEqual((week.files ?? []).map((file) => file.slice(out.length + 1)).sort());
    const calendar = readFileSync(join(out, files.find((name) => name.endsWith(".ics"))!), "utf8");
    const events = new ICAL.Component(ICAL.parse(calendar))
      .getAllSubcomponents("vevent")
      .map((one) => new ICAL.Event(one));
    expect(events.length).toBe(week.days.length);
    expect(new Set(events.map(({ uid }) => uid)).size).toBe(events.length);
    for (const { description } of events) {
      const sheets = [...description.matchAll(/sheet (\S+\.musicxml)/g)].map(([, name]) => name ?? "");
      expect(sheets.length).toBeGreaterThan(0);
      expect(sheets.filter((name) => !files.includes(name))).toEqual([]);
    }
    for (const kind of ["student", "teacher"]) {
      const html = readFileSync(join(out, files.find((name) => name.endsWith(`-${kind}.html`))!), "utf8");
      const links = [...html.matchAll(/href="([^"]+)"/g)].map(([, name]) => decodeURI(name ?? ""));
      expect(links.length).toBe(week.drills.length);
      expect(links.filter((name) => !files.includes(name))).toEqual([]);
    }
    // The same again is the same week, and finds its files there.
    const before = readFileSync(path, "utf8");
    rmSync(join(out, files[0]!));
    expect((await weekOf(path, "2026-01-05", "--no-handouts", "--out", out, "--time", "17:30")).drills).toEqual(
      week.drills,
    );
    expect(readFileSync(path, "utf8")).toBe(before);
    expect(readdirSync(out).sort()).toEqual([...files].sort());
  }, 60_000);

  it("law: nothing piped is refused: every drill of a week goes through the command drill", async () => {
    const path = await newBook("piped.json", "--level", "4");
    const { drills } = await weekOf(path, "2026-01-05");
    let out = "";
    const code = await run(["drill", "-", "--out", at("piped")], {
      write: (text) => {
        out += text;
      },
      complain: () => undefined,
      readStdin: () => drills.map(({ recipe }) => JSON.stringify(recipe)).join("\n"),
      columns: undefined,
    });
    expect([code, out.includes("error")]).toEqual([0, false]);
  }, 60_000);

  it("pins, forbids, charts and settings go in, and copies merge", async () => {
    const path = await newBook("wishes.json", "--level", "3");
    const copy = at("copy.json");
    writeFileSync(copy, readFileSync(path));
    expect(
      (await call(["change", path, "--forbid", "key:Db", "--pin", "skill:slides-down", "--minutes", "40"])).code,
    ).toBe(0);
    expect(
      (await call(["change", copy, "--chart", "Dm7 | G7 | Cmaj7 | %", "--title", "Mine", "--key", "C"])).code,
    ).toBe(0);
    expect((await call(["merge", path, copy])).code).toBe(0);
    expect(
      bookAt(path)
        .entries.map(({ kind }) => kind)
        .sort(),
    ).toEqual(["chart", "student", "student", "wish", "wish"]);
    expect((await weekOf(path, "2026-01-05")).drills[0]).toMatchObject({ part: "pinned", skill: "slides-down" });
  }, 60_000);
});

describe("bad input: one line each, nothing changed", () => {
  const refused = async (path: string, args: readonly string[], code: string): Promise<void> => {
    const before = readFileSync(path, "utf8");
    const { err, out, code: exit } = await call(args);
    expect(out).toBe("");
    expect(err).toMatch(new RegExp(`^${code}: [^\\n]*\\n$`));
    expect(exit).toBeGreaterThan(0);
    expect(readFileSync(path, "utf8")).toBe(before);
  };

  it.each([
    ['{"kind":"notebook","version":2,"id":"abcd","entries":[]}', "notebook/version"],
    ['{"kind":"notebook","version":1,"id":"abcd","entr', "notebook/json"],
    ["", "notebook/json"],
  ])("%s", async (text, code) => {
    const path = at("bad.json");
    writeFileSync(path, text);
    for (const args of [
      ["next", path],
      ["show", path],
      ["change", path, "--level", "2"],
    ])
      await refused(path, args, code);
  });

  it("takes of another drill, of none, and what is no take", async () => {
    const path = await newBook("other.json");
    const drill = makeDrill({ key: "F#", changes: "cycle-of-fifths", right: "enclosures", left: "rootless" });
    writeFileSync(at("other.mid"), writeMidi(drill.score));
    writeFileSync(at("broken.mid"), "MThd");
    await refused(path, ["take", path, at("other.mid")], "notebook/other-drill");
    await weekOf(path, "2026-01-05");
    await refused(path, ["take", path, at("other.mid")], "notebook/other-drill");
    await refused(path, ["take", path, at("broken.mid")], "midi/[a-z-]+");
    await refused(path, ["take", path, at("nowhere.mid")], "cli/file");
  }, 60_000);

  it("a notebook that is there is not overwritten, and a wish that can't be read is not taken", async () => {
    const path = await newBook("there.json");
    await refused(path, ["new", path, "--alias", "Wren"], "cli/exists");
    await refused(path, ["change", path, "--pin", "something"], "cli/notebook");
    await refused(path, ["change", path, "--pin", "skill:slide-down"], "cli/notebook");
    await refused(path, ["change", path, "--forbid", "right:five"], "cli/notebook");
    await refused(path, ["change", path, "--forbid", "changes:H7"], "[a-z]+/[a-z]+");
    await refused(path, ["change", path, "--level", "9"], "cli/notebook");
    await refused(path, ["change", path, "--weak", "H"], "notebook/entry");
  });
});

describe("a notebook that several processes write", () => {
  let real = { folder: "", script: "" };
  beforeAll(async () => {
    real = await realCommandLine();
  }, 60_000);
  afterAll(() => rmSync(real.folder, { recursive: true, force: true }));

  const start = (args: readonly string[]): Promise<number | null> =>
    new Promise((resolve) => {
      spawn(process.execPath, [real.script, "notebook", ...args], { cwd: real.folder, stdio: "ignore" }).on(
        "close",
        resolve,
      );
    });

  it("law: of processes that change one notebook at once nothing is lost", async () => {
    const path = await newBook("many.json");
    const keys = ["C", "F", "Bb", "Eb", "Ab", "Db"];
    const codes = await Promise.all(keys.map((key) => start(["change", path, "--pin", `key:${key}`])));
    expect(codes).toEqual(keys.map(() => 0));
    const pinned = bookAt(path).entries.flatMap((entry) => (entry.kind === "wish" ? [entry.id] : []));
    expect([...pinned].sort()).toEqual([...keys].sort());
    expect(readdirSync(folder).filter((name) => /\.(part|lock)$/.test(name))).toEqual([]);
  }, 120_000);

  // Loaded before the command line: the process dies by its own hand in the middle of a call.
  const dying = (call: "writeSync" | "renameSync" | "fsyncSync", nth: number): string =>
    `data:text/javascript,${encodeURIComponent(`
    import fs from "node:fs";
    import { syncBuiltinESMExports } from "node:module";
    const real = fs.${call};
    let left = ${nth};
    fs.${call} = (...args) => {
      if (--left > 0) return real(...args);
      if ("${call}" === "writeSync") real(args[0], String(args[1]).slice(0, 20));
      process.kill(process.pid, "SIGKILL");
    };
    syncBuiltinESMExports();
  `)}`;

  it.each([
    ["writeSync", 1],
    ["writeSync", 2],
    ["fsyncSync", 1],
    ["renameSync", 1],
  ] as const)(
    "law: killed in the middle of %s number %i the notebook is as it was, and the next change goes in",
    async (which, nth) => {
      const path = await newBook(`killed-${which}-${nth}.json`);
      const before = readFileSync(path, "utf8");
      const { signal } = spawnSync(
        process.execPath,
        ["--import", dying(which, nth), real.script, "notebook", "change", path, "--level", "2"],
        { cwd: real.folder, stdio: "ignore" },
      );
      expect(signal).toBe("SIGKILL");
      expect(readFileSync(path, "utf8")).toBe(before);
      expect(await start(["change", path, "--level", "3"])).toBe(0);
      expect(bookAt(path).entries.length).toBe(2);
      expect(readdirSync(folder).filter((name) => /\.(part|lock)$/.test(name))).toEqual([]);
    },
    60_000,
  );
});
