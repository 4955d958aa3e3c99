import { run } from "../../src/cli/run.ts";

/** What a command answered. */
export interface Answer {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs the command line in this process, as wide as no terminal. */
export const call = async (args: readonly string[], stdin = ""): Promise<Answer> => {
  let [out, err] = ["", ""];
  const code = await run(args, {
    write: (text) => {
      out += text;
    },
    complain: (text) => {
      err += text;
    },
    readStdin: () => stdin,
    columns: undefined,
  });
  return { code, out, err };
};
