import {
  closeSync,
  existsSync,
  linkSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  readSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { MusicError } from "../ground/errors.ts";

/** The outside world as a command sees it; tests put their own in. */
export interface Terminal {
  readonly write: (text: string) => void;
  readonly complain: (text: string) => void;
  /** Draws on standard error what is drawn over again; absent where that is no terminal. */
  readonly draw?: (text: string) => void;
  readonly readStdin: () => string;
  /** Columns of the terminal, or `undefined` in a pipe. */
  readonly columns: number | undefined;
  /** Address of the script that worker threads run; without it all is done in one thread. */
  readonly script?: string | undefined;
}

/** A file to be written: its name inside the output folder and its contents. */
export interface OutputFile {
  readonly name: string;
  readonly contents: string | Uint8Array;
}

/** The code of what went wrong outside, such as `EACCES`. */
export const reasonOf = (error: unknown): string =>
  error instanceof Error && "code" in error ? String(error.code) : String(error);

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: "there is no such file or folder",
  EISDIR: "it is a folder",
  ENOTDIR: "a part of the path is a file",
  EEXIST: "a part of the path is a file",
  EACCES: "it is not allowed",
  EPERM: "it is not allowed",
  EROFS: "the disk can't be written",
  ENOSPC: "the disk is full",
  ENAMETOOLONG: "the name is too long",
};

/** What went wrong outside, in a few words. */
export const inOneLine = (error: unknown): string => inWords(error);

const inWords = (error: unknown): string => REASONS[reasonOf(error)] ?? reasonOf(error);

/**
 * Writes files whole or not at all: each goes to a temporary file beside its place first, and only when all of
 * them are on disk do they take their names. Without `force` an existing file is refused before anything is
 * written, and a name that appears meanwhile is refused by the link call itself; what was already placed is
 * taken back. Temporary files that a killed run left behind are removed.
 *
 * @returns the paths, in the order given
 * @throws MusicError `cli/exists` for an existing file without `force`, `cli/folder` when the folder can't be made or written
 */
export function writeFiles(
  folder: string,
  files: readonly OutputFile[],
  force: boolean,
  terminal: Terminal,
): readonly string[] {
  const root = resolve(folder);
  const targets = files.map(({ name }) => {
    if (basename(name) !== name || name === "." || name === "..") {
      throw new MusicError({ code: "cli/name", input: name, expected: "a plain file name without folders" });
    }
    return join(folder, name);
  });
  const mine = writtenBy(terminal);
  const ours = files.filter(({ name }) => mine.has(resolve(root, name)));
  if (ours.length > 0) {
    const other = ours.find(({ name, contents }) => !readFileSync(join(root, name)).equals(Buffer.from(contents)));
    if (other !== undefined) throw twice(join(folder, other.name));
    const others = files.filter((file) => !ours.includes(file));
    if (others.length > 0) writeFiles(folder, others, force, terminal);
    return targets;
  }
  if (!force) requireFree(targets);
  try {
    makeFolder(root);
    removeLeftovers(root);
  } catch (error) {
    throw new MusicError({
      code: "cli/folder",
      input: folder,
      expected: "a folder that exists or can be made",
      hint: inWords(error),
    });
  }
  const waiting = targets.map((target, i) => join(dirname(target), `.${basename(target)}.${process.pid}.${i}.part`));
  const placed: string[] = [];
  try {
    files.forEach(({ contents }, i) => writeFileSync(waiting[i] as string, contents, { flag: "wx" }));
    targets.forEach((target, i) => {
      if (force) renameSync(waiting[i] as string, target);
      else place(waiting[i] as string, target);
      placed.push(target);
      mine.add(resolve(target));
    });
  } catch (error) {
    if (!force) for (const target of placed) rmSync(target, { force: true });
    if (reasonOf(error) === "EEXIST") throw exists(targets[placed.length] ?? folder);
    throw new MusicError({
      code: "cli/folder",
      input: folder,
      expected: "a folder that can be written",
      hint: inWords(error),
    });
  } finally {
    for (const path of waiting) rmSync(path, { force: true });
  }
  return targets;
}

/**
 * The same for files of which some may be there already: those that are, byte for byte, stay, so that what was cut short can be finished.
 *
 * @throws MusicError as {@link writeFiles}
 */
