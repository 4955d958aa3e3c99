import type { Finger } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, noteName } from "../pitch/index.ts";
import type { Model } from "./model.ts";
import { sequenceIn } from "./model.ts";
import type { Passage } from "./passage.ts";
import { byteAt } from "./reading.ts";
import { fingersOfWay, solveOpen } from "./solve.ts";

/** A note of a figure that comes back with another finger than every time. */
export interface Departure {
  readonly kind: "departure";
  readonly index: number;
  /** The note whose key forces it, where one does. */
  readonly forcedBy?: Pitch;
  readonly message: string;
}

// What lies farther off has no say in a finger; and a passage of departures is told the keys of so many.
const NEAR = 2;
const AROUND = 8;
const MOST_EXPLAINED = 20;

const named = (p: Pitch): string => formatPitch(noteName(p));

/** A part of a passage. */
export const stretch = (p: Passage, from: number, to: number): Passage => ({
  ...p,
  length: to - from,
  moments: p.moments.slice(from, to),
  grips: p.grips.slice(from, to),
  kinds: p.kinds.slice(from, to),
  single: p.single.slice(from, to),
  chord: p.chord.slice(from, to),
  innerBlack: p.innerBlack.slice(from, to),
  outerBlack: p.outerBlack.slice(from, to),
  allBlack: p.allBlack.slice(from, to),
  innerMoves: p.innerMoves.slice(from, to),
  outerMoves: p.outerMoves.slice(from, to),
});

// The same with the key of a moment in the other colour, its place as it is.
const recoloured = (p: Passage, moment: number): Passage => {
  const black = 1 - byteAt(p.innerBlack, moment);
  const turned = (list: Uint8Array, at: number): Uint8Array => list.map((one, i) => (i === at ? black : one));
  return {
    ...p,
    innerBlack: turned(p.innerBlack, moment),
    outerBlack: turned(p.outerBlack, moment),
    allBlack: turned(p.allBlack, moment),
    black: turned(p.black, p.moments[moment]?.keys[0]?.note ?? 0),
  };
};

/**
 * The note whose key keeps another from the finger that it has every time: the nearest, black ones first, that would let it have it if its key were of
 * the other colour; none where the distances do.
 */
const forcing = (model: Model, p: Passage, note: number, every: Finger): number | undefined => {
  // Figures are single notes.
  const moment = p.moments.findIndex(({ keys }) => keys.length === 1 && keys[0]?.note === note);
  if (moment < 0) return undefined;
  const [from, to] = [Math.max(0, moment - AROUND), Math.min(p.length, moment + AROUND + 1)];
  const near = stretch(p, from, to);
  const at = moment - from;
  const places = Array.from({ length: 2 * NEAR + 1 }, (_, i) => at + i - NEAR)
    .filter((i) => near.single[i] === 1)
    .sort((a, b) => (near.innerBlack[b] ?? 0) - (near.innerBlack[a] ?? 0) || Math.abs(a - at) - Math.abs(b - at));
  const found = places.find((i) => {
    const other = recoloured(near, i);
    return fingersOfWay(other, solveOpen(model, other), p.black.length)[note] === every;
  });
  return found === undefined ? undefined : near.moments[found]?.keys[0]?.note;
};

/** Where a figure that comes back can't keep its fingers, and the key that stands in the way. */
export const departures = (
  model: Model,
  passage: Passage,
  pitches: readonly Pitch[],
  fingers: readonly Finger[],
): readonly Departure[] => {
  const found: Departure[] = [];
  fingers.forEach((finger, index) => {
    const every = sequenceIn(byteAt(passage.role, index));
    const pitch = pitches[index];
    if (every === undefined || every === finger || pitch === undefined) return;
    const by = found.length >= MOST_EXPLAINED ? undefined : forcing(model, passage, index, every);
    const forcedBy = by === undefined ? undefined : pitches[by];
    found.push({
      kind: "departure",
      index,
      ...(forcedBy !== undefined && { forcedBy }),
      message:
        forcedBy === undefined
          ? `${named(pitch)} takes ${finger} here, ${every} elsewhere in the sequence`
          : by === index
            ? `${named(pitch)} forces ${finger} here, ${every} elsewhere in the sequence`
            : `${named(forcedBy)} forces ${finger} on ${named(pitch)} here, ${every} elsewhere in the sequence`,
    });
  });
  return found;
};
