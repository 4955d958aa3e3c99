import { MusicError } from "../ground/errors.ts";
import type { Key, NoteName } from "../pitch/index.ts";
import { parseKey } from "../pitch/index.ts";
import type { XmlNode } from "./parse.ts";
import { textOf, whole } from "./parse.ts";

// Tonics of major keys from seven flats to seven sharps; of minor keys three further on.
const TONICS: readonly NoteName[] = [
  "Cb",
  "Gb",
  "Db",
  "Ab",
  "Eb",
  "Bb",
  "F",
  "C",
  "G",
  "D",
  "A",
  "E",
  "B",
  "F#",
  "C#",
  "G#",
  "D#",
  "A#",
];

/** The key of a signature; without a mode it is major, and open. */
export const keyOfSignature = (
  key: XmlNode | undefined,
  where: string,
): { readonly key: Key; readonly open: boolean } => {
  const fifths = whole(key, "fifths", where);
  const stated = textOf(key, "mode");
  const minor = stated === "minor" || stated === "aeolian";
  const tonic = TONICS[fifths + 7 + (minor ? 3 : 0)];
  if (Math.abs(fifths) > 7 || tonic === undefined)
    throw new MusicError({
      code: "musicxml/key",
      input: `${fifths} ${stated ?? ""}`.trim(),
      expected: `a major or minor key of at most seven sharps or flats ${where}`,
    });
  return {
    key: parseKey(`${tonic} ${minor ? "minor" : "major"}`),
    open: !minor && stated !== "major" && stated !== "ionian",
  };
};

/** Accidentals of so many semitones, at most three. */
export const signsOf = (semitones: number): string =>
  (semitones < 0 ? "b" : "#").repeat(Math.min(3, Math.abs(semitones)));
