import { isMusicError } from "./errors.ts";

/** What an attempt answers; `undefined` where it is refused. */
export const attempt = <T>(make: () => T): T | undefined => {
  try {
    return make();
  } catch (error) {
    if (isMusicError(error)) return undefined;
    throw error;
  }
};

/** A test whether a reader takes a text. */
export const reads =
  (read: (text: string) => unknown) =>
  (text: string): boolean =>
    attempt(() => read(text)) !== undefined;
