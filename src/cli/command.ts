import type { Command } from "commander";
import { MusicError } from "../errors.ts";
import type { Terminal } from "./io.ts";

/** Adds one command to the program; `done` takes its exit code. */
export type AddCommand = (program: Command, terminal: Terminal, done: (exitCode: number) => void) => void;

/** What a command made of one item: the JSON of the contract and the text for a reader. */
export interface Answer {
  readonly json: unknown;
  /** Lines for a terminal; absent where the JSON's text alone says it. */
  readonly text: string;
}

/** The exit code of a refusal: 1 when it can't be done, 2 for bad input. */
export const exitCodeOf = (error: MusicError): 1 | 2 => (error.reason === "cannot-be-done" ? 1 : 2);

/** An error as one JSON object, for answers in JSON Lines. */
export const errorJson = ({ code, input, expected, hint, reason }: MusicError): unknown => ({
  error: { code, input: input === undefined ? "undefined" : input, expected, ...(hint === undefined ? {} : { hint }), reason },
});

/**
 * Answers one item, or for `-` every line of standard input in order: a line that is refused is answered too,
 * so that answers and lines stay in step.
 *
 * @returns the exit code: 0, or that of the first refusal
 */
export async function answerEach(item: string, json: boolean, terminal: Terminal, answer: (item: string) => Answer | Promise<Answer>): Promise<number> {
  const print = (a: Answer): void => terminal.write(json || item === "-" ? `${JSON.stringify(a.json)}\n` : `${a.text}\n`);
  if (item !== "-") {
    print(await answer(item));
    return 0;
  }
  let code = 0;
  for (const line of linesOf(terminal.readStdin())) {
    try {
      print(await answer(line));
    } catch (error) {
      if (!(error instanceof MusicError)) throw error;
      code ||= exitCodeOf(error);
      terminal.write(`${JSON.stringify(errorJson(error))}\n`);
      terminal.complain(`${error.message}\n`);
    }
  }
  return code;
}

const linesOf = (text: string): readonly string[] => text.split(/\r?\n/).map((line) => line.trim()).filter((line) => line !== "");
