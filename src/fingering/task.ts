import type { NoteEvent } from "../event/index.ts";
import { isRecord } from "../ground/check.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import { beats } from "../time/index.ts";
import type { Fingering } from "./fingering.ts";
import { eventsTask, lineAnswer } from "./line.ts";
import type { Model } from "./model.ts";
import type { FingeringOptions, LineFingeringOptions } from "./options.ts";
import type { Passage } from "./passage.ts";
import { isPitch, pitchesOf, requireEvents, requireHand } from "./shape.ts";
import { pitchesAnswer, pitchesTask } from "./single.ts";
import { eventsOfText, isHandText } from "./text.ts";

/** A passage made ready for the solver, and how its answer is told. */
export interface FingeringTask {
  readonly model: Model;
  readonly passage: Passage;
  readonly pitches: readonly Pitch[];
  readonly cyclic: boolean;
  readonly answer: (way: Uint8Array) => Fingering;
}

/** Whether notes are events in time, not pitches or their names. */
export const isTimed = (notes: unknown): notes is readonly NoteEvent[] =>
  Array.isArray(notes) && notes.length > 0 && typeof notes[0] !== "string" && !isPitch(notes[0]);

/** Whether notes are fingered as events: events, chords and held notes, and anything that has a tempo. */
export const isInTime = (notes: unknown, options: unknown): boolean =>
  isTimed(notes) ||
  isHandText(notes) ||
  (isRecord(options) && (options.tempo !== undefined || options.goal !== undefined));

/** Notes as events; those that have no time are a quarter note each. */
export const eventsIn = (
  notes: readonly (Pitch | PitchName)[] | string | readonly NoteEvent[],
): readonly NoteEvent[] =>
  isTimed(notes)
    ? requireEvents(notes)
    : isHandText(notes)
      ? eventsOfText(notes)
      : pitchesOf(notes).map((pitch, at) => ({ at: beats(at), duration: beats(1), pitches: [pitch] }));

/** Notes and options, looked at and made ready. */
export const taskOf = (
  notes: readonly (Pitch | PitchName)[] | string | readonly NoteEvent[],
  options: FingeringOptions & LineFingeringOptions,
): FingeringTask => {
  if (isInTime(notes, options)) {
    requireHand(options.hand);
    const events = eventsIn(notes);
    const task = eventsTask(events, options);
    return { ...task, cyclic: false, answer: (way) => lineAnswer(events, options, task, way) };
  }
  const pitches = pitchesOf(notes);
  requireHand(options.hand);
  const task = pitchesTask(pitches, options);
  return {
    ...task,
    pitches,
    cyclic: options.loop === true,
    answer: (way) => pitchesAnswer(pitches, options, task, way),
  };
};
