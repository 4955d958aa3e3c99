import type { GraceNote, NoteEvent, TimeSpan } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { keyColour } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import type { Metre, MetreChange } from "../time/index.ts";
import type { DraftNote, DraftPhrase } from "./draft.ts";
import { addFingers } from "./fingers.ts";
import type { Grid } from "./grid.ts";
import { ticksToBeats } from "./grid.ts";

/** A right-hand line in exact time, ready to be the right hand of a score. */
export interface Line {
  readonly kind: "line";
  /** The exercise's id, or `"improvised"` for a generated line. */
  readonly id: string;
  readonly scale: Scale;
  readonly metre: Metre;
  /** Changes of metre on the way; absent for none. */
  readonly metres?: readonly MetreChange[] | undefined;
  /** Whole bars; a multiple of the progression's. */
  readonly bars: number;
  /** One note each, with its finger. */
  readonly events: readonly NoteEvent[];
  /** Each phrase from its first note to the end of its last. */
  readonly phrases: readonly TimeSpan[];
}

/** A grace note a semitone below its main note: one finger can slip from a black key to the white one beside it, and from no other. */
export const graceOf = (grace: Pitch): GraceNote => ({
  pitch: grace,
  style: keyColour(grace) === "black" ? "slide" : "crushed",
});

/** Sets drafted phrases in exact time, one after the other, with fingers; a silence of a beat parts a phrase in two. */
export const toLine = (
  row: { readonly id: string; readonly scaleFingers: boolean },
  phrases: readonly DraftPhrase[],
  scale: Scale,
  metre: Metre,
  grid: Grid,
): Line => {
  const events: NoteEvent[] = [];
  const spans: TimeSpan[] = [];
  let bars = 0;
  for (const phrase of phrases) {
    const start = bars * grid.bar;
    let from: number | undefined;
    phrase.notes.forEach((note, i) => {
      events.push(toEvent(note, start));
      from ??= note.at;
      const end = note.at + note.duration;
      const next = phrase.notes[i + 1];
      if (next !== undefined && next.at - end < grid.pulse) return;
      spans.push({ at: ticksToBeats(start + from), duration: ticksToBeats(end - from) });
      from = undefined;
    });
    bars += phrase.bars;
  }
  return {
    kind: "line",
    id: row.id,
    scale,
    metre,
    bars,
    events: addFingers(events, row.scaleFingers ? scale : undefined),
    phrases: spans,
  };
};

const toEvent = (note: DraftNote, start: number): NoteEvent => ({
  at: ticksToBeats(start + note.at),
  duration: ticksToBeats(note.duration),
  pitches: [note.pitch],
  ...(note.grace === undefined ? {} : { graces: [graceOf(note.grace)] }),
  ...(note.accent === true ? { articulation: "accent" as const } : {}),
});
