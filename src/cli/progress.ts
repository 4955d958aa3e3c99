import { watched } from "../ground/watch.ts";
import type { Terminal } from "./io.ts";

const WIDTH = 30;
const CLEARED = "\r\u001b[K";

/**
 * Progress on standard error: a bar that redraws itself on a terminal, a plain line an item in a pipe.
 *
 * @param total - how many items there are
 */
export const progress = (terminal: Terminal, total: number): ((done: number, item: string) => void) => {
  const { draw, columns = 80 } = terminal;
  if (draw === undefined) return (done, item) => terminal.complain(`${done}/${total} ${item}\n`);
  return (done, item) => {
    const filled = Math.round((WIDTH * done) / total);
    const line = `${"#".repeat(filled)}${"-".repeat(WIDTH - filled)} ${done}/${total} ${item}`.slice(0, columns - 1);
    draw(`\r${line}\u001b[K${done === total ? "\n" : ""}`);
  };
};

const SECOND = 1000;

/** Does work that may be long: on a terminal the seconds are told from the first one on, and taken away when it is done. */
export const patiently = <T>(terminal: Terminal, work: () => T): T => {
  const { draw } = terminal;
  if (draw === undefined) return work();
  const start = performance.now();
  let told = 0;
  const onProgress = (): void => {
    const seconds = Math.floor((performance.now() - start) / SECOND);
    if (seconds > told) draw(`\rworking, ${(told = seconds)} s\u001b[K`);
  };
  try {
    return watched({ onProgress }, work);
  } finally {
    if (told > 0) draw(CLEARED);
  }
};
