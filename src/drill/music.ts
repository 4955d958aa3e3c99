import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { ChordSpan, Progression } from "../progression/index.ts";
import type { FullDrillRecipe } from "../recipe/index.ts";
import type { DrumEvent } from "../score/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beats, compareBeats, minBeats, multiplyBeats, subtractBeats } from "../time/index.ts";
import { barStartInMetres, metresOverTurns } from "../time/inner.ts";

/** What a drill plays, before it is a score. */
export interface Music {
  readonly bars: number;
  readonly chords: readonly ChordSpan[];
  readonly left: readonly NoteEvent[];
  readonly right: readonly NoteEvent[];
  readonly phrases?: readonly TimeSpan[];
  readonly bass?: readonly NoteEvent[];
  readonly drums?: readonly DrumEvent[];
}

/** Bars in their metres. */
type Form = Pick<Progression, "metre" | "metres" | "bars">;

/** Where each turn of some bars starts. */
export const turnStarts = (form: Form, turns: number): readonly Beats[] => {
  const length = barStartInMetres(form, form.bars + 1);
  return Array.from({ length: turns }, (_, turn) => multiplyBeats(length, beats(turn)));
};

/** Bars played so many times. */
export const formOverTurns = (form: Form, turns: number): Form => {
  const metres = metresOverTurns(form, turns);
  return { metre: form.metre, bars: form.bars * turns, ...(metres && { metres }) };
};

/** The same, later. */
export const moved = <T extends TimeSpan>(item: T, by: Beats): T =>
  by.num === 0 ? item : { ...item, at: addBeats(item.at, by) };

/** The same in every turn. */
export const overTurns = <T extends TimeSpan>(items: readonly T[], changes: Form, turns: number): readonly T[] =>
  turnStarts(changes, turns).flatMap((start) => items.map((item) => moved(item, start)));

const eachPart = (
  music: Music,
  bars: number,
  change: <T extends TimeSpan>(items: readonly T[]) => readonly T[],
): Music => ({
  bars,
  chords: change(music.chords),
  left: change(music.left),
  right: change(music.right),
  ...(music.phrases && { phrases: change(music.phrases) }),
  ...(music.bass && { bass: change(music.bass) }),
  ...(music.drums && { drums: change(music.drums) }),
});

/** The same music, later. */
export const movedMusic = (music: Music, by: Beats): Music =>
  eachPart(music, music.bars, (items) => items.map((item) => moved(item, by)));

/** Pieces of music after each other, each at its moments already. */
export const joinedMusic = (pieces: readonly Music[], bars: number): Music => ({
  bars,
  chords: pieces.flatMap(({ chords }) => chords),
  left: pieces.flatMap(({ left }) => left),
  right: pieces.flatMap(({ right }) => right),
  ...(pieces.some(({ phrases }) => phrases) && { phrases: pieces.flatMap(({ phrases = [] }) => phrases) }),
});

/** The same music so many times, in the metres of its bars. */
export const repeatedMusic = (music: Music, form: Form, times: number): Music =>
  eachPart(music, music.bars * times, (items) => overTurns(items, form, times));

/**
 * Some bars of it by themselves: what lies across their ends is cut there, so that a chord struck early before them is struck as they begin.
 *
 * @throws MusicError `drill/bars` for bars after the last
 */
export const barsOf = (music: Music, form: Form, [from, to]: NonNullable<FullDrillRecipe["bars"]>): Music => {
  if (to > music.bars) {
    throw new MusicError({
      code: "drill/bars",
      input: [from, to],
      expected: `bars from 1 to ${music.bars}, the last of this drill`,
      reason: "cannot-be-done",
    });
  }
  const ends = { start: barStartInMetres(form, from), end: barStartInMetres(form, to + 1) };
  return eachPart(music, to - from + 1, (items) => items.flatMap((item) => within(item, ends)));
};

interface Ends {
  readonly start: Beats;
  readonly end: Beats;
}

const within = <T extends TimeSpan>(item: T, { start, end }: Ends): readonly T[] => {
  const last = minBeats(addBeats(item.at, item.duration), end);
  const first = compareBeats(item.at, start) < 0 ? start : item.at;
  return compareBeats(first, last) < 0
    ? [{ ...item, at: subtractBeats(first, start), duration: subtractBeats(last, first) }]
    : [];
};

/** The same for one hand, with bass and drums. */
export const handsOf = (music: Music, hands: FullDrillRecipe["hands"]): Music => {
  if (hands === "both") return music;
  const { phrases, ...rest } = music;
  return hands === "left" ? { ...rest, right: [] } : { ...music, left: [] };
};
