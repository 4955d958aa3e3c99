// npm run mutation [-- folder or folder/file.ts …] [--read]: Stryker on each folder against its own tests, and what
// survived. Hours for all nine; --read prints what the last runs found. Of each source file its newest run counts, whether alone or in its folder.
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync } from "node:fs";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const FOLDERS = ["pitch", "time", "swing", "chord", "voicing", "voice-leading", "fingering", "line", "assess"] as const;
const ASKED = 90;

interface Mutant {
  readonly mutatorName: string;
  readonly replacement: string;
  readonly status: "Killed" | "Timeout" | "Survived" | "NoCoverage" | "Ignored" | "CompileError" | "RuntimeError";
  readonly location: {
    readonly start: { readonly line: number; readonly column: number };
    readonly end: { readonly line: number; readonly column: number };
  };
}

interface Report {
  readonly files: Readonly<Record<string, { readonly source: string; readonly mutants: readonly Mutant[] }>>;
}

interface Survivor {
  readonly file: string;
  readonly line: number;
  readonly source: string;
  readonly change: string;
}

const REPORTS = `${ROOT}reports/mutation/`;

/** The newest run of each source file of a folder, or of one file. */
const read = (target: string): Report => {
  const oldestFirst = readdirSync(REPORTS)
    .map((name) => `${REPORTS}${name}`)
    .sort((a, b) => statSync(a).mtimeMs - statSync(b).mtimeMs);
  const newest = Object.assign(
    {},
    ...oldestFirst.map((path) => (JSON.parse(readFileSync(path, "utf8")) as Report).files),
  ) as Report["files"];
  const inTarget = (file: string): boolean =>
    target.endsWith(".ts") ? file === `src/${target}` : file.startsWith(`src/${target}/`);
  return {
    files: Object.fromEntries(
      Object.entries(newest)
        .filter(([file]) => inTarget(file) && existsSync(`${ROOT}${file}`))
        .sort(([a], [b]) => (a < b ? -1 : 1)),
    ),
  };
};

const original = (source: string, { start, end }: Mutant["location"]): string => {
  const lines = source.split("\n");
  return start.line === end.line
    ? (lines[start.line - 1] ?? "").slice(start.column - 1, end.column - 1)
    : `${(lines[start.line - 1] ?? "").slice(start.column - 1).trim()} …`;
};

const survivors = ({ files }: Report): readonly Survivor[] =>
  Object.entries(files).flatMap(([file, { source, mutants }]) =>
    mutants
      .filter(({ status }) => status === "Survived" || status === "NoCoverage")
      .map((mutant) => {
        const { line } = mutant.location.start;
        const text = (source.split("\n")[line - 1] ?? "").trim();
        const change = `${original(source, mutant.location)} → ${mutant.replacement.replace(/\s+/g, " ")}${mutant.status === "NoCoverage" ? " (not reached)" : ""}`;
        return {
          file,
          line,
          source: text,
          change,
        };
      }),
  );

const count = (report: Report, ...statuses: readonly Mutant["status"][]): number =>
  Object.values(report.files)
    .flatMap(({ mutants }) => mutants)
    .filter(({ status }) => statuses.includes(status)).length;

const asked = process.argv.slice(2).filter((word) => word !== "--read");
const unknown = asked.filter((name) => !FOLDERS.some((folder) => folder === name.split("/")[0]));
if (unknown.length > 0)
  throw new Error(
    `no such folder: ${unknown.join(", ")}; one of ${FOLDERS.join(", ")}, or a file such as assess/clock.ts`,
  );

mkdirSync(REPORTS, { recursive: true });
const targets = asked.length === 0 ? FOLDERS : asked;
if (!process.argv.includes("--read")) {
  for (const target of targets)
    spawnSync("npx", ["stryker", "run"], { cwd: ROOT, stdio: "inherit", env: { ...process.env, MUTATE: target } });
}

for (const target of targets) {
  const report = read(target);
  const killed = count(report, "Killed", "Timeout");
  const survived = count(report, "Survived", "NoCoverage");
  const percent = (100 * killed) / (killed + survived);
  console.log(`${target}: ${killed} of ${killed + survived} killed, ${percent.toFixed(1)} %`);
  for (const { file, line, change, source } of survivors(report)) {
    console.log(`  ${file}:${line}  ${change}\n      ${source}`);
  }
  if (!(percent >= ASKED)) process.exitCode = 1;
}
