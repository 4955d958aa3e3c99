import type { Finger, Hand } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { keyColour } from "../pitch/index.ts";
import { withEnds } from "./ends.ts";
import { octavePattern } from "./pattern.ts";

const FEWEST_AN_OCTAVE = 3;
const MOST_OF_ARPEGGIO = 4;

/**
 * The fingers that a scale or arpeggio has by itself, where that is what the notes are: whole octaves of one pattern up or
 * down, or there and back, two at least of an arpeggio; `undefined` for anything else.
 */
export const recogniseScale = (pitches: readonly Pitch[], hand: Hand): readonly Finger[] | undefined => {
  const legs = legsOf(pitches);
  if (legs === undefined) return undefined;
  const fingers = new Array<Finger>(pitches.length);
  for (const { from, to, size } of legs) {
    const leg = pitches.slice(from, to + 1);
    const rises = nth(leg, 0).semitones < nth(leg, -1).semitones;
    const rising = rises ? leg : [...leg].reverse();
    const pattern = octavePattern(rising.slice(0, size), hand, {});
    // One octave may do without the thumb on a black key where several can't.
    if (to - from === size && rising.some((p, i) => pattern[i] === 1 && keyColour(p) === "black")) return undefined;
    const found = withEnds(rising, pattern, hand, []);
    (rises ? found : [...found].reverse()).forEach((finger, i) => (fingers[from + i] = finger));
  }
  return fingers;
};

interface Leg {
  readonly from: number;
  readonly to: number;
  /** Notes an octave. */
  readonly size: number;
}

const legsOf = (pitches: readonly Pitch[]): readonly Leg[] | undefined => {
  const legs: Leg[] = [];
  let from = 0;
  while (from < pitches.length - 1) {
    const leg = legFrom(pitches, from);
    // An arpeggio of one octave lies under the hand without a turn.
    if (leg === undefined || (leg.size <= MOST_OF_ARPEGGIO && leg.to - leg.from <= leg.size)) return undefined;
    legs.push(leg);
    // A tonic struck again starts the next leg.
    from = pitches[leg.to + 1]?.semitones === pitches[leg.to]?.semitones ? leg.to + 1 : leg.to;
  }
  return legs.length === 0 ? undefined : legs;
};

const legFrom = (pitches: readonly Pitch[], from: number): Leg | undefined => {
  const at = (i: number): number => pitches[i]?.semitones ?? Number.NaN;
  const way = Math.sign(at(from + 1) - at(from));
  let to = from;
  while (Math.sign(at(to + 1) - at(to)) === way) to++;
  const octaves = Math.abs(at(to) - at(from)) / 12;
  const size = (to - from) / octaves;
  if (!Number.isInteger(octaves) || !Number.isInteger(size) || size < FEWEST_AN_OCTAVE) return undefined;
  for (let i = from; i + size <= to; i++) if (Math.abs(at(i + size) - at(i)) !== 12) return undefined;
  return { from, to, size };
};
