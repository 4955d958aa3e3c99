import type { Chord } from "../chord/index.ts";
import { nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
import type { HarmonicFunction } from "../harmony/index.ts";
import type { ChordInContext } from "../harmony/inner.ts";
import { contextOf, scaleNotes } from "../harmony/inner.ts";
import type { Key, NoteName, Pitch } from "../pitch/index.ts";
import { comparePitches, fifthsOf, pitchAtOrAbove, pitchClassOf } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { beatsToTicks } from "./grid.ts";

/** A chord in force for a while, in ticks; no chord where the chart says so. */
export interface ChordSlot {
  readonly at: number;
  readonly duration: number;
  readonly chord: Chord | undefined;
  /** The notes that a line uses over it: the chord's own, then those of the scale that it is heard with; none where there is no chord. */
  readonly notes: readonly NoteName[];
  /** What it does where it stands. */
  readonly function?: HarmonicFunction | undefined;
  /** Semitones of its root above the tonic of the key of the moment. */
  readonly degree?: number | undefined;
  /** Whether its seventh falls to the third of the next chord: of a ii before its V, and of that V before its I. */
  readonly falls: boolean;
}

/** The key that a scale is in: minor where it has the minor third alone. */
export const keyOfScale = ({ tonic, degrees }: Scale): Key => {
  const minor = degrees.includes("b3") && !degrees.includes("3");
  return { kind: "key", tonic, mode: minor ? "minor" : "major", fifths: fifthsOf(tonic) - (minor ? 3 : 0) };
};

/** What each chord of a chart does in its key, `undefined` where there is no chord. */
export interface ChartContext {
  readonly chords: readonly (ChordInContext | undefined)[];
  /** Which chords have a seventh that falls to the third of the next. */
  readonly falls: ReadonlySet<number>;
}

const heard = /* @__PURE__ */ new WeakMap<readonly ChordSpan[], Map<string, ChartContext>>();

/** The context of each chord, worked out once for a chart and a key. */
export const contextIn = (chords: readonly ChordSpan[], key: Key): ChartContext =>
  kept(
    kept(heard, chords, () => new Map<string, ChartContext>()),
    `${key.tonic} ${key.mode}`,
    () => {
      const found = contextOf({ key, chords });
      const places = chords.flatMap(({ chord }, i) => (chord === undefined ? [] : [i]));
      const context: (ChordInContext | undefined)[] = chords.map(() => undefined);
      places.forEach((place, i) => {
        context[place] = found.chords[i];
      });
      const before = found.twoFives.flatMap(({ five, one }) => (one === undefined ? [five] : [five, one]));
      return { chords: context, falls: new Set(before.map((next) => (places[next] ?? 0) - 1)) };
    },
  );

/** The chords of a progression in ticks, with what the analysis of its harmony says of them in the key of the line. */
export const chordSlots = (spans: readonly ChordSpan[], scale: Scale, key?: Key): readonly ChordSlot[] => {
  const home = key?.tonic === scale.tonic ? key : keyOfScale(scale);
  const context = contextIn(spans, home);
  const own = ownScale(spans, context, scale);
  return spans.map(({ at, duration, chord }, i) => {
    const here = context.chords[i];
    return {
      at: beatsToTicks(at),
      duration: beatsToTicks(duration),
      chord,
      notes:
        chord === undefined || here === undefined
          ? []
          : notesOver(chord, own[i] === true ? scale.notes : scaleNotes(chord.root, here.scale)),
      function: here?.function,
      degree: here?.degree,
      falls: context.falls.has(i),
    };
  });
};

// A scale of so many notes has one for each letter, or more.
const WHOLE = 7;

/**
 * Over which chords the line's own scale stands: those that it has every tone of, in its own key, or in a stretch of another that has no note outside
 * of it, since such a stretch may as well be in the line's.
 */
const ownScale = (
  spans: readonly ChordSpan[],
  { chords }: ChartContext,
  { tonic, notes }: Scale,
): readonly boolean[] => {
  const inside = spans.map(({ chord }) => chord?.tones.every(({ note }) => notes.includes(note)) ?? true);
  const leaves = new Set<number>();
  let region = 0;
  const regions = chords.map((here, i) => {
    const before = chords[i - 1];
    if (here?.key.tonic !== before?.key.tonic || here?.key.mode !== before?.key.mode) region += 1;
    if (inside[i] === false && here?.key.tonic !== tonic) leaves.add(region);
    return region;
  });
  return inside.map((own, i) => own && notes.length >= WHOLE && !leaves.has(regions[i] ?? 0));
};

/** The chord in force at a moment. */
export const slotAt = (slots: readonly ChordSlot[], tick: number): ChordSlot | undefined =>
  slots.find((slot) => slot.at <= tick && tick < slot.at + slot.duration);

/** The pitch class of a pitch, 0 to 11 from C. */
export const pitchClass = (p: Pitch): number => ((p.semitones % 12) + 12) % 12;

/** The pitch classes of a chord's tones. */
export const chordClasses = (chord: Chord): ReadonlySet<number> =>
  new Set(chord.tones.map((tone) => pitchClassOf(tone.note)));

// The flat ninth and the flat thirteenth of a dominant.
const ALTERED = [1, 8];

/**
 * Whether a note agrees with a chord: a chord tone, or a tension, which is a note of no chord tone's upper semitone; over a dominant the flat ninth and
 * the flat thirteenth are tensions too. Common practice, no source: the fourth over a major third is to be avoided, the ninth is not.
 */
export const agrees = (note: number, chord: ReadonlySet<number>, root: number): boolean =>
  chord.has(note) ||
  !chord.has((note + 11) % 12) ||
  (chord.has((root + 4) % 12) && chord.has((root + 10) % 12) && ALTERED.includes((note - root + 12) % 12));

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
 * The notes that a line uses over a chord: its tones, and the notes of its scale whose letter no chord tone has. A scale that holds two forms of a
 * letter, as half-whole holds ♭9 and ♯9, keeps both.
 */
export const notesOver = (chord: Chord, notes: readonly NoteName[]): readonly NoteName[] => {
  const tones = chord.tones.map((tone) => tone.note);
  const letters = new Set(tones.map((tone) => tone.charAt(0)));
  const sounding = new Set(tones.map(pitchClassOf));
  const both = (note: NoteName): boolean =>
    notes.some((other) => other !== note && other.charAt(0) === note.charAt(0) && sounding.has(pitchClassOf(other)));
  return [
    ...tones,
    ...notes.filter((note) => !sounding.has(pitchClassOf(note)) && (!letters.has(note.charAt(0)) || both(note))),
  ];
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
