import type { NoteEvent } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";
import type { FoundPhrase } from "../../line/index.ts";
import { midiNumber } from "../../pitch/index.ts";
import { addBeats, beatsToNumber, compareBeats, subtractBeats } from "../../time/index.ts";
import { rounded } from "../measure/model.ts";

/** Two neighbouring phrases compared as a call and its answer. */
export interface PhraseAnswer {
  /** Indices in the phrases. */
  readonly call: number;
  readonly answer: number;
  /** How much of the rhythm they share: the onsets, counted from the first of each, that both have, as a share of all; 0 to 1. */
  readonly rhythm: number;
  /** How alike their shapes are: the correlation of their heights at sixteen even moments, -1 to 1; absent where one stays on a note. */
  readonly shape?: number;
  /** Whether every note of both is as long as the next, so that any two such phrases share their rhythm. */
  readonly even: boolean;
  /** By how many semitones the answer begins above the call. */
  readonly higher: number;
}

const MOMENTS = 16;

const inside = (events: readonly NoteEvent[], { at, duration }: FoundPhrase): readonly NoteEvent[] => {
  const end = addBeats(at, duration);
  return events.filter((event) => compareBeats(event.at, at) >= 0 && compareBeats(event.at, end) < 0);
};

const heightOf = ({ pitches }: NoteEvent): number => midiNumber(nth(pitches, -1));

/** The height of a phrase at even moments from its first onset to its last. */
const contour = (events: readonly NoteEvent[]): readonly number[] => {
  const [from, to] = [nth(events, 0), nth(events, -1)].map(({ at }) => beatsToNumber(at));
  return Array.from({ length: MOMENTS }, (_, i) => {
    const moment = (from ?? 0) + (((to ?? 0) - (from ?? 0)) * i) / (MOMENTS - 1);
    return heightOf(events.findLast(({ at }) => beatsToNumber(at) <= moment + 1e-9) ?? nth(events, 0));
  });
};

const correlation = (xs: readonly number[], ys: readonly number[]): number | undefined => {
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
  const [x, y] = [mean(xs), mean(ys)];
  const product = xs.reduce((sum, value, i) => sum + (value - x) * (nth(ys, i) - y), 0);
  const size = Math.sqrt(
    xs.reduce((sum, value) => sum + (value - x) ** 2, 0) * ys.reduce((sum, value) => sum + (value - y) ** 2, 0),
  );
  return size === 0 ? undefined : product / size;
};

/** Every phrase of three notes or more compared with the one before it. */
export const answersOf = (line: readonly NoteEvent[], phrases: readonly FoundPhrase[]): readonly PhraseAnswer[] => {
  const events = phrases.map((phrase) => inside(line, phrase));
  return phrases.slice(1).flatMap((_, i): readonly PhraseAnswer[] => {
    const [call, answer] = [nth(events, i), nth(events, i + 1)];
    if (call.length < 3 || answer.length < 3) return [];
    const [first, other] = [nth(call, 0), nth(answer, 0)];
    const onsets = (own: readonly NoteEvent[]): ReadonlySet<string> =>
      new Set(own.map(({ at }) => beatsToNumber(subtractBeats(at, nth(own, 0).at)).toFixed(3)));
    const [a, b] = [onsets(call), onsets(answer)];
    const both = [...a].filter((onset) => b.has(onset)).length;
    const even = (own: readonly NoteEvent[]): boolean =>
      new Set(own.slice(1).map(({ at }, k) => beatsToNumber(subtractBeats(at, nth(own, k).at)).toFixed(3))).size <= 1;
    const shape = correlation(contour(call), contour(answer));
    return [
      {
        call: i,
        answer: i + 1,
        rhythm: rounded(both / (a.size + b.size - both), 2),
        ...(shape === undefined ? {} : { shape: rounded(shape, 2) }),
        even: even(call) && even(answer),
        higher: heightOf(other) - heightOf(first),
      },
    ];
  });
};
