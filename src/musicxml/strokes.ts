import type { NoteEvent } from "../event/index.ts";
import { pitch } from "../pitch/index.ts";
import type { Score } from "../score/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, compareBeats, minBeats, pulseLength, subtractBeats, ZERO } from "../time/index.ts";
import { barStartInMetres, metreOfBar } from "../time/inner.ts";

/** How the left hand is printed: its notes, their rhythm as strokes, or a stroke a beat. */
export type LeftAs = "notes" | "rhythm" | "slashes";

/** The middle line of a bass clef, where strokes stand. */
const LINE = pitch("D3");

const stroke = (at: Beats, duration: Beats): NoteEvent => ({ at, duration, pitches: [LINE] });

const endOf = ({ at, duration }: NoteEvent): Beats => addBeats(at, duration);

/** When the left hand strikes, and how long it holds: until its next stroke at the latest. */
const rhythmOf = ({ left }: Score): readonly NoteEvent[] => {
  const strokes: NoteEvent[] = [];
  for (const event of left) {
    const before = strokes.at(-1);
    if (before !== undefined && compareBeats(before.at, event.at) === 0) {
      if (compareBeats(endOf(before), endOf(event)) < 0)
        strokes[strokes.length - 1] = stroke(before.at, subtractBeats(endOf(event), before.at));
      continue;
    }
    if (before !== undefined)
      strokes[strokes.length - 1] = stroke(before.at, subtractBeats(minBeats(endOf(before), event.at), before.at));
    strokes.push(stroke(event.at, event.duration));
  }
  return strokes;
};

const beatsOf = (score: Score): readonly NoteEvent[] =>
  Array.from({ length: score.bars }, (_, i) => i + 1).flatMap((bar) => {
    const pulse = pulseLength(metreOfBar(score, bar));
    const end = barStartInMetres(score, bar + 1);
    const strokes: NoteEvent[] = [];
    for (let at = barStartInMetres(score, bar); compareBeats(at, end) < 0; at = addBeats(at, pulse))
      strokes.push(stroke(at, minBeats(pulse, subtractBeats(end, at))));
    return strokes;
  });

/** A score whose left hand is strokes. */
export const withStrokes = (score: Score, as: LeftAs): Score =>
  as === "notes" ? score : { ...score, left: as === "rhythm" ? rhythmOf(score) : beatsOf(score) };

/** The bass player's part as the left hand of a score of its own. */
export const bassAlone = (score: Score): Score => ({
  ...score,
  right: [],
  left: (score.bass ?? []).filter(({ at }) => compareBeats(at, subtractBeats(ZERO, score.pickup)) >= 0),
  phrases: [],
});

/** The name of the part that the bass player has. */
export const BASS = "Bass";