export const writeMissing = (
  folder: string,
  files: readonly OutputFile[],
  force: boolean,
  terminal: Terminal,
): readonly string[] => {
  const missing = files.filter(({ name, contents }) => {
    const path = join(folder, name);
    return !existsSync(path) || !readFileSync(path).equals(Buffer.from(contents));
  });
  if (missing.length > 0) writeFiles(folder, missing, force, terminal);
  return files.map(({ name }) => join(folder, name));
};

// What each run has written: its outputs never take each other's place, --force or not.
const WRITTEN = new WeakMap<Terminal, Set<string>>();

const writtenBy = (terminal: Terminal): Set<string> => {
  const known = WRITTEN.get(terminal) ?? new Set<string>();
  WRITTEN.set(terminal, known);
  return known;
};

const twice = (path: string): MusicError =>
  new MusicError({
    code: "cli/twice",
    input: path,
    expected: "outputs of one run that differ in name",
    hint: "write them into folders of their own",
  });

// exFAT and some shares have no links; there a name that appears in that very moment would be overwritten.
const place = (from: string, target: string): void => {
  try {
    linkSync(from, target);
  } catch (error) {
    if (!["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS", "EMLINK"].includes(reasonOf(error))) throw error;
    requireFree([target]);
    renameSync(from, target);
  }
};

/**
 * Refuses names that are taken.
 *
 * @throws MusicError `cli/exists` for the first
 */
export const requireFree = (paths: readonly string[]): void => {
  const taken = paths.find((path) => existsSync(path));
  if (taken !== undefined) throw exists(taken);
};

const PART = /^\..+\.([0-9]+)\.[0-9]+\.part$/;
const HOUR_MS = 3_600_000;

/** Removes the temporary files of runs that are no more: their process is gone, or they are older than an hour. */
export function removeLeftovers(folder: string): void {
  if (!existsSync(folder)) return;
  for (const name of readdirSync(folder)) {
    const pid = PART.exec(name)?.[1];
    const path = join(folder, name);
    if (pid !== undefined && (!isRunning(Number(pid)) || ageOf(path) > HOUR_MS)) rmSync(path, { force: true });
  }
}

const ageOf = (path: string): number => Date.now() - (statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? Date.now());

/** Whether a process is there. */
export const isRunning = (pid: number): boolean => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return reasonOf(error) === "EPERM";
  }
};

// Level by level: Node's recursive mkdir never returns where the kernel answers ENOENT below a folder that exists, as /proc does.
const makeFolder = (path: string): void => {
  if (existsSync(path)) return;
  makeFolder(dirname(path));
  try {
    mkdirSync(path);
  } catch (error) {
    if (reasonOf(error) !== "EEXIST") throw error;
  }
};

const exists = (path: string): MusicError =>
  new MusicError({
    code: "cli/exists",
    input: path,
    expected: "a file that is not there yet",
    hint: "use --force to overwrite it",
  });

/** Bytes of a file or of standard input: more than any take or score has. */
const MOST_BYTES = 64 * 2 ** 20;

/**
 * Reads a whole file, of at most 64 MB: a device that never ends is refused too.
 *
 * @throws MusicError `cli/file` when it can't be read or is larger
 */
export function readInput(path: string): Uint8Array {
  try {
    const file = openSync(path, "r");
    try {
      return readAll(file, path);
    } finally {
      closeSync(file);
    }
  } catch (error) {
    if (error instanceof MusicError) throw error;
    throw new MusicError({ code: "cli/file", input: path, expected: "a file that can be read", hint: inWords(error) });
  }
}

/**
 * Reads standard input to its end, at most 64 MB.
 *
 * @throws MusicError `cli/stdin` when it can't be read, `cli/file` when there is more
 */
export function readStdin(): string {
  try {
    return new TextDecoder().decode(readAll(0, "standard input"));
  } catch (error) {
    if (error instanceof MusicError) throw error;
    throw new MusicError({
      code: "cli/stdin",
      input: "standard input",
      expected: "lines on standard input",
      hint: inWords(error),
    });
  }
}

const readAll = (file: number, name: string): Uint8Array => {
  const parts: Buffer[] = [];
  for (let total = 0; ; ) {
    const part = Buffer.allocUnsafe(2 ** 16);
    const length = readSync(file, part, 0, part.length, null);
    if (length === 0) return Buffer.concat(parts, total);
    total += length;
    if (total > MOST_BYTES) throw new MusicError({ code: "cli/file", input: name, expected: "at most 64 MB" });
    parts.push(part.subarray(0, length));
  }
};
