import type { Hand } from "../../event/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { firstBad } from "../shapes.ts";

/** One key as it was played; what a MIDI reader's notes satisfy. */
export interface PlayedNote {
  /** When the key went down, in seconds. */
  readonly onsetSeconds: number;
  /** How long it was held, in seconds; at least 0. */
  readonly durationSeconds: number;
  /** How long it sounded, where a pedal held it on. @defaultValue `durationSeconds` */
  readonly soundingSeconds?: number | undefined;
  /** MIDI note number, 0 to 127. */
  readonly midi: number;
  /** MIDI velocity, 1 to 127. */
  readonly velocity: number;
  /** The hand that played it, where the recording tells; such a note is compared with that hand alone. */
  readonly hand?: Hand;
  /** MIDI channel from 0; percussion (9) is left out of the comparison. */
  readonly channel?: number;
}

const PERCUSSION = 9;

/** The notes of a take in order of time, then pitch, without percussion; each with its index in what was given. */
export const inOrder = (
  played: readonly PlayedNote[],
): readonly { readonly note: PlayedNote; readonly index: number }[] => {
  if (!Array.isArray(played))
    throw new MusicError({ code: "assess/played", input: typeof played, expected: "an array of played notes" });
  const bad = firstBad(played);
  if (bad >= 0) {
    throw new MusicError({
      code: "assess/played",
      input: played[bad],
      expected: "at most a million notes, each with seconds, a key from 0 to 127 and a velocity from 0 to 127",
    });
  }
  const kept = played.map((note, index) => ({ note, index })).filter(({ note }) => note.channel !== PERCUSSION);
  if (kept.length === 0)
    throw new MusicError({ code: "assess/played", input: "no notes", expected: "a take with at least one note" });
  return kept.sort((a, b) => a.note.onsetSeconds - b.note.onsetSeconds || a.note.midi - b.note.midi);
};
