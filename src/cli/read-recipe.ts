import { MusicError } from "../ground/errors.ts";
import { readInput } from "./io.ts";

const SUCH_AS = { drill: '{"key":"Eb"}', packet: '{"keys":["C","Eb"]}', plan: '{"level":2,"weeks":6}' } as const;

/**
 * Reads a recipe's JSON object; its fields are checked by whoever makes something of it.
 *
 * @throws MusicError `cli/drill`, `cli/packet` or `cli/plan` for anything but one JSON object
 */
export const parseRecipe = (text: string, kind: keyof typeof SUCH_AS): object => {
  const value = parsed(text);
  if (typeof value !== "object" || value === null || Array.isArray(value))
    throw new MusicError({
      code: `cli/${kind}`,
      input: text,
      expected: `a recipe as a JSON object, such as ${SUCH_AS[kind]}`,
    });
  if ("score" in value)
    throw new MusicError({
      code: `cli/${kind}`,
      input: String(value.score),
      expected: "the recipe of a drill; this is about bars of a score of its own",
      hint: "assess SCORE TAKE --out FOLDER writes them as MusicXML",
    });
  return value;
};

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch {
    return undefined;
  }
};

/** The text of a recipe's file. */
export const recipeFile = (path: string): string => new TextDecoder().decode(readInput(path));
