import type { Chord } from "../chord/index.ts";
import type { Degree, NoteName, Pitch } from "../pitch/index.ts";
import { degreeInterval, noteInterval, parsePitch, pitchAtOrAbove, pitchInOctave } from "../pitch/index.ts";
import type { Register } from "./form.ts";

/** The plain degree of a note over a root: the bass of a slash chord need not be a chord tone. */
export const degreeOfNote = (chord: Chord, note: NoteName): Degree => {
  const tone = chord.tones.find((t) => t.note === note);
  if (tone !== undefined) return tone.degree;
  const { steps, semitones } = noteInterval(chord.root, note);
  const alteration = semitones - degreeInterval(`${steps + 1}` as Degree).semitones;
  return `${alteration < 0 ? "b".repeat(-alteration) : "#".repeat(alteration)}${steps + 1}` as Degree;
};

/** Spelled pitches of degrees over a root, each the nearest above the one before; the octave is still open. */
export const stack = (root: NoteName, degrees: readonly Degree[]): readonly Pitch[] => {
  const base = pitchInOctave(root, 0);
  let below = Number.NEGATIVE_INFINITY;
  return degrees.map((degree) => {
    const { steps, semitones } = degreeInterval(degree);
    // Down to within the octave over the root, then up past the note below.
    const down = Math.floor(semitones / 12);
    const plain = base.semitones + semitones - 12 * down;
    const up = plain > below ? 0 : Math.floor((below - plain) / 12) + 1;
    below = plain + 12 * up;
    return { kind: "pitch", steps: base.steps + steps + 7 * (up - down), semitones: below };
  });
};

const shifted = (pitches: readonly Pitch[], octaves: number): readonly Pitch[] =>
  pitches.map((p) => ({ kind: "pitch", steps: p.steps + 7 * octaves, semitones: p.semitones + 12 * octaves }));

/** A register's window in semitones. */
export interface Window {
  readonly of: Register["of"];
  readonly from: number;
  readonly to: number;
  readonly width: number;
}

export const windowOf = (register: Register): Window => ({
  of: register.of,
  from: parsePitch(register.from).semitones,
  to: parsePitch(register.to).semitones,
  width: register.width,
});

/** The note of a placement that its window holds. */
const governing = (pitches: readonly Pitch[], window: Window): number =>
  (pitches[window.of === "top" ? pitches.length - 1 : 0] as Pitch).semitones;

/** Every octave in which a stack lies inside its window, from low to high. */
export function* placements(stacked: readonly Pitch[], window: Window): Generator<readonly Pitch[]> {
  const note = governing(stacked, window);
  for (let octave = Math.ceil((window.from - note) / 12); note + 12 * octave <= window.to; octave++) yield shifted(stacked, octave);
}

/** Semitones from the place in the middle of the window. */
export const offMiddle = (pitches: readonly Pitch[], { from, to, width }: Window): number =>
  Math.abs((pitches[0] as Pitch).semitones + width - (from + to) / 2);

/** The bass note of a chord inside a range; `undefined` when the range is narrower than an octave and misses it. */
export const bassWithin = (chord: Chord, from: Pitch, to: Pitch): Pitch | undefined => {
  const bass = pitchAtOrAbove(chord.bass, from);
  return bass.semitones <= to.semitones ? bass : undefined;
};
