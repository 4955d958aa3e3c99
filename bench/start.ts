// How long the built command line takes to start, in processor time beside Node with an empty script: npm run build first.
import { spawnSync } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const cli = process.argv[2] ?? fileURLToPath(new URL("../dist/cli.js", import.meta.url));
const empty = join(mkdtempSync(join(tmpdir(), "hands-together-start-")), "empty.mjs");
writeFileSync(empty, "");

const RUNS = 15;

/** Processor milliseconds of a process, the median of several; bash tells what its child took. */
const timeOf = (args: readonly string[]): number =>
  Array.from({ length: RUNS }, () => {
    const { stderr } = spawnSync(
      "bash",
      ["-c", `TIMEFORMAT='%U %S'; time "$@" >/dev/null 2>/dev/null`, "bash", process.execPath, ...args],
      { encoding: "utf8" },
    );
    return (
      1000 *
      stderr
        .trim()
        .split(" ")
        .map(Number)
        .reduce((a, b) => a + b, 0)
    );
  }).sort((a, b) => a - b)[RUNS >> 1] ?? 0;

const bare = timeOf([empty]);
console.log(`| node | ${bare.toFixed(0)} ms | |`);
for (const words of [
  ["--version"],
  ["chord", "G13"],
  ["voice", "Dm7 | G7 | Cmaj7"],
  ["finger", "C4 D4 E4"],
  ["chart", "Dm7 | G7"],
  ["drill", "--key", "Eb", "--out", join(tmpdir(), "hands-together-start"), "--force"],
]) {
  const time = timeOf([cli, ...words]);
  console.log(`| ${words.slice(0, 2).join(" ")} | ${time.toFixed(0)} ms | ${(time / bare).toFixed(2)} |`);
}
