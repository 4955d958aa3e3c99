import type { Beats, Metre, NoteType } from "../time/index.ts";
import { barLength, barPosition, beats, compareBeats, divideBeats, floorBeats, pulseLength } from "../time/index.ts";
import type { BeamState, LaidOutNote, LaidOutPiece } from "./pieces.ts";

const LEVELS: Readonly<Partial<Record<NoteType, number>>> = { eighth: 1, "16th": 2, "32nd": 3, "64th": 4 };

const levelsOf = (piece: LaidOutPiece): number => (piece.kind === "note" ? (LEVELS[piece.value.type] ?? 0) : 0);

/** The stretch under one beam: the beat, the bar of 3/8, and a quarter where the count is in shorter values. */
const beamLength = (metre: Metre): Beats => {
  const pulse = pulseLength(metre);
  if (metre.unit >= 8 && metre.count === 3) return barLength(metre);
  return compareBeats(pulse, beats(1)) < 0 ? beats(1) : pulse;
};

/** Joins short notes under beams by the beat; a rest breaks the beam. */
export const beamed = (voice: readonly LaidOutPiece[], metre: Metre): readonly LaidOutPiece[] => {
  const length = beamLength(metre);
  const groupOf = (piece: LaidOutPiece): string => {
    const { bar, offset } = barPosition(piece.at, metre);
    return `${bar}:${floorBeats(divideBeats(offset, length))}`;
  };
  const done: LaidOutPiece[] = [];
  let run: LaidOutNote[] = [];
  let group = "";
  const flush = (): void => {
    const levels = run.map(levelsOf);
    run.forEach((note, i) => done.push(run.length < 2 ? note : { ...note, beams: beamsAt(levels, i) }));
    run = [];
  };
  for (const piece of voice) {
    const here = groupOf(piece);
    if (here !== group || levelsOf(piece) === 0) flush();
    group = here;
    if (piece.kind === "note" && levelsOf(piece) > 0) run.push(piece);
    else done.push(piece);
  }
  flush();
  return done;
};

const beamsAt = (levels: readonly number[], i: number): readonly BeamState[] => {
  const before = levels[i - 1] ?? 0;
  const after = levels[i + 1] ?? 0;
  return Array.from({ length: levels[i] ?? 0 }, (_, l): BeamState => {
    const fromLeft = before > l;
    const toRight = after > l;
    if (fromLeft && toRight) return "continue";
    if (fromLeft) return "end";
    if (toRight) return "begin";
    return i === 0 ? "forward hook" : "backward hook";
  });
};
