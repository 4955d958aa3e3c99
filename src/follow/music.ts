import type { Asked } from "../assess/inner.ts";
import { COST } from "../assess/inner.ts";
import type { Hand } from "../event/index.ts";
import { firstPlace } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";

/** The notes of one hand by moment, in order. */
export interface HandMusic {
  readonly hand: Hand;
  /** Indices of asked notes. */
  readonly moments: readonly (readonly number[])[];
  /** When each moment sounds, in quarter notes; Infinity behind the last. */
  readonly times: readonly number[];
}

/** Where a key is wanted. */
export interface Landing {
  readonly hand: Hand;
  readonly moment: number;
  readonly note: number;
}

/** A score as it is followed. */
export interface Music {
  readonly asked: readonly Asked[];
  readonly right: HandMusic;
  readonly left: HandMusic;
  /** By key, in order. */
  readonly landings: ReadonlyMap<number, readonly Landing[]>;
}

const handMusic = (asked: readonly Asked[], hand: Hand): HandMusic => {
  const byTime = new Map<number, number[]>();
  for (const note of asked) if (note.hand === hand) kept(byTime, note.sounds, () => []).push(note.index);
  return { hand, moments: [...byTime.values()], times: [...byTime.keys(), Infinity] };
};

/** Puts the asked notes, in order of time, where they are found by hand, moment and key. */
export const musicOf = (asked: readonly Asked[]): Music => {
  const [right, left] = [handMusic(asked, "right"), handMusic(asked, "left")];
  const landings = new Map<number, Landing[]>();
  for (const { hand, moments } of [right, left])
    moments.forEach((notes, moment) => {
      for (const note of notes) {
        const midi = asked[note]?.midi ?? -1;
        kept(landings, midi, () => []).push({ hand, moment, note });
      }
    });
  for (const places of landings.values()) places.sort((a, b) => a.note - b.note);
  return { asked, right, left, landings };
};

/** What it costs to leave a note out. */
export const missing = ({ grace }: Asked): number => (grace ? COST.missedGrace : COST.missed);

/** The first moment of a hand at a time or after it; the last where none is. */
export const momentFrom = ({ times }: HandMusic, time: number): number =>
  Math.max(
    0,
    Math.min(
      times.length - 1,
      firstPlace(times, (at) => at >= time),
    ),
  );

/** The first asked note that sounds at a time or after it. */
export const noteFrom = (asked: readonly Asked[], time: number): number =>
  firstPlace(asked, ({ sounds }) => sounds >= time);
