import type { Pitch } from "../pitch/index.ts";
import { alterationOf, keyColour, midiNumber, pitchFromMidi } from "../pitch/index.ts";

const at = (steps: number, semitones: number): Pitch => ({ kind: "pitch", steps, semitones });

// A passing note is read at sight: no double signs, and no E♯, B♯, C♭ or F♭.
const legible = (p: Pitch, prefer: "sharps" | "flats"): Pitch => {
  const plain = keyColour(p) === "black" && Math.abs(alterationOf(p)) <= 1;
  return plain ? p : pitchFromMidi(midiNumber(p), prefer);
};

/** The chromatic note a semitone below, spelled as it is read when it rises: the letter below. */
export const semitoneBelow = (target: Pitch): Pitch => legible(at(target.steps - 1, target.semitones - 1), "sharps");

/** The chromatic note a semitone above, spelled as it is read when it falls: the letter above. */
export const semitoneAbove = (target: Pitch): Pitch => legible(at(target.steps + 1, target.semitones + 1), "flats");

/** A whole tone below, under the letter that lies two notes of a rising chromatic line away. */
export const toneBelow = (target: Pitch): Pitch => legible(at(target.steps - 1, target.semitones - 2), "sharps");

/** A whole tone above. */
export const toneAbove = (target: Pitch): Pitch => legible(at(target.steps + 1, target.semitones + 2), "flats");

/** The chromatic note a semitone or a tone from a target that it leads into; semitones count upwards. */
export const beside = (target: Pitch, semitones: number): Pitch =>
  semitones === -1
    ? semitoneBelow(target)
    : semitones === 1
      ? semitoneAbove(target)
      : semitones === -2
        ? toneBelow(target)
        : toneAbove(target);

/** The blue note below a main note, under the same letter: E♭ before E. */
export const blueNoteBelow = (main: Pitch): Pitch => at(main.steps, main.semitones - 1);
