import type { NoteEvent } from "../event/index.ts";
import { fingerPassage } from "../fingering/index.ts";
import type { Scale } from "../scale/index.ts";

/** A right-hand line with the best finger on every note and grace note; runs of the scale keep to its pattern. */
export const addFingers = (events: readonly NoteEvent[], scale?: Scale): readonly NoteEvent[] =>
  events.length === 0
    ? events
    : fingerPassage(events, { hand: "right", ...(scale === undefined ? {} : { scale }) }).events;
