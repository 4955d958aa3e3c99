import type { Chord } from "../../chord/index.ts";
import type { NoteName, Pitch } from "../../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchClassOf, pitchFromMidi } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import { agrees, chordClasses, chordScale, guideTones } from "../harmony.ts";
import { AVOID, BLUE, CHORD, CHROMATIC, TENSION } from "./problem.ts";

/** How each pitch class stands to one chord, and how it is spelled over it. */
export interface Setting {
  /** By pitch class. */
  readonly classes: Uint8Array;
  /** By pitch class: whether it is a guide tone of the chord. */
  readonly guide: Uint8Array;
  /** By pitch class: whether it is the chord's root, third or fifth. */
  readonly stable: Uint8Array;
  /** By pitch class: the spelled pitch in the octave from C4. */
  readonly spelled: readonly Pitch[];
  /** By pitch class: whether the note is in the scale, so that a phrase may rest on it. */
  readonly inScale: Uint8Array;
}

const C4 = pitch("C4");
const CHROMATICS: readonly Pitch[] = Array.from({ length: 12 }, (_, i) => pitchFromMidi(60 + i, "flats"));

/** The setting of a chord, or of a bar without one, where the scale alone counts. */
export const settingOf = (chord: Chord | undefined, scale: Scale): Setting => {
  const classes = new Uint8Array(12).fill(CHROMATIC);
  const guide = new Uint8Array(12);
  const stable = new Uint8Array(12);
  const inScale = new Uint8Array(12);
  const spelled = [...CHROMATICS];
  const tonic = pitchClassOf(scale.tonic);
  const tones = chord === undefined ? new Set<number>() : chordClasses(chord);
  const root = chord === undefined ? -1 : pitchClassOf(chord.root);
  for (const note of scale.notes) inScale[pitchClassOf(note)] = 1;
  const place = (note: NoteName): void => {
    const sound = pitchClassOf(note);
    spelled[sound] = pitchAtOrAbove(note, C4);
    const blue = root === tonic && sound === (root + 3) % 12 && tones.has((root + 4) % 12) && !tones.has(sound);
    classes[sound] = blue ? BLUE : tones.has(sound) ? CHORD : agrees(sound, tones) ? TENSION : AVOID;
  };
  (chord === undefined ? scale.notes : chordScale(chord, scale)).forEach(place);
  for (const note of chord === undefined ? [] : guideTones(chord)) guide[pitchClassOf(note)] = 1;
  for (const { degree, note } of chord?.tones ?? []) if (/[135]$/.test(degree) && degree.length < 3) stable[pitchClassOf(note)] = 1;
  return { classes, guide, stable, spelled, inScale };
};
