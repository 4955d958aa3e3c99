import type { Command } from "commander";
import { CAUTION } from "../ground/caution.ts";
import { MusicError } from "../ground/errors.ts";
import type { Terminal } from "./io.ts";
import { patiently } from "./progress.ts";

/** Adds one command to the program; `done` takes its exit code. */
export type AddCommand = (program: Command, terminal: Terminal, done: (exitCode: number) => void) => void;

/** What a command made of one item: the JSON of the contract and the text for a reader. */
export interface Answer {
  readonly json: unknown;
  /** Lines for a terminal; absent where the JSON's text alone says it. */
  readonly text: string;
  /** What the reader of a chart took for granted: a field of the JSON where there is something, and notes beside the text. */
  readonly guesses?: readonly string[] | undefined;
  /** Whether spans, tempo or repeats are set, so that the caution is told: a field of the JSON, and a line beside the text. */
  readonly cautious?: boolean | undefined;
}

/** An answer that sets spans, tempo or repeats. */
export const cautious = (answer: Answer): Answer => ({ ...answer, cautious: true });

/** The exit code of a refusal: 1 when it can't be done, 2 for bad input. */
export const exitCodeOf = (error: MusicError): 1 | 2 => (error.reason === "cannot-be-done" ? 1 : 2);

const MOST_INPUT = 1000;

/** What was refused as JSON: as it is where that is short, else the beginning of its text. */
const inputJson = (input: unknown): unknown => {
  try {
    const text = typeof input === "string" ? input : JSON.stringify(input);
    if (text === undefined) return String(input);
    return text.length > MOST_INPUT ? `${text.slice(0, MOST_INPUT)}...` : input;
  } catch {
    // Nested too deep to be written, or no JSON at all.
    return Object.prototype.toString.call(input);
  }
};

/** An error as one JSON object, for answers in JSON Lines. */
export const errorJson = ({ code, input, expected, hint, reason }: MusicError): unknown => ({
  error: { code, input: inputJson(input), expected, ...(hint === undefined ? {} : { hint }), reason },
});

/** Characters of one item: far more than any chart, passage or recipe needs, and what one answer takes seconds for at most. */
const LONGEST_ITEM = 20_000;

const requireLength = (item: string): string => {
  if (item.length <= LONGEST_ITEM) return item;
  throw new MusicError({
    code: "cli/long",
    input: item,
    expected: `at most ${LONGEST_ITEM} characters at once, not ${item.length}`,
  });
};

/**
 * Answers one item, or for `-` every line of standard input in order: a line that is refused is answered too,
 * so that answers and lines stay in step.
 *
 * @returns the exit code: 0, or that of the first refusal
 * @throws MusicError `cli/long` for an item of more than 20,000 characters, `cli/stdin` where standard input has no line
 */
export async function answerEach(
  item: string,
  json: boolean,
  terminal: Terminal,
  answer: (item: string) => Answer | Promise<Answer>,
): Promise<number> {
  const print = ({ json: document, text, guesses = [], cautious = false }: Answer): void => {
    const told =
      typeof document === "object" && document !== null
        ? { ...document, ...(guesses.length > 0 && { guesses }), ...(cautious && { caution: CAUTION }) }
        : document;
    terminal.write(json || item === "-" ? `${JSON.stringify(told)}\n` : `${text}\n`);
    if (json || item === "-") return;
    for (const guess of guesses) terminal.complain(`Taken for granted: ${guess}\n`);
    if (cautious && !text.includes(CAUTION)) terminal.complain(`${CAUTION}\n`);
  };
  if (item !== "-") {
    print(await patiently(terminal, () => answer(requireLength(item))));
    return 0;
  }
  let code = 0;
  const lines = linesOf(terminal.readStdin());
  if (lines.length === 0)
    throw new MusicError({ code: "cli/stdin", input: "", expected: "at least one line on standard input" });
  for (const line of lines) {
    try {
      print(await patiently(terminal, () => answer(requireLength(line))));
    } catch (error) {
      if (!(error instanceof MusicError)) throw error;
      code ||= exitCodeOf(error);
      terminal.write(`${JSON.stringify(errorJson(error))}\n`);
      terminal.complain(`${error.message}\n`);
    }
  }
  return code;
}

const linesOf = (text: string): readonly string[] =>
  text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== "");
