import type { Pitch } from "../../pitch/index.ts";
import { formatPitch, noteName } from "../../pitch/index.ts";
import type { HeardChord, HeardNote } from "../heard.ts";

/** The printed name of a note, without its octave. */
export const nameOf = (p: Pitch): string => formatPitch(noteName(p));

/** The chord's tones as a choice: "C, E or G". */
export const tonesOf = (chord: HeardChord): string => {
  const names = chord.names.map((name) => formatPitch(name as Parameters<typeof formatPitch>[0]));
  return names.length < 2 ? names.join() : `${names.slice(0, -1).join(", ")} or ${names.at(-1)}`;
};

/** Where a line could have gone instead: the chord's tones, or the scale. */
export const advice = (note: HeardNote): string =>
  note.chord === undefined ? "a note of the scale" : tonesOf(note.chord);
