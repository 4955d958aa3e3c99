import type { Terminal } from "./io.ts";

const WIDTH = 30;

/**
 * Progress on standard error: a bar that redraws itself on a terminal, a plain line an item in a pipe.
 *
 * @param total - how many items there are
 */
export const progress = (terminal: Terminal, total: number): ((done: number, item: string) => void) => {
  if (terminal.columns === undefined) return (done, item) => terminal.complain(`${done}/${total} ${item}\n`);
  return (done, item) => {
    const filled = Math.round((WIDTH * done) / total);
    const line = `${"#".repeat(filled)}${"-".repeat(WIDTH - filled)} ${done}/${total} ${item}`.slice(
      0,
      (terminal.columns as number) - 1,
    );
    terminal.complain(`\r${line}\u001b[K${done === total ? "\n" : ""}`);
  };
};
