/**
 * The parts of the library that can refuse an input; the first half of every error code.
 */
export type ErrorArea =
  | "pitch" | "time" | "swing" | "chord" | "scale" | "progression" | "voicing" | "voice-leading" | "fingering"
  | "line" | "comping" | "score" | "backing" | "drill" | "assess" | "plan" | "musicxml" | "midi" | "picture" | "handout" | "cli";

/** A stable, machine-readable error code: the area, a slash and what is wrong, as in `"pitch/name"`. */
export type MusicErrorCode = `${ErrorArea}/${string}`;

/**
 * Why an answer was refused: `"bad-input"` when the input can't be read, `"cannot-be-done"` when it was
 * understood but what it asks for does not exist (an unreachable span, say).
 */
export type MusicErrorReason = "bad-input" | "cannot-be-done";

/** What a {@link MusicError} is made of. */
export interface MusicErrorDetails {
  /** Stable code, `area/what`. */
  readonly code: MusicErrorCode;
  /** The refused value, untouched. */
  readonly input: unknown;
  /** What would have been accepted, in words that fit after "expected". */
  readonly expected: string;
  /** The nearest valid name or the next thing to try, where one exists. */
  readonly hint?: string | undefined;
  /** @defaultValue `"bad-input"` */
  readonly reason?: MusicErrorReason | undefined;
}

const shortened = (text: string, most: number): string => (text.length > most ? `${text.slice(0, most - 3)}...` : text);

const printable = (input: unknown): string => shortened(inWords(input), 80);

// JSON has no word for NaN and refuses big integers and circles.
const inWords = (input: unknown): string => {
  try {
    return typeof input === "number" || typeof input === "bigint" ? String(input) : JSON.stringify(input) ?? String(input);
  } catch {
    return Object.prototype.toString.call(input);
  }
};

/**
 * The one error that this library throws for music it can't read or can't make.
 *
 * Its message is a single line that names the input, what was expected and, where there is one, a hint.
 *
 * @example
 * ```ts
 * import { MusicError, parsePitch } from "hands-together";
 *
 * try {
 *   parsePitch("H4");
 * } catch (error) {
 *   if (!(error instanceof MusicError)) throw error;
 *   error.code; // => "pitch/name"
 *   error.input; // => "H4"
 * }
 * ```
 */
export class MusicError extends Error {
  override readonly name = "MusicError";
  /** Stable code, `area/what`. */
  declare readonly code: MusicErrorCode;
  /** The refused value, untouched. */
  declare readonly input: unknown;
  /** What would have been accepted. */
  declare readonly expected: string;
  /** The nearest valid name or the next thing to try; absent where there is none. */
  declare readonly hint?: string;
  /** Whether the input could not be read or could not be carried out. */
  declare readonly reason: MusicErrorReason;

  /** An error with its code, the refused input and what was expected. */
  constructor({ code, input, expected, hint, reason = "bad-input" }: MusicErrorDetails) {
    const tail = hint === undefined ? "" : ` (${shortened(hint, 200)})`;
    super(`${code}: got ${printable(input)}, expected ${shortened(expected, 600)}${tail}`.replace(/\s+/g, " "));
    Object.assign(this, { code, input, expected, reason }, hint === undefined ? {} : { hint });
  }
}

/**
 * The candidate nearest to a misspelt word by edit distance, for hints.
 *
 * @param word - what was written
 * @param candidates - the valid names, in the order in which ties are won
 * @returns the nearest candidate within half the word's length (at least two edits), or `undefined` when none is near
 */
export function nearestName(word: string, candidates: readonly string[]): string | undefined {
  let best: string | undefined;
  let limit = Math.max(2, Math.floor(word.length / 2)) + 1;
  const typed = word.slice(0, 64).toLowerCase();
  for (const candidate of candidates) {
    const distance = editDistance(typed, candidate.toLowerCase());
    if (distance < limit) {
      best = candidate;
      limit = distance;
    }
  }
  return best;
}

// Levenshtein, V. I. (1966). Binary codes capable of correcting deletions, insertions, and reversals.
const editDistance = (a: string, b: string): number => {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 0; i < a.length; i++) {
    let left = 0;
    row = row.map((above, j) =>
      left = j === 0 ? above + 1 : Math.min((row[j - 1] as number) + (a[i] === b[j - 1] ? 0 : 1), above + 1, left + 1));
  }
  return row[b.length] as number;
};
