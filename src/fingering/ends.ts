import type { Finger, Hand } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { keyColour } from "../pitch/index.ts";
import { fingerOf } from "./reading.ts";

/** A scale or arpeggio from its end nearer to the body to the other, as the ends see it. */
export interface Ladder {
  /** The fingers, changed in place. */
  readonly fingers: Finger[];
  readonly black: readonly boolean[];
  /** Semitones between neighbours. */
  readonly steps: readonly number[];
  /** Three or four notes an octave. */
  readonly arpeggio: boolean;
  /** Seven notes an octave. */
  readonly seven: boolean;
}

/** How the fingers of the octave give way at an end of a scale. */
export interface EndRule {
  /** Stable name, by which the rule is switched off. */
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly reads: "ends";
  readonly apply: (ladder: Ladder) => void;
}

// A minor third: the turn that a scale with a gap there has in every octave.
const WIDE = 3;

const EVANSVILLE = "University of Evansville, Scale and Arpeggio Fingerings";
const BERINGER =
  "Beringer & Dunhill, A Manual of Scales, Broken Chords and Arpeggios (1900), in D. Randolph's transcription";

/** What changes at the ends, in the order in which it is applied. */
export const END_RULES = [
  {
    id: "ends-outer-little",
    title: "At the outer end of an arpeggio the 5th finger takes the thumb's note.",
    source: `computed from ${BERINGER}`,
    reads: "ends",
    apply: ({ fingers, arpeggio }) => {
      const last = fingers.length - 1;
      if (arpeggio && fingers[last] === 1) fingers[last] = 5;
    },
  },
  {
    id: "ends-outer-next",
    title:
      "At the outer end of a scale the next finger takes the thumb's note, after the 3rd in scales of seven notes, or across less than a third where the scale is not chromatic: no turn for a single note.",
    source: "common practice, as manuals print it: F major ends on 4 in the right hand, B major on 5, in the left on 4",
    reads: "ends",
    apply: ({ fingers, steps, arpeggio, seven }) => {
      const last = fingers.length - 1;
      if (arpeggio || fingers[last] !== 1) return;
      const before = fingers[last - 1];
      if (before === 2) fingers[last] = 3;
      const chromatic = steps.every((step) => step === 1);
      if (before === 3 && (seven || (!chromatic && (steps.at(-1) ?? WIDE) < WIDE))) fingers[last] = 4;
      if (before === 4) fingers[last] = 5;
    },
  },
  {
    id: "ends-inner-thumb",
    title: "At the inner end a white key has the thumb, unless the thumb is needed on the next.",
    source: `computed from ${EVANSVILLE}, chromatic scale`,
    reads: "ends",
    apply: ({ fingers, black, arpeggio }) => {
      if (!arpeggio && !black[0] && fingers[1] !== 1) fingers[0] = 1;
    },
  },
  {
    id: "ends-inner-index",
    title:
      "At the inner end of an arpeggio, or of a scale that starts on a white key, the notes before the first thumb begin with the 2nd finger.",
    source: `computed from ${BERINGER}`,
    reads: "ends",
    apply: ({ fingers, black, arpeggio }) => {
      const first = nth(fingers, 0);
      const before = fingers.indexOf(1);
      if (!arpeggio && black[0]) return;
      for (let i = 0; i < before; i++) fingers[i] = fingerOf(nth(fingers, i) - first + 2);
    },
  },
] as const satisfies readonly EndRule[];

/**
 * The fingers of a rising scale or arpeggio over whole octaves: those of the octave, with the ends given way.
 *
 * @param rising - from tonic to tonic
 * @param without - end rules to leave out
 */
export const withEnds = (
  rising: readonly Pitch[],
  octaveFingers: readonly Finger[],
  hand: Hand,
  without: readonly string[],
): readonly Finger[] => {
  const size = octaveFingers.length;
  const outward = hand === "right" ? [...rising.keys()] : [...rising.keys()].reverse();
  const keys = outward.map((i) => nth(rising, i));
  const ladder: Ladder = {
    fingers: outward.map((i) => nth(octaveFingers, i % size)),
    black: keys.map((p) => keyColour(p) === "black"),
    steps: keys.slice(1).map((p, i) => Math.abs(p.semitones - nth(keys, i).semitones)),
    arpeggio: size <= 4,
    seven: size === 7,
  };
  for (const rule of END_RULES) if (!without.includes(rule.id)) rule.apply(ladder);
  return hand === "right" ? ladder.fingers : ladder.fingers.reverse();
};
