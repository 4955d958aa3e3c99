import { MusicError } from "./errors.ts";

/** What a watched piece of work may use; whatever is left out is not limited. */
export interface Limits {
  /** Bars of any one score, chart or line. @defaultValue no limit of yours */
  readonly bars?: number | undefined;
  /** Notes of any one score. @defaultValue no limit of yours */
  readonly notes?: number | undefined;
  /** Bytes of any one file or document that is written. @defaultValue no limit of yours */
  readonly bytes?: number | undefined;
  /** Milliseconds by the clock `now`. @defaultValue no limit */
  readonly milliseconds?: number | undefined;
  /** Your clock in milliseconds, such as `() => performance.now()`: nothing here has one. @defaultValue none: needed for `milliseconds` */
  readonly now?: (() => number) | undefined;
  /** Stops the work where it is aborted: an `AbortSignal`, or anything with that field. @defaultValue none */
  readonly signal?: { readonly aborted: boolean } | undefined;
  /** Called now and then with the number of steps that were made, some thousands a second. @defaultValue none */
  readonly onProgress?: ((steps: number) => void) | undefined;
}

/** What can be counted of an answer. */
type Counted = "bars" | "notes" | "bytes";

interface Watch {
  readonly limits: Limits;
  readonly until: number;
  readonly outer: Watch | undefined;
  steps: number;
}

// Work is done in one go, so one watch at a time holds, with those around it.
let current: Watch | undefined;

const MOST = 256;

/** Does a piece of work under limits, and inside those that hold already. */
export const watched = <T>(limits: Limits, work: () => T): T => {
  const { milliseconds, now } = limits;
  const until = milliseconds === undefined || now === undefined ? Infinity : now() + milliseconds;
  const outer = current;
  current = { limits, until, outer, steps: 0 };
  try {
    step();
    return work();
  } finally {
    current = outer;
  }
};

/** A step of work that may be long: a bar, a chord, a moment. */
export const step = (): void => {
  for (let watch = current; watch !== undefined; watch = watch.outer) observe(watch);
};

const observe = (watch: Watch): void => {
  const { signal, now, milliseconds, onProgress } = watch.limits;
  watch.steps++;
  if (signal?.aborted === true)
    throw new MusicError({
      code: "limits/aborted",
      input: "aborted",
      expected: "work that is let finish",
      reason: "cannot-be-done",
    });
  if (now !== undefined && now() > watch.until)
    throw new MusicError({
      code: "limits/milliseconds",
      input: `more than ${milliseconds} ms of work`,
      expected: `at most ${milliseconds} ms`,
      hint: "ask for fewer bars",
      reason: "cannot-be-done",
    });
  if (onProgress !== undefined && watch.steps % MOST === 0) onProgress(watch.steps);
};

/** Refuses an answer that is larger than the limits that hold. */
export const allow = (what: Counted, count: number): void => {
  for (let watch = current; watch !== undefined; watch = watch.outer) {
    const most = watch.limits[what];
    if (most !== undefined && count > most)
      throw new MusicError({
        code: `limits/${what}`,
        input: `${count} ${what}`,
        expected: `at most ${most} ${what}`,
        reason: "cannot-be-done",
      });
  }
};
