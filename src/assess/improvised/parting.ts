import { MusicError } from "../../ground/errors.ts";
import { known, nth } from "../../ground/list.ts";
import { midiNumber } from "../../pitch/index.ts";
import type { Score } from "../../score/index.ts";
import { alignTake } from "../align/align.ts";
import type { PlayedNote } from "../align/played.ts";

/** A take by hands, in order of time. */
export interface Parted {
  readonly line: readonly PlayedNote[];
  readonly left: readonly PlayedNote[];
}

const MIDDLE_C = 60;
// A chord rolled over a tenth of a second is still one chord.
const TOGETHER_SECONDS = 0.12;

/**
 * Tells the hands of a take apart: by the recording where it says, by a split point where one is given, or else by what the written left
 * hand accounts for. What is neither of it nor as high as middle C counts as a slip of the left hand.
 *
 * @param written - the score without a right hand
 * @param played - in order of time
 * @param from - the split point, as a MIDI note
 */
export const partHands = (written: Score, played: readonly PlayedNote[], from: number | undefined): Parted => {
  const part = (isLine: (note: PlayedNote) => boolean): Parted => {
    const inLine = (note: PlayedNote): boolean => (note.hand === undefined ? isLine(note) : note.hand === "right");
    return { line: played.filter(inLine), left: played.filter((note) => !inLine(note)) };
  };
  if (from !== undefined) return part(({ midi }) => midi >= from);
  const taken = accountedFor(
    written,
    played.filter(({ hand }) => hand === undefined),
  );
  return part((note) => !taken.has(note) && note.midi >= MIDDLE_C);
};

const accountedFor = (written: Score, played: readonly PlayedNote[]): ReadonlySet<PlayedNote> => {
  const possible = couldBeLeft(written, played);
  if (possible.length === 0) return new Set();
  try {
    const { notes } = alignTake(written, possible);
    return new Set(
      notes.filter(({ state }) => state === "right").map(({ played: index }) => nth(possible, known(index))),
    );
  } catch (error) {
    if (error instanceof MusicError && error.reason === "cannot-be-done") return new Set();
    throw error;
  }
};

/** The keys that were struck together with most of a chord of the written left hand, or that are a single note of it. */
const couldBeLeft = ({ left }: Score, played: readonly PlayedNote[]): readonly PlayedNote[] => {
  const around = keysAround(played);
  const chords = [
    ...new Map(left.map(({ pitches }) => [pitches.map(midiNumber).join(" "), pitches.map(midiNumber)])).values(),
  ];
  return played.filter((note, i) =>
    chords.some(
      (keys) => keys.includes(note.midi) && keys.filter((key) => around(i, key)).length * 3 >= keys.length * 2,
    ),
  );
};

/** Whether a key was struck within a moment of a note, for notes asked about in order: one walk over the take, whatever lies together. */
const keysAround = (played: readonly PlayedNote[]): ((index: number, key: number) => boolean) => {
  const counts = new Map<number, number>();
  let [from, to] = [0, 0];
  const count = (midi: number, by: number): void => void counts.set(midi, (counts.get(midi) ?? 0) + by);
  const secondsOf = (index: number): number => played[index]?.onsetSeconds ?? Infinity;
  return (index, key) => {
    for (; secondsOf(to) <= secondsOf(index) + TOGETHER_SECONDS; to++) count(nth(played, to).midi, 1);
    for (; secondsOf(from) < secondsOf(index) - TOGETHER_SECONDS; from++) count(nth(played, from).midi, -1);
    return (counts.get(key) ?? 0) > 0;
  };
};
