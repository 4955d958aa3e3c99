import type { Finger, Hand } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { keyColour } from "../pitch/index.ts";

/** A scale or arpeggio from its end nearer to the body to the other, as the ends see it. */
export interface Ladder {
  /** The fingers, changed in place. */
  readonly fingers: Finger[];
  readonly black: readonly boolean[];
  /** Semitones between neighbours. */
  readonly steps: readonly number[];
  /** Three or four notes an octave. */
  readonly arpeggio: boolean;
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

const EVANSVILLE = "University of Evansville, Scale and Arpeggio Fingerings";
const BERINGER =
  "Beringer & Dunhill, A Manual of Scales, Broken Chords and Arpeggios (1900), in D. Randolph's transcription";

// Fingers 2, 3 and 4 on three neighbouring black keys, just before the last note.
const onThreeBlacks = ({ fingers, black, steps }: Ladder): boolean => {
  const last = fingers.length - 1;
  return (
    [2, 3, 4].every((finger, i) => fingers[last - 3 + i] === finger && black[last - 3 + i]) &&
    steps[last - 3] === 2 &&
    steps[last - 2] === 2
  );
};

/** What changes at the ends, in the order in which it is applied. */
export const END_RULES = [
  {
    id: "ends-outer-little",
    title:
      "At the outer end the 5th finger takes the thumb's note after the 4th, in arpeggios after any finger; not where 2 3 4 lie on three neighbouring black keys.",
    source: `computed from ${EVANSVILLE} (scales) and ${BERINGER} (arpeggios)`,
    reads: "ends",
    apply: (ladder) => {
      const { fingers, arpeggio } = ladder;
      const last = fingers.length - 1;
      if (fingers[last] !== 1) return;
      if (arpeggio || (fingers[last - 1] === 4 && !onThreeBlacks(ladder))) fingers[last] = 5;
    },
  },
  {
    id: "ends-outer-next",
    title:
      "At the outer end of a scale the 3rd finger takes the thumb's note after the 2nd: no turn for a single note.",
    source: "ours",
    reads: "ends",
    apply: ({ fingers, arpeggio }) => {
      const last = fingers.length - 1;
      if (!arpeggio && fingers[last] === 1 && fingers[last - 1] === 2) fingers[last] = 3;
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
      const first = fingers[0] as Finger;
      const before = fingers.indexOf(1);
      if (!arpeggio && black[0]) return;
      for (let i = 0; i < before; i++) fingers[i] = ((fingers[i] as Finger) - first + 2) as Finger;
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
  const keys = outward.map((i) => rising[i] as Pitch);
  const ladder: Ladder = {
    fingers: outward.map((i) => octaveFingers[i % size] as Finger),
    black: keys.map((p) => keyColour(p) === "black"),
    steps: keys.slice(1).map((p, i) => Math.abs(p.semitones - (keys[i] as Pitch).semitones)),
    arpeggio: size <= 4,
  };
  for (const rule of END_RULES) if (!without.includes(rule.id)) rule.apply(ladder);
  return hand === "right" ? ladder.fingers : ladder.fingers.reverse();
};
