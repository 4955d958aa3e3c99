import type { MusicErrorReason } from "../ground/errors.ts";
import { MusicError } from "../ground/errors.ts";

/** An error of this folder. */
export const refusal = (
  what: "metric" | "empty" | "size" | "melody" | "top-move" | "forbidden" | "fixed" | "blocked",
  input: unknown,
  expected: string,
  hint?: string,
  reason?: MusicErrorReason,
): MusicError => new MusicError({ code: `voice-leading/${what}`, input, expected, hint, reason });
