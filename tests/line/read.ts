import type { BeatsLike, NoteEvent } from "./library.ts";
import { addBeats, beats, parsePitch } from "./library.ts";

/** "C4 1/2, r 1, (Eb4)E4 1": notes with their lengths, rests as r, a grace note in brackets, from a moment. */
export const read = (text: string, from: BeatsLike = 0): NoteEvent[] => {
  const events: NoteEvent[] = [];
  let at = beats(from);
  for (const word of text.split(",")) {
    const [, grace, name, length] = /^\s*(?:\((.+)\))?(\S+)\s+(\S+)\s*$/.exec(word) as unknown as [
      string,
      string | undefined,
      string,
      string,
    ];
    const duration = beats(length);
    if (name !== "r") {
      events.push({
        at,
        duration,
        pitches: [parsePitch(name)],
        ...(grace === undefined ? {} : { graces: [{ pitch: parsePitch(grace), style: "slide" }] }),
      });
    }
    at = addBeats(at, duration);
  }
  return events;
};
