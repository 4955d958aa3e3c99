// npm run mutation [-- folder or folder/file.ts …] [--read]: Stryker on each folder against its own tests, and what survived without a reason
// in reasons.ts. Hours for all nine; --read prints what the last runs found. Of each source file its newest run counts, whether alone or in its folder.
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { REASONS, type Reason } from "./reasons.ts";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const FOLDERS = ["pitch", "time", "swing", "chord", "voicing", "voice-leading", "fingering", "line", "assess"] as const;
const ASKED = 90;

interface Mutant {
  readonly mutatorName: string;
  readonly replacement: string;
  readonly status: "Killed" | "Timeout" | "Survived" | "NoCoverage" | "Ignored" | "CompileError" | "RuntimeError";
  readonly location: { readonly start: { readonly line: number; readonly column: number }; readonly end: { readonly line: number; readonly column: number } };
}

interface Report {
  readonly files: Readonly<Record<string, { readonly source: string; readonly mutants: readonly Mutant[] }>>;
}

interface Survivor {
  readonly file: string;
  readonly line: number;
  readonly source: string;
  readonly change: string;
  readonly reason: Reason | undefined;
}

const REPORTS = `${ROOT}reports/mutation/`;

/** The newest run of each source file of a folder, or of one file. */
const read = (target: string): Report => {
  const oldestFirst = readdirSync(REPORTS).map((name) => `${REPORTS}${name}`).sort((a, b) => statSync(a).mtimeMs - statSync(b).mtimeMs);
  const newest = Object.assign({}, ...oldestFirst.map((path) => (JSON.parse(readFileSync(path, "utf8")) as Report).files)) as Report["files"];
  const inTarget = (file: string): boolean => (target.endsWith(".ts") ? file === `src/${target}` : file.startsWith(`src/${target}/`));
  return { files: Object.fromEntries(Object.entries(newest).filter(([file]) => inTarget(file) && existsSync(`${ROOT}${file}`)).sort(([a], [b]) => (a < b ? -1 : 1))) };
};

const original = (source: string, { start, end }: Mutant["location"]): string => {
  const lines = source.split("\n");
  return start.line === end.line
    ? (lines[start.line - 1] ?? "").slice(start.column - 1, end.column - 1)
    : `${(lines[start.line - 1] ?? "").slice(start.column - 1).trim()} …`;
};

const survivors = ({ files }: Report): readonly Survivor[] => Object.entries(files).flatMap(([file, { source, mutants }]) => mutants
  .filter(({ status }) => status === "Survived" || status === "NoCoverage")
  .map((mutant) => {
    const { line } = mutant.location.start;
    const text = (source.split("\n")[line - 1] ?? "").trim();
    const change = `${original(source, mutant.location)} → ${mutant.replacement.replace(/\s+/g, " ")}${mutant.status === "NoCoverage" ? " (not reached)" : ""}`;
    return { file, line, source: text, change, reason: REASONS.find((row) => row.file === file && text.includes(row.line) && change.includes(row.change ?? "")) };
  }));

const count = (report: Report, ...statuses: readonly Mutant["status"][]): number =>
  Object.values(report.files).flatMap(({ mutants }) => mutants).filter(({ status }) => statuses.includes(status)).length;

const scores = (report: Report) => {
  const killed = count(report, "Killed", "Timeout");
  const survived = count(report, "Survived", "NoCoverage");
  return { killed, survived, prose: count(report, "Ignored"), percent: (100 * killed) / (killed + survived) };
};

const page = (rows: readonly { readonly folder: string; readonly report: Report }[]): string => {
  const table = rows.map(({ folder, report }) => {
    const { killed, survived, prose, percent } = scores(report);
    return `| ${folder} | ${killed + survived} | ${killed} | ${percent.toFixed(1)} % | ${survived} | ${prose} |`;
  });
  const lists = rows.map(({ folder, report }) => {
    const left = survivors(report).map(({ reason, ...survivor }) => ({ ...survivor, heading: `\`${survivor.file}\`: ${reason?.why ?? "not looked at yet"}` }));
    const items = [...new Set(left.map(({ heading }) => heading))].map((heading) => {
      const changes = left.filter((survivor) => survivor.heading === heading).map(({ line, change }) => `  - ${line}: \`${change.replaceAll("`", "'")}\``);
      return `- ${heading}\n${changes.join("\n")}`;
    });
    const missing = readdirSync(`${ROOT}src/${folder}`, { recursive: true, encoding: "utf8" }).map((name) => `src/${folder}/${name}`)
      .filter((file) => file.endsWith(".ts") && !file.endsWith("index.ts") && !(file in report.files)).sort();
    if (missing.length > 0) items.push(`- Not run to the end: ${missing.map((file) => `\`${file}\``).join(", ")}`);
    return `## ${folder}\n\n${items.join("\n") || "None."}`;
  });
  return `${HEAD}\n| folder | mutants | killed | | survived | prose, left out |\n|---|---|---|---|---|---|\n${table.join("\n")}\n\n${lists.join("\n\n")}\n`;
};

const HEAD = `# Mutation testing

\`npm run mutation\` changes one thing at a time in the sources of nine folders (Stryker), runs that folder's own tests, and lists every change
that no test noticed. It takes hours, so it is no part of \`npm test\`; \`npm run mutation -- pitch\` takes a minute or two. A change that makes the tests
run without end counts as killed. Left out are sentences for people (titles, sources, hints, what an error says it expected), which no
test should pin word for word; codes and ids are in. This page is what the last run of each file found, with the reason for each survivor. For
fingering, line and assess Stryker ran with a quicker test runner and the tests nearest to each file, so a full run finds as many survivors
or fewer; the other folders are this command's own.
`;

const asked = process.argv.slice(2).filter((word) => word !== "--read");
const unknown = asked.filter((name) => !FOLDERS.some((folder) => folder === name.split("/")[0]));
if (unknown.length > 0) throw new Error(`no such folder: ${unknown.join(", ")}; one of ${FOLDERS.join(", ")}, or a file such as assess/clock.ts`);

mkdirSync(REPORTS, { recursive: true });
const targets = asked.length === 0 ? FOLDERS : asked;
if (!process.argv.includes("--read")) {
  for (const target of targets) spawnSync("npx", ["stryker", "run"], { cwd: ROOT, stdio: "inherit", env: { ...process.env, MUTATE: target } });
}

for (const target of targets) {
  const report = read(target);
  const { killed, survived, percent } = scores(report);
  console.log(`${target}: ${killed} of ${killed + survived} killed, ${percent.toFixed(1)} %`);
  for (const { file, line, change, source, reason } of survivors(report)) {
    if (reason === undefined) console.log(`  ${file}:${line}  ${change}\n      ${source}`);
  }
  if (!(percent >= ASKED)) process.exitCode = 1;
}

const all = FOLDERS.map((folder) => ({ folder, report: read(folder) }));
if (all.every(({ report }) => Object.keys(report.files).length > 0)) writeFileSync(`${ROOT}docs/mutation.md`, page(all));
