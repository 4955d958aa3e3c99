import { MusicError } from "../ground/errors.ts";
import { readMusicXml } from "../musicxml/index.ts";
import type { Score } from "../score/index.ts";
import { scoreFromJson } from "../score/index.ts";
import { fromFile } from "./from-file.ts";
import { readInput } from "./io.ts";

/** Whether a file's bytes are those of a Standard MIDI File. */
export const isMidi = (bytes: Uint8Array): boolean => String.fromCharCode(...bytes.subarray(0, 4)) === "MThd";

/**
 * Reads a score from MusicXML or JSON, told apart by their first character.
 *
 * @throws MusicError `cli/file` when the file can't be read or is neither, and the codes of the readers
 */
export const readScore = (path: string): Score => scoreFromBytes(readInput(path), path);

/** The same from bytes that are at hand. */
export const scoreFromBytes = (bytes: Uint8Array, path: string): Score => {
  const text = new TextDecoder()
    .decode(bytes)
    .replace(/^\uFEFF/, "")
    .trimStart();
  if (text.startsWith("<")) return fromFile(path, () => readMusicXml(text));
  if (text.startsWith("{")) return fromFile(path, () => scoreFromJson(parseJson(text, path)));
  throw new MusicError({ code: "cli/file", input: path, expected: "a score as MusicXML or JSON" });
};

const parseJson = (text: string, path: string): unknown => {
  try {
    return JSON.parse(text) as unknown;
  } catch (error) {
    throw new MusicError({
      code: "cli/file",
      input: path,
      expected: "a whole JSON document",
      hint: error instanceof Error ? error.message : String(error),
    });
  }
};
