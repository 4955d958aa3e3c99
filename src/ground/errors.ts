import { shortened } from "./text.ts";

/**
 * The parts of the library that can refuse an input; the first half of every error code.
 */
export type ErrorArea =
  | "ground"
  | "pitch"
  | "time"
  | "swing"
  | "chord"
  | "scale"
  | "schedule"
  | "progression"
  | "chart"
  | "harmony"
  | "voicing"
  | "voice-leading"
  | "fingering"
  | "line"
  | "comping"
  | "score"
  | "limits"
  | "backing"
  | "recipe"
  | "drill"
  | "assess"
  | "follow"
  | "notebook"
  | "plan"
  | "musicxml"
  | "midi"
  | "picture"
  | "handout"
  | "cli";

/**
 * A stable, machine-readable error code: the area, a slash and what is wrong, as in `"pitch/name"`. Every function answers an argument
 * that is not of its type with its area and `argument`, as in `"pitch/argument"`, unless its own comment names another code.
 */
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

// Enough to see that a refused input is plain data; what is larger is taken to be.
const MOST_LOOKED_AT = 1000;

/** Whether a value is data that can be copied to another thread: no function and no symbol in it. */
const isData = (input: unknown): boolean => {
  const open: unknown[] = [input];
  for (let seen = 0; open.length > 0 && seen < MOST_LOOKED_AT; seen++) {
    const value = open.pop();
    if (typeof value === "function" || typeof value === "symbol") return false;
    if (typeof value === "object" && value !== null) {
      if (value instanceof Promise || value instanceof WeakMap || value instanceof WeakSet) return false;
      const inner = Array.isArray(value) ? value : Object.values(value);
      for (const one of inner.slice(0, MOST_LOOKED_AT)) open.push(one);
    }
  }
  return true;
};

// A list may be four billion of nothing, and JSON writes every one.
const LONGEST_LIST = 1_000_000;

// JSON has no word for NaN and refuses big integers and circles.
const inWords = (input: unknown): string => {
  try {
    return typeof input === "number" || typeof input === "bigint"
      ? String(input)
      : (JSON.stringify(input, (_, value: unknown) => (Array.isArray(value) ? value.slice(0, 100) : value)) ??
          String(input));
  } catch {
    return Object.prototype.toString.call(input);
  }
};

/**
 * Has `Error` for its prototype, so that it is one to `instanceof`, but is an object like any other to `structuredClone`, which keeps
 * nothing but the message of an engine's own errors. Source: HTML Standard, StructuredSerializeInternal, "If value has [[ErrorData]]".
 */
const ErrorOfData = /* @__PURE__ */ (() => {
  function Base(): void {}
  Base.prototype = Error.prototype;
  return Base as unknown as new () => Error;
})();

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
export class MusicError extends ErrorOfData {
  /** Always `"MusicError"`. */
  declare readonly name: "MusicError";
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
    super();
    const tail = hint === undefined ? "" : ` (${shortened(hint, 200)})`;
    const got = shortened(inWords(input), 80);
    const message = `${code}: got ${got}, expected ${shortened(expected, 600)}${tail}`.replace(/\s+/g, " ");
    Object.assign(this, { name: "MusicError", message, code, expected, reason }, hint === undefined ? {} : { hint });
    // A function can't be cloned: then the copy goes without the input, rather than not at all.
    Object.defineProperty(this, "input", { value: input, enumerable: isData(input), configurable: true });
    const { stack } = new Error(message);
    Object.defineProperty(this, "stack", { value: stack, enumerable: false, configurable: true, writable: true });
  }

  /** The fields as data; an input that JSON can't hold stands there in words. */
  toJSON(): MusicErrorDetails & { readonly name: "MusicError"; readonly message: string } {
    const { name, message, code, input, expected, hint, reason } = this;
    const plain = typeof input === "number" ? Number.isFinite(input) : isJson(input);
    return { name, message, code, input: plain ? input : inWords(input), expected, reason, ...(hint && { hint }) };
  }
}

const isJson = (input: unknown): boolean => {
  try {
    const bounded = (_: string, value: unknown): unknown => {
      if (Array.isArray(value) && value.length > LONGEST_LIST) throw new RangeError();
      return value;
    };
    return JSON.stringify(input, bounded) !== undefined;
  } catch {
    return false;
  }
};

/**
 * Whether a value is a {@link MusicError}: one of this copy of the library, of another copy, or one that came from another thread or
 * out of JSON as plain data.
 *
 * @example
 * ```ts
 * import { isMusicError, MusicError } from "hands-together";
 *
 * const error = new MusicError({ code: "pitch/name", input: "H4", expected: "a pitch" });
 * isMusicError(structuredClone(error)); // => true
 * isMusicError(JSON.parse(JSON.stringify(error))); // => true
 * isMusicError(new Error("pitch/name")); // => false
 * ```
 */
export function isMusicError(value: unknown): value is MusicError {
  if (typeof value !== "object" || value === null) return false;
  const { name, code, expected } = value as Partial<Record<keyof MusicError, unknown>>;
  return name === "MusicError" && typeof code === "string" && typeof expected === "string";
}
