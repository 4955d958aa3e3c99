import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { pitchName } from "../pitch/index.ts";
import type { Score } from "../score/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, compareBeats, formatBeats } from "../time/index.ts";
import { placeInMetres } from "../time/inner.ts";

/** Which fingers are printed: all, those of what comes for the first time, those where the hand turns, or none. */
export type PrintedFingers = "all" | "first" | "turns" | "none";

/** The events whose fingers are printed. */
export const printedFingers = (score: Score, which: PrintedFingers): ReadonlySet<NoteEvent> => {
  if (which === "none") return new Set();
  if (which === "all") return new Set([...score.right, ...score.left]);
  return new Set([...(which === "first" ? newBars(score) : turns(score)), ...newShapes(score.left)]);
};

const shapeOf = ({ pitches, fingers = [] }: NoteEvent): string =>
  `${pitches.map(pitchName).join(" ")}: ${fingers.join(" ")}`;

// A chord of the left hand is learnt as a shape, and needs its fingers once.
const newShapes = (events: readonly NoteEvent[]): readonly NoteEvent[] => {
  const seen = new Set<string>();
  return events.filter((event) => {
    const shape = shapeOf(event);
    return seen.has(shape) ? false : Boolean(seen.add(shape));
  });
};

const newBars = (score: Score): readonly NoteEvent[] => {
  const bars = new Map<number, NoteEvent[]>();
  for (const event of score.right) {
    const { bar } = placeInMetres(score, event.at);
    bars.set(bar, [...(bars.get(bar) ?? []), event]);
  }
  const seen = new Set<string>();
  return [...bars.values()].flatMap((events) => {
    const content = events
      .map((event) => `${formatBeats(placeInMetres(score, event.at).offset)} ${shapeOf(event)}`)
      .join("; ");
    if (seen.has(content)) return [];
    seen.add(content);
    return events;
  });
};

const endOf = ({ at, duration }: TimeSpan): Beats => addBeats(at, duration);

/** Where a line begins after a rest, and where the hand turns or moves: the fingers on both sides of it. */
const turns = ({ right }: Score): readonly NoteEvent[] =>
  right.filter((event, i) => starts(right[i - 1], event) || turned(right[i - 1], event) || turned(event, right[i + 1]));

const starts = (before: NoteEvent | undefined, event: NoteEvent): boolean =>
  before === undefined || compareBeats(endOf(before), event.at) < 0;

// Under one position a higher key has a higher finger, and as many keys lie between as fingers or nearly so.
const turned = (before: NoteEvent | undefined, after: NoteEvent | undefined): boolean => {
  const [from, to] = [before?.pitches.at(-1), after?.pitches.at(-1)];
  const [one, other] = [before?.fingers?.at(-1), after?.fingers?.at(-1)];
  if (from === undefined || to === undefined || one === undefined || other === undefined) return false;
  const rise = Math.sign(to.semitones - from.semitones);
  return rise !== Math.sign(other - one);
};
