import type { Finger, NoteEvent } from "../event/index.ts";
import { fingerPassage } from "../fingering/index.ts";
import { chordFingers, spansOf } from "../fingering/inner.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { midiNumber } from "../pitch/index.ts";
import { addBeats, equalBeats } from "../time/index.ts";

const LITTLE_FINGER: Finger = 5;

/**
 * Fingers for the left hand: chords as they lie under the hand; a bass note by itself with the little finger; bass notes that follow each
 * other without a break, such as a pickup and its root, as the passage that they are.
 */
export const withLeftFingers = (events: readonly NoteEvent[]): readonly NoteEvent[] => {
  const fingered: NoteEvent[] = [];
  for (let i = 0; i < events.length; ) {
    const event = nth(events, i);
    if (event.pitches.length > 1) {
      fingered.push({ ...event, fingers: fingersOf(event.pitches) });
      i++;
      continue;
    }
    const run = singleNotesFrom(events, i);
    const fingers =
      run.length === 1
        ? [LITTLE_FINGER]
        : fingerPassage(
            run.map((e) => nth(e.pitches, 0)),
            { hand: "left" },
          ).fingers;
    run.forEach((e, k) => fingered.push({ ...e, fingers: [nth(fingers, k)] }));
    i += run.length;
  }
  return fingered;
};

// A medium hand's widest stretch is 15 semitones; who asks for more has a large one.
const fingersOf = (pitches: readonly Pitch[]): readonly Finger[] => {
  const span = Math.max(...pitches.map(midiNumber)) - Math.min(...pitches.map(midiNumber));
  const size = span > spansOf("medium").between(1, 5).maxPractical ? "large" : "medium";
  return chordFingers(pitches, { hand: "left", size }).fingers;
};

const singleNotesFrom = (events: readonly NoteEvent[], from: number): readonly NoteEvent[] => {
  let to = from + 1;
  for (; to < events.length; to++) {
    const [last, next] = [nth(events, to - 1), nth(events, to)];
    if (next.pitches.length > 1 || !equalBeats(addBeats(last.at, last.duration), next.at)) break;
  }
  return events.slice(from, to);
};
