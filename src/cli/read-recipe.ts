import { MusicError } from "../ground/errors.ts";

/**
 * Reads a recipe's JSON object; its fields are checked by whoever makes something of it.
 *
 * @throws MusicError `cli/drill` or `cli/packet` for anything but one JSON object
 */
export const parseRecipe = (text: string, code: "cli/drill" | "cli/packet"): object => {
  try {
    const value: unknown = JSON.parse(text.replace(/^\uFEFF/, ""));
    if (typeof value === "object" && value !== null && !Array.isArray(value)) return value;
  } catch {
    // Refused below, with the text as input.
  }
  throw new MusicError({
    code,
    input: text,
    expected: `a recipe as a JSON object, such as ${code === "cli/drill" ? '{"key":"Eb"}' : '{"keys":["C","Eb"]}'}`,
  });
};
