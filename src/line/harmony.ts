import type { Chord } from "../chord/index.ts";
import { nth } from "../ground/list.ts";
import type { NoteName, Pitch } from "../pitch/index.ts";
import { comparePitches, pitchAtOrAbove, pitchClassOf } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { beatsToTicks } from "./grid.ts";

/** A chord in force for a while, in ticks; no chord where the chart says so. */
export interface ChordSlot {
  readonly at: number;
  readonly duration: number;
  readonly chord: Chord | undefined;
}

/** The chords of a progression in ticks. */
export const chordSlots = (spans: readonly ChordSpan[]): readonly ChordSlot[] =>
  spans.map((span) => ({ at: beatsToTicks(span.at), duration: beatsToTicks(span.duration), chord: span.chord }));

/** The chord in force at a moment. */
export const slotAt = (slots: readonly ChordSlot[], tick: number): ChordSlot | undefined =>
  slots.find((slot) => slot.at <= tick && tick < slot.at + slot.duration);

/** The pitch class of a pitch, 0 to 11 from C. */
export const pitchClass = (p: Pitch): number => ((p.semitones % 12) + 12) % 12;

/** The pitch classes of a chord's tones. */
export const chordClasses = (chord: Chord): ReadonlySet<number> =>
  new Set(chord.tones.map((tone) => pitchClassOf(tone.note)));

/**
 * Whether a note agrees with a chord: a chord tone, or a tension, which is a note of no chord tone's upper semitone.
 * Common practice, no source: the fourth over a major third is to be avoided, the ninth is not.
 */
export const agrees = (note: number, chord: ReadonlySet<number>): boolean =>
  chord.has(note) || !chord.has((note + 11) % 12);

/** Every pitch of some note names between two pitches, both included, from low to high. */
export const pitchesOf = (notes: readonly NoteName[], low: Pitch, high: Pitch): readonly Pitch[] =>
  notes
    .flatMap((note) => {
      const found: Pitch[] = [];
      for (
        let p = pitchAtOrAbove(note, low);
        p.semitones <= high.semitones;
        p = { ...p, steps: p.steps + 7, semitones: p.semitones + 12 }
      )
        found.push(p);
      return found;
    })
    .sort(comparePitches);

/**
 * The notes that a line uses over a chord: the chord's tones, and the notes of the scale whose letter no chord tone has
 * (over D7 in C major, F♯ replaces F). A scale that holds both forms of a letter, as the major blues holds ♭3 and 3, keeps both.
 */
export const chordScale = (chord: Chord, scale: Scale): readonly NoteName[] => {
  const tones = chord.tones.map((tone) => tone.note);
  const letters = new Set(tones.map((tone) => tone.charAt(0)));
  const sounding = new Set(tones.map(pitchClassOf));
  const both = (note: NoteName): boolean =>
    scale.notes.some((other) => other.charAt(0) === note.charAt(0) && tones.includes(other));
  const kept = scale.notes.filter(
    (note) => !sounding.has(pitchClassOf(note)) && (!letters.has(note.charAt(0)) || both(note)),
  );
  return [...tones, ...kept];
};

/** The tones that tell a chord from its neighbours: its third (or fourth) and its seventh (or sixth, or fifth). */
export const guideTones = (chord: Chord): readonly NoteName[] => {
  const byDegree = (...numbers: readonly string[]): NoteName | undefined =>
    numbers
      .map((number) => chord.tones.find((tone) => tone.degree.replace(/[b#]/g, "") === number)?.note)
      .find((note) => note !== undefined);
  const third = byDegree("3", "4", "2");
  const seventh = byDegree("7", "6", "5");
  return [third, seventh].filter((note) => note !== undefined);
};

/** The pitch of a list nearest to another; of two equally near, the one that is listed first. */
export const nearest = (candidates: readonly Pitch[], to: Pitch): Pitch => {
  let best = nth(candidates, 0);
  for (const candidate of candidates) {
    if (Math.abs(candidate.semitones - to.semitones) < Math.abs(best.semitones - to.semitones)) best = candidate;
  }
  return best;
};
