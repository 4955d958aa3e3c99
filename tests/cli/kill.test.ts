import { spawn, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { XMLValidator } from "fast-xml-parser";
import { parseMidi } from "midi-file";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { run } from "../../src/cli/run.ts";
import { realCommandLine } from "./real.ts";

const PACKET = ["packet", "--keys", "C Eb", "--levels", "1", "--exercises", "2"];

const filesIn = (folder: string): readonly string[] =>
  existsSync(folder)
    ? readdirSync(folder, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => join(entry.parentPath, entry.name))
        .sort()
    : [];

const isTemporary = (path: string): boolean => path.endsWith(".part");

const contentsOf = (folder: string): Readonly<Record<string, string>> =>
  Object.fromEntries(filesIn(folder).map((path) => [path.slice(folder.length), readFileSync(path, "base64")]));

/** Whether a file is whole, by independent readers. */
const isWhole = (path: string): boolean => {
  const bytes = readFileSync(path);
  const text = bytes.toString("utf8");
  if (path.endsWith(".json")) return text.endsWith("}\n") && typeof JSON.parse(text) === "object";
  if (path.endsWith(".musicxml"))
    return XMLValidator.validate(text) === true && text.trimEnd().endsWith("</score-partwise>");
  if (path.endsWith(".html")) return text.trimEnd().endsWith("</html>");
  return parseMidi(bytes).tracks.every((track) => track.at(-1)?.type === "endOfTrack");
};

describe("a packet whose writing is killed", () => {
  let real = { folder: "", script: "" };
  let undisturbed: Readonly<Record<string, string>> = {};
  beforeAll(async () => {
    real = await realCommandLine();
    const out = join(real.folder, "undisturbed");
    await again(out);
    undisturbed = contentsOf(out);
  }, 60_000);
  afterAll(() => rmSync(real.folder, { recursive: true, force: true }));

  const again = (out: string): Promise<number> =>
    run([...PACKET, "--out", out], {
      write: () => undefined,
      complain: () => undefined,
      readStdin: () => "",
      columns: undefined,
    });

  // Loaded before the command line: the process dies by its own hand in the middle of the nth call, a write half done.
  const dying = (call: "writeFileSync" | "linkSync" | "mkdirSync", nth: number): string =>
    `data:text/javascript,${encodeURIComponent(`
    import fs from "node:fs";
    import { syncBuiltinESMExports } from "node:module";
    const real = { write: fs.writeFileSync, call: fs.${call} };
    let left = ${nth};
    fs.${call} = (...args) => {
      left -= 1;
      if (left > 0) return real.call(...args);
      if ("${call}" === "writeFileSync") real.write(args[0], args[1].slice(0, args[1].length / 2), args[2]);
      process.kill(process.pid, "SIGKILL");
    };
    syncBuiltinESMExports();
  `)}`;

  const lawfulAfter = async (out: string): Promise<void> => {
    for (const path of filesIn(out)) if (!isTemporary(path)) expect([path, isWhole(path)]).toEqual([path, true]);
    expect(await again(out)).toBe(0);
    expect(contentsOf(out)).toEqual(undisturbed);
  };

  it.each([
    ["writeFileSync", 1],
    ["writeFileSync", 10],
    ["writeFileSync", 25],
    ["linkSync", 3],
    ["linkSync", 12],
    ["linkSync", 25],
    ["mkdirSync", 2],
  ] as const)(
    "law: killed in the middle of %s number %i, the next run completes the packet and sweeps what was left",
    async (call, nth) => {
      const out = join(real.folder, `dying-${call}-${nth}`);
      const { signal } = spawnSync(
        process.execPath,
        ["--import", dying(call, nth), real.script, ...PACKET, "--out", out],
        { cwd: real.folder, stdio: "ignore" },
      );
      expect(signal).toBe("SIGKILL");
      expect(filesIn(out).filter(isTemporary).length).toBe(
        { writeFileSync: 1 + ((nth - 1) % 6), linkSync: nth === 25 ? 1 : 6, mkdirSync: 0 }[call],
      );
      await lawfulAfter(out);
    },
    30_000,
  );

  it("leaves the temporary files of a run that goes on, and what only looks like one", async () => {
    const out = join(real.folder, "beside");
    const key = join(out, "C");
    mkdirSync(key, { recursive: true });
    const names = [`.x.musicxml.${process.ppid}.0.part`, ".x.part", "x.999999999.0.part", "notes.txt"];
    for (const name of names) writeFileSync(join(key, name), "mine");
    expect(await again(out)).toBe(0);
    for (const name of names) expect(readFileSync(join(key, name), "utf8")).toBe("mine");
  }, 30_000);

  /** Runs until `when` many drills are told of, waits a little more, and kills. */
  const killed = (out: string, when: number, waitMs: number): Promise<boolean> =>
    new Promise((resolve) => {
      const child = spawn(process.execPath, [real.script, ...PACKET, "--out", out], {
        cwd: real.folder,
        stdio: ["ignore", "ignore", "pipe"],
      });
      let told = "";
      let struck = false;
      const strike = (): void => {
        if (struck) return;
        struck = true;
        setTimeout(() => child.kill("SIGKILL"), waitMs);
      };
      child.stderr.on("data", (data: Buffer) => {
        told += data.toString();
        if (told.split("\n").length - 1 >= when) strike();
      });
      child.on("close", (_, signal) => resolve(signal === "SIGKILL"));
    });

  // When the process dies is chance on purpose: the law holds at every moment.
  it("law: what has its name is whole, and the next run completes the packet, byte for byte, and leaves nothing else", async () => {
    expect(Object.keys(undisturbed).length).toBe(1 + 2 * 2 * 6);
    const out = join(real.folder, "killed");
    let strikes = 0;
    for (let round = 0; round < 3; round++) {
      rmSync(out, { recursive: true, force: true });
      if (await killed(out, 1 + round, Math.random() * 40)) strikes++;
      await lawfulAfter(out);
    }
    expect(strikes).toBeGreaterThan(0);
  }, 60_000);
});
