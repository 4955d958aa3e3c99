import type { Beats, Metre, NoteValue } from "../time/index.ts";
import { beatsOf, divideBeats, floorBeats } from "../time/index.ts";
import type { LaidOutPiece, TupletEdge } from "./pieces.ts";

/** The stretch that a tuplet divides: the quarter, or the eighth (sixteenth) of a metre that counts those. */
const cellOf = (at: Beats, metre: Metre): number => floorBeats(divideBeats(at, beatsOf(4, Math.max(metre.unit, 4))));

const ratioOf = (piece: LaidOutPiece): NoteValue["tuplet"] => (piece.kind === "space" ? undefined : piece.value.tuplet);

/** Marks where brackets begin and end: one for each run of equal tuplets inside a beat. */
export const withTuplets = (voice: readonly LaidOutPiece[], metre: Metre): readonly LaidOutPiece[] => {
  const together = (a: LaidOutPiece | undefined, b: LaidOutPiece | undefined): boolean => {
    if (a === undefined || b === undefined) return false;
    const [one, other] = [ratioOf(a), ratioOf(b)];
    return one !== undefined && one.actual === other?.actual && cellOf(a.at, metre) === cellOf(b.at, metre);
  };
  return voice.map((piece, i) => {
    if (piece.kind === "space" || piece.value.tuplet === undefined) return piece;
    const starts = !together(voice[i - 1], piece);
    const stops = !together(piece, voice[i + 1]);
    const tupletEdge: TupletEdge | undefined = starts && stops ? "start-stop" : starts ? "start" : stops ? "stop" : undefined;
    return tupletEdge === undefined ? piece : { ...piece, tupletEdge };
  });
};
