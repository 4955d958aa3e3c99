import type { Chord } from "../chord/index.ts";
import type { TimeSpan } from "../event/index.ts";
import type { NoteName } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import { addBeats, beatsToNumber, compareBeats } from "../time/index.ts";

/** A bass note that stays while the chords over it change, by places in the list of chords, both included. */
export interface Pedal {
  readonly note: NoteName;
  readonly from: number;
  readonly to: number;
}

// Less is a chord with its suspension before it: common practice, no source.
const CHORDS = 3;
const QUARTERS = 8;

/** The pedal points of chords in time: one bass under different roots, for three chords or two bars of 4/4, one of them written over it. */
export const pedalsOf = (chords: readonly (TimeSpan & { readonly chord: Chord })[]): readonly Pedal[] => {
  const pedals: Pedal[] = [];
  let from = 0;
  for (let i = 1; i <= chords.length; i++) {
    const [first, last, next] = [chords[from], chords[i - 1], chords[i]];
    if (first === undefined || last === undefined) break;
    const goesOn =
      next !== undefined &&
      pitchClassOf(next.chord.bass) === pitchClassOf(first.chord.bass) &&
      compareBeats(addBeats(last.at, last.duration), next.at) === 0;
    if (goesOn) continue;
    const run = chords.slice(from, i);
    const roots = new Set(run.map(({ chord }) => pitchClassOf(chord.root)));
    const kinds = new Set(run.map(({ chord }) => chord.canonical));
    const long = run.reduce((sum, { duration }) => sum + beatsToNumber(duration), 0) >= QUARTERS;
    if (roots.size > 1 && (kinds.size >= CHORDS || long)) pedals.push({ note: first.chord.bass, from, to: i - 1 });
    from = i;
  }
  return pedals;
};
