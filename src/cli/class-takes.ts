import { existsSync, readdirSync, statSync } from "node:fs";
import { availableParallelism } from "node:os";
import { basename, join } from "node:path";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { isMusicError } from "../ground/errors.ts";
import type { NotebookTake } from "../notebook/index.ts";
import type { Score } from "../score/index.ts";
import { notebookFile } from "./notebook-file.ts";
import { readScore } from "./read-score.ts";
import { hearRecording, readRecording } from "./take-file.ts";

/** A notebook and the recordings beside it that it has not heard. */
export interface Pupil {
  readonly book: string;
  readonly files: readonly string[];
  /** Drills that are no part of a week: the challenge's. */
  readonly also: readonly string[];
}

/** What became of a recording. */
export interface Heard {
  readonly book: string;
  readonly file: string;
  readonly take?: NotebookTake;
  /** Why it was refused, in one line. */
  readonly refused?: string;
}

const filesIn = (folder: string, ending: RegExp): readonly string[] =>
  existsSync(folder) && statSync(folder).isDirectory()
    ? readdirSync(folder)
        .filter((name) => ending.test(name))
        .sort()
        .map((name) => join(folder, name))
    : [];

/** The notebooks of a folder, each with the recordings in the folder of its name: `wren.json` and `wren/*.mid`. */
export const pupilsOf = (folder: string): readonly Pupil[] => {
  const also = filesIn(join(folder, "challenge"), /^(?!challenge-).*\.json$/);
  return filesIn(folder, /\.json$/).map((book) => ({
    book,
    files: filesIn(join(folder, basename(book, ".json")), /\.midi?$/i),
    also,
  }));
};

/** Hears a pupil's recordings, one after another; those that the notebook has are left out. */
export const hearPupil = ({ book, files, also }: Pupil, tell: (heard: Heard) => void): void => {
  const notebook = notebookFile(book);
  const known = new Set(notebook.entries.flatMap((entry) => (entry.kind === "take" ? [entry.recording] : [])));
  const others: readonly Score[] = files.length === 0 ? [] : also.map(readScore);
  for (const file of files) {
    try {
      const recording = readRecording(file);
      if (known.has(recording.name)) tell({ book, file });
      else {
        const at = `${statSync(file).mtime.toISOString().slice(0, 19)}Z`;
        tell({ book, file, take: hearRecording(notebook, recording, { at, others }) });
      }
    } catch (error) {
      if (!isMusicError(error)) throw error;
      tell({ book, file, refused: error.message });
    }
  }
};

interface Work {
  readonly pupil: Pupil;
}

const MOST_WORKERS = 8;

/**
 * Hears the recordings of all pupils, by as many workers as the machine has processors.
 *
 * @param script - what a worker runs; without it all is done here, one after another
 */
export const hearPupils = async (
  pupils: readonly Pupil[],
  script: string | undefined,
  tell: (heard: Heard) => void,
): Promise<void> => {
  if (script === undefined) {
    for (const pupil of pupils) hearPupil(pupil, tell);
    return;
  }
  const queue = [...pupils];
  const one = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const worker = new Worker(new URL(script), { workerData: { hear: true } });
      const next = (): void => {
        const pupil = queue.shift();
        if (pupil === undefined) void worker.terminate().then(() => resolve());
        else worker.postMessage({ pupil } satisfies Work);
      };
      worker.on("message", (heard: Heard | "done") => {
        if (heard === "done") next();
        else tell(heard);
      });
      worker.on("error", reject);
      next();
    });
  const count = Math.min(availableParallelism(), MOST_WORKERS, pupils.length);
  await Promise.all(Array.from({ length: count }, one));
};

/** Whether this thread is a worker of {@link hearPupils}. */
export const isHearing = (): boolean => !isMainThread && Object(workerData).hear === true;

/** What a worker does until it is told to stop. */
export const hearAsWorker = (): void => {
  const port = parentPort;
  port?.on("message", ({ pupil }: Work) => {
    hearPupil(pupil, (heard) => port.postMessage(heard));
    port.postMessage("done");
  });
};
