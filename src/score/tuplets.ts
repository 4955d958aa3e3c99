import type { Beats, Metre, NoteValue } from "../time/index.ts";
import { addBeats, beats, beatsOf, compareBeats, divideBeats, floorBeats, multiplyBeats } from "../time/index.ts";
import type { LaidOutPiece, TupletEdge } from "./pieces.ts";

/** The quarter, or the eighth (sixteenth) of a metre that counts those. */
const counted = (metre: Metre): Beats => beatsOf(4, Math.max(metre.unit, 4));

const indexOf = (at: Beats, length: Beats): number => floorBeats(divideBeats(at, length));

const ratioOf = (piece: LaidOutPiece): NoteValue["tuplet"] => (piece.kind === "space" ? undefined : piece.value.tuplet);

const HALF = beats(2);

/** The half notes that are divided as a whole: a tuplet runs across the quarter inside. */
const dividedHalves = (voice: readonly LaidOutPiece[], metre: Metre): ReadonlySet<number> => {
  const cell = counted(metre);
  const across = voice.filter(
    (piece) =>
      ratioOf(piece) !== undefined &&
      compareBeats(addBeats(piece.at, piece.duration), multiplyBeats(cell, beats(indexOf(piece.at, cell) + 1))) > 0,
  );
  return new Set(across.map(({ at }) => indexOf(at, HALF)));
};

/** Marks where brackets begin and end: one for each run of equal tuplets inside the stretch that they divide. */
export const withTuplets = (voice: readonly LaidOutPiece[], metre: Metre): readonly LaidOutPiece[] => {
  const cell = counted(metre);
  const halves = dividedHalves(voice, metre);
  const together = (a: LaidOutPiece | undefined, b: LaidOutPiece | undefined): boolean => {
    if (a === undefined || b === undefined) return false;
    const [one, other] = [ratioOf(a), ratioOf(b)];
    if (one === undefined || one.actual !== other?.actual) return false;
    const half = indexOf(a.at, HALF);
    return indexOf(a.at, cell) === indexOf(b.at, cell) || (halves.has(half) && half === indexOf(b.at, HALF));
  };
  return voice.map((piece, i) => {
    if (piece.kind === "space" || piece.value.tuplet === undefined) return piece;
    const starts = !together(voice[i - 1], piece);
    const stops = !together(piece, voice[i + 1]);
    const tupletEdge: TupletEdge | undefined =
      starts && stops ? "start-stop" : starts ? "start" : stops ? "stop" : undefined;
    return tupletEdge === undefined ? piece : { ...piece, tupletEdge };
  });
};
