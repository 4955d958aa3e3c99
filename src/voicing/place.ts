import type { Chord } from "../chord/index.ts";
import { degreeOver } from "../chord/index.ts";
import { kept } from "../ground/memo.ts";
import type { Degree, Interval, NoteName, Pitch } from "../pitch/index.ts";
import { degreeInterval, pitchAtOrAbove, pitchInOctave } from "../pitch/index.ts";

export const OCTAVE_DOWN: Interval = { kind: "interval", steps: -7, semitones: -12 };

/** The plain degree of a note over a root: the bass of a slash chord need not be a chord tone. */
export const degreeOfNote = (chord: Chord, note: NoteName): Degree => {
  const tone = chord.tones.find((t) => t.note === note);
  return tone === undefined ? degreeOver(chord.root, note) : tone.degree;
};

/** Where notes lie over their root, each the nearest above the one before. */
export interface Stack {
  readonly steps: readonly number[];
  readonly semitones: readonly number[];
  /** Semitones of its lowest and highest note. */
  readonly lowest: number;
  readonly highest: number;
}

export const stack = (degrees: readonly Degree[]): Stack => {
  const steps: number[] = [];
  const semitones: number[] = [];
  let below = -1;
  for (const degree of degrees) {
    const own = degreeInterval(degree);
    const octaves = Math.floor((below - own.semitones) / 12) + 1;
    below = own.semitones + 12 * octaves;
    steps.push(own.steps + 7 * octaves);
    semitones.push(below);
  }
  return { steps, semitones, lowest: semitones[0] ?? 0, highest: below };
};

/** The pitches of a stack over a root in octave 0, moved up by octaves. */
export const pitchesOf = ({ steps, semitones }: Stack, root: Pitch, octave: number): Pitch[] => {
  const pitches: Pitch[] = [];
  const [firstStep, first] = [root.steps + 7 * octave, root.semitones + 12 * octave];
  for (let i = 0; i < steps.length; i++)
    pitches.push({ kind: "pitch", steps: firstStep + (steps[i] ?? 0), semitones: first + (semitones[i] ?? 0) });
  return pitches;
};

// There are 49 names of notes.
const ROOTS = /* @__PURE__ */ new Map<NoteName, Pitch>();

/** A chord's root in octave 0. */
export const rootOf = ({ root }: Chord): Pitch => kept(ROOTS, root, () => pitchInOctave(root, 0));

/** The bass note of a chord inside a range; `undefined` when the range is narrower than an octave and misses it. */
export const bassWithin = (chord: Chord, from: Pitch, to: Pitch): Pitch | undefined => {
  const bass = pitchAtOrAbove(chord.bass, from);
  return bass.semitones <= to.semitones ? bass : undefined;
};
