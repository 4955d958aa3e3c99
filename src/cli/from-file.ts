import { MusicError } from "../ground/errors.ts";

/** Reads what a file holds; where that is refused, the hint names the file, since a reader of bytes does not know it. */
export const fromFile = <T>(path: string, read: () => T): T => {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof MusicError) || error.code.startsWith("cli/")) throw error;
    const { code, input, expected, hint, reason } = error;
    throw new MusicError({
      code,
      input,
      expected,
      reason,
      hint: hint === undefined ? `in ${path}` : `in ${path}: ${hint}`,
    });
  }
};
