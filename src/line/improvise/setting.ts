import type { Chord } from "../../chord/index.ts";
import { BLUES_FOUR, BLUES_ONE, chordKindOf, DIMINISHED, DOMINANT, MAJOR, MINOR } from "../../line-model/inner.ts";
import type { NoteName, Pitch } from "../../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchClassOf, pitchFromMidi } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { ChordSlot } from "../harmony.ts";
import { chordClasses, chordScale } from "../harmony.ts";

/** How each pitch class stands to one chord, and how it is spelled over it. */
export interface Setting {
  /** Kind of the chord; where none sounds, that of the tonic. */
  readonly kind: number;
  readonly root: number;
  /** By pitch class: 2 for a tone of the chord, 1 for a note of its scale, 0 for others. */
  readonly belongs: Uint8Array;
  /** By pitch class: whether a note that lasts a beat would sour. */
  readonly sour: Uint8Array;
  /** By pitch class: whether no note of it is played: the major seventh over a dominant. */
  readonly banned: Uint8Array;
  /** The third that tells a dominant, if it is one that says it. */
  readonly third: number | undefined;
  /** By pitch class: the spelled pitch in the octave from C4. */
  readonly spelled: readonly Pitch[];
}

const C4 = /* @__PURE__ */ pitch("C4");
const CHROMATICS: readonly Pitch[] = /* @__PURE__ */ Array.from({ length: 12 }, (_, i) =>
  pitchFromMidi(60 + i, "flats"),
);

// Semitones above the root that sour when they are held, unless they are tones of the chord. Common practice, no source.
const SOUR: Readonly<Record<number, readonly number[]>> = {
  [MAJOR]: [1, 3, 5, 8, 10],
  [DOMINANT]: [5, 11],
  [MINOR]: [1, 4, 6, 8],
  [DIMINISHED]: [1, 4, 7],
  [BLUES_ONE]: [1, 8, 11],
  [BLUES_FOUR]: [1, 6, 8, 11],
};

/** The setting of a chord, or of a bar without one, where the scale alone counts. */
export const settingOf = (chord: Chord | undefined, scale: Scale, bluesTonic: number | undefined): Setting => {
  const tonic = pitchClassOf(scale.tonic);
  const minor = scale.degrees.some((degree) => degree === "b3") && !scale.degrees.some((degree) => degree === "3");
  const kind = chord === undefined ? (minor ? MINOR : MAJOR) : chordKindOf(chord, bluesTonic);
  const root = chord === undefined ? tonic : pitchClassOf(chord.root);
  const tones = chord === undefined ? new Set<number>() : chordClasses(chord);
  const belongs = new Uint8Array(12);
  const spelled = [...CHROMATICS];
  const place = (note: NoteName): void => {
    const sound = pitchClassOf(note);
    spelled[sound] = pitchAtOrAbove(note, C4);
    belongs[sound] = tones.has(sound) ? 2 : 1;
  };
  (chord === undefined ? scale.notes : chordScale(chord, scale)).forEach(place);
  const sour = new Uint8Array(12);
  for (const above of SOUR[kind] ?? []) if (!tones.has((root + above) % 12)) sour[(root + above) % 12] = 1;
  const banned = new Uint8Array(12);
  const dominant = kind === DOMINANT || kind === BLUES_ONE || kind === BLUES_FOUR;
  if (dominant && !tones.has((root + 11) % 12)) banned[(root + 11) % 12] = 1;
  const third = (root + 4) % 12;
  return { kind, root, belongs, sour, banned, third: dominant && tones.has(third) ? third : undefined, spelled };
};

/** The settings of a progression. */
export interface Settings {
  readonly at: (tick: number) => Setting;
  /** The chord in force: its index, and its end in ticks; -1 where there is none. */
  readonly slot: (tick: number) => number;
  readonly slots: readonly ChordSlot[];
}

/** The setting in force at each moment of a progression. */
export const settingsOf = (slots: readonly ChordSlot[], scale: Scale, bluesTonic: number | undefined): Settings => {
  const known = new Map<string, Setting>();
  const bySlot = slots.map(({ chord }) => {
    const name = chord?.symbol ?? "";
    const setting = known.get(name) ?? settingOf(chord, scale, bluesTonic);
    known.set(name, setting);
    return setting;
  });
  const none = settingOf(undefined, scale, bluesTonic);
  let index = 0;
  const find = (tick: number): number => {
    if ((slots[index]?.at ?? 0) > tick) index = 0;
    while (index + 1 < slots.length && (slots[index + 1]?.at ?? Infinity) <= tick) index += 1;
    const slot = slots[index];
    return slot !== undefined && slot.at <= tick && tick < slot.at + slot.duration ? index : -1;
  };
  return { at: (tick) => bySlot[find(tick)] ?? none, slot: find, slots };
};
