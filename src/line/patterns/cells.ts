import { nth } from "../../ground/list.ts";
import type { Pitch } from "../../pitch/index.ts";
import type { DraftPhrase, Tone } from "../draft.ts";
import { runAndHold } from "../draft.ts";
import type { Pattern, PatternContext } from "./context.ts";
import { bothWays } from "./context.ts";

/** A figure over each octave of the range, up through all of them and down again, so that every octave ends in a held tonic. */
const phraseOf = (context: PatternContext, indexes: (top: number) => readonly number[]): readonly DraftPhrase[] => {
  const { ladder, size, values, grid, direction } = context;
  const octaves = upTo((ladder.length - 1) / size - 1).map((octave) =>
    ladder.slice(octave * size, (octave + 1) * size + 1),
  );
  const phrase = (notes: readonly Pitch[]): DraftPhrase =>
    runAndHold(
      indexes(size).map((index): Tone => ({ pitch: nth(notes, index) })),
      values,
      grid,
    );
  const rising = octaves.map(phrase);
  const falling = octaves.toReversed().map((octave) => phrase(octave.toReversed()));
  return direction === "up" ? [...rising, ...falling] : [...falling, ...rising];
};

const upTo = (last: number): readonly number[] => Array.from({ length: Math.max(0, last + 1) }, (_, i) => i);

/** The scale in overlapping groups, 1 2 3, 2 3 4 …, then the top tonic held; back down likewise. */
export const groupsOf =
  (notes: 3 | 4): Pattern =>
  (context) =>
    phraseOf(context, (top) => [...upTo(top - notes).flatMap((start) => upTo(notes - 1).map((i) => start + i)), top]);

/** Thirds in scale order, 1 3, 2 4, 3 5 …, closing by step on the top tonic. */
export const brokenThirds: Pattern = (context) =>
  phraseOf(context, (top) => [...upTo(top - 3).flatMap((i) => [i, i + 2]), top - 2, top - 1, top]);

/** A turn on each degree from the second: the note above, the note, the one below, the note. */
export const turns: Pattern = (context) =>
  phraseOf(context, (top) => [
    ...upTo(top - 1)
      .slice(1)
      .flatMap((i) => [i + 1, i, i - 1, i]),
    top,
  ]);

/**
 * Three notes up, the same three an octave higher coming down, and so from each of the next notes; then by step to the
 * tonic. In each pair of neighbouring octaves of the range.
 */
export const octaveShifts: Pattern = (context) => {
  const { size, ladder, values, grid } = context;
  const pairs = Math.max(1, (ladder.length - 1) / size - 1);
  return upTo(pairs - 1).flatMap((pair) =>
    bothWays(context, ladder.slice(pair * size, (pair + 2) * size + 1), (notes) => {
      const cells = upTo(Math.min(3, size - 3)).flatMap((i) => [i, i + 1, i + 2, i + 2 + size, i + 1 + size, i + size]);
      const last = nth(cells, -1);
      const indexes = [...cells, ...upTo(2 * size - last - 1).map((i) => last + 1 + i)];
      return runAndHold(
        indexes.map((index): Tone => ({ pitch: nth(notes, index) })),
        values,
        grid,
      );
    }),
  );
};
