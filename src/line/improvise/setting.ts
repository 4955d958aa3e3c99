import type { Chord } from "../../chord/index.ts";
import type { NoteName, Pitch } from "../../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchClassOf, pitchFromMidi } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { ChordSlot } from "../harmony.ts";
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
  /** By pitch class: letter steps above C0 of that spelling, moved to the octave of C0. */
  readonly letters: Int16Array;
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
  for (const { degree, note } of chord?.tones ?? []) if (/^[b#]*[135]$/.test(degree)) stable[pitchClassOf(note)] = 1;
  const letters = Int16Array.from(spelled, (p, sound) => p.steps - (7 * (p.semitones - sound)) / 12);
  return { classes, guide, stable, spelled, letters, inScale };
};

/** The settings of a progression. */
export interface Settings {
  readonly at: (tick: number) => Setting;
  /** Whether a chord enters at a moment. */
  readonly enters: (tick: number) => boolean;
  /** Whether no chord sounds at a moment. */
  readonly bare: (tick: number) => boolean;
}

/** The setting in force at each moment of a progression. */
export const settingsOf = (slots: readonly ChordSlot[], scale: Scale): Settings => {
  const known = new Map<string, Setting>();
  const bySlot = slots.map(({ chord }) => {
    const name = chord?.symbol ?? "";
    const setting = known.get(name) ?? settingOf(chord, scale);
    known.set(name, setting);
    return setting;
  });
  const none = settingOf(undefined, scale);
  let index = 0;
  const find = (tick: number): number => {
    if ((slots[index]?.at ?? 0) > tick) index = 0;
    while (index + 1 < slots.length && (slots[index + 1] as ChordSlot).at <= tick) index += 1;
    const slot = slots[index];
    return slot !== undefined && slot.at <= tick && tick < slot.at + slot.duration ? index : -1;
  };
  return {
    at: (tick) => bySlot[find(tick)] ?? none,
    enters: (tick) => slots[find(tick)]?.at === tick,
    bare: (tick) => slots[find(tick)]?.chord === undefined,
  };
};
