import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { MusicError } from "../ground/errors.ts";
import type { Notebook } from "../notebook/index.ts";
import { readNotebook, writeNotebook } from "../notebook/index.ts";
import { fromFile } from "./from-file.ts";
import { isRunning, readInput, reasonOf, removeLeftovers } from "./io.ts";

/** Reads a notebook's file. */
export const notebookFile = (path: string): Notebook =>
  fromFile(path, () => readNotebook(new TextDecoder().decode(readInput(path))));

const WAIT_MS = 20;
const PATIENCE_MS = 20_000;
// A change of a notebook takes far less; what is older was left behind.
const STALE_MS = 60_000;

const pause = (ms: number): void => {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms);
};

const isStale = (lock: string): boolean => {
  try {
    const owner = Number(readFileSync(lock, "utf8"));
    const age = Date.now() - statSync(lock).mtimeMs;
    // One that is being written has no owner yet.
    return owner === 0 ? age > 1000 : age > STALE_MS || !isRunning(owner);
  } catch {
    return false;
  }
};

/** Does something while no other process does it to the same file. */
const alone = <T>(path: string, act: () => T): T => {
  const lock = `${path}.lock`;
  const until = Date.now() + PATIENCE_MS;
  for (;;) {
    try {
      const file = openSync(lock, "wx");
      writeSync(file, String(process.pid));
      closeSync(file);
      break;
    } catch (error) {
      if (reasonOf(error) !== "EEXIST")
        throw new MusicError({ code: "cli/file", input: path, expected: "a notebook in a folder that can be written" });
      if (isStale(lock)) {
        // Of two who find it stale one gets it by this name, the other finds nothing and asks again.
        const away = `${lock}.${process.pid}`;
        try {
          renameSync(lock, away);
        } catch {
          continue;
        }
        rmSync(away, { force: true });
        continue;
      }
      if (Date.now() > until)
        throw new MusicError({ code: "cli/busy", input: path, expected: "a notebook that no other process holds" });
      pause(WAIT_MS);
    }
  }
  try {
    return act();
  } finally {
    rmSync(lock, { force: true });
  }
};

const write = (path: string, text: string): void => {
  const part = join(dirname(path), `.${basename(path)}.${process.pid}.0.part`);
  try {
    const file = openSync(part, "w");
    try {
      writeSync(file, text);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(part, path);
  } catch (error) {
    rmSync(part, { force: true });
    throw new MusicError({
      code: "cli/file",
      input: path,
      expected: "a file that can be written",
      hint: String(reasonOf(error)),
    });
  }
};

/**
 * Changes a notebook's file: what stands there is read, changed and written whole while no other process does the same, so that nothing of
 * either is lost. Killed in the middle, the file is as it was.
 *
 * @throws MusicError `cli/file`, `cli/busy`, and what `readNotebook` throws
 */
export const changeNotebook = (path: string, change: (notebook: Notebook) => Notebook): Notebook =>
  alone(resolve(path), () => {
    removeLeftovers(dirname(resolve(path)));
    const before = notebookFile(path);
    const after = change(before);
    if (after.entries.length !== before.entries.length) write(resolve(path), writeNotebook(after));
    return after;
  });

/**
 * Writes a new notebook.
 *
 * @throws MusicError `cli/exists` for a file that is there
 */
export const newNotebookFile = (path: string, notebook: Notebook): void =>
  alone(resolve(path), () => {
    if (existsSync(path))
      throw new MusicError({ code: "cli/exists", input: path, expected: "a file that is not there yet" });
    write(resolve(path), writeNotebook(notebook));
  });
