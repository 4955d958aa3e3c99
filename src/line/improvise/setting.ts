import { kept } from "../../ground/memo.ts";
import { BLUES_FOUR, BLUES_ONE, chordKindOf, DIMINISHED, DOMINANT, MAJOR, MINOR } from "../../line-model/inner.ts";
import type { NoteName, Pitch } from "../../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchClassOf, pitchFromMidi } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { ChordSlot } from "../harmony.ts";
import { chordClasses } from "../harmony.ts";

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
  /** The third of the chord, major or minor, and its seventh, as pitch classes. */
  readonly tells: number | undefined;
  readonly seventh: number | undefined;
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
  [MINOR]: [1, 4, 6, 8, 11],
  [DIMINISHED]: [1, 4, 7],
  [BLUES_ONE]: [1, 8, 11],
  [BLUES_FOUR]: [1, 6, 8, 11],
};

/** The setting of a chord, or of a bar without one, where the scale alone counts. Of a blues the I7 and the IV7 at rest are kinds of their own. */
export const settingOf = (slot: Pick<ChordSlot, "chord" | "notes" | "function"> | undefined, scale: Scale): Setting => {
  const chord = slot?.chord;
  const tonic = pitchClassOf(scale.tonic);
  const minor = scale.degrees.some((degree) => degree === "b3") && !scale.degrees.some((degree) => degree === "3");
  const kind =
    chord === undefined ? (minor ? MINOR : MAJOR) : chordKindOf(chord, slot?.function === "blues" ? tonic : undefined);
  const root = chord === undefined ? tonic : pitchClassOf(chord.root);
  const tones = chord === undefined ? new Set<number>() : chordClasses(chord);
  const belongs = new Uint8Array(12);
  const spelled = [...CHROMATICS];
  const place = (note: NoteName): void => {
    const sound = pitchClassOf(note);
    spelled[sound] = pitchAtOrAbove(note, C4);
    belongs[sound] = tones.has(sound) ? 2 : 1;
  };
  (slot === undefined ? scale.notes : slot.notes).forEach(place);
  const sour = new Uint8Array(12);
  for (const above of SOUR[kind] ?? []) if (!tones.has((root + above) % 12)) sour[(root + above) % 12] = 1;
  const banned = new Uint8Array(12);
  const dominant = kind === DOMINANT || kind === BLUES_ONE || kind === BLUES_FOUR;
  if (dominant && !tones.has((root + 11) % 12)) banned[(root + 11) % 12] = 1;
  const third = (root + 4) % 12;
  const told = (above: readonly number[]): number | undefined =>
    above.map((semitones) => (root + semitones) % 12).find((sound) => tones.has(sound));
  return {
    kind,
    root,
    belongs,
    sour,
    banned,
    third: dominant && tones.has(third) ? third : undefined,
    tells: told([4, 3]),
    seventh: told([10]),
    spelled,
  };
};

/** The settings of a progression. */
export interface Settings {
  readonly at: (tick: number) => Setting;
  /** The chord in force: its index, and its end in ticks; -1 where there is none. */
  readonly slot: (tick: number) => number;
  readonly slots: readonly ChordSlot[];
}

/** The setting in force at each moment of a progression. */
export const settingsOf = (slots: readonly ChordSlot[], scale: Scale): Settings => {
  const known = new Map<string, Setting>();
  const none = settingOf(undefined, scale);
  const bySlot = slots.map((slot) =>
    slot.chord === undefined
      ? none
      : kept(known, `${slot.chord.symbol} ${slot.function ?? ""} ${slot.notes.join(" ")}`, () =>
          settingOf(slot, scale),
        ),
  );
  let index = 0;
  const find = (tick: number): number => {
    if ((slots[index]?.at ?? 0) > tick) index = 0;
    while (index + 1 < slots.length && (slots[index + 1]?.at ?? Infinity) <= tick) index += 1;
    const slot = slots[index];
    return slot !== undefined && slot.at <= tick && tick < slot.at + slot.duration ? index : -1;
  };
  return { at: (tick) => bySlot[find(tick)] ?? none, slot: find, slots };
};
