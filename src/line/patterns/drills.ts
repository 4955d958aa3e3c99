import type { Chord } from "../../chord/index.ts";
import type { NoteName, Pitch } from "../../pitch/index.ts";
import { pitchClassOf } from "../../pitch/index.ts";
import type { DraftNote, DraftPhrase, Tone } from "../draft.ts";
import { layOut } from "../draft.ts";
import { nearest, pitchesOf, slotAt } from "../harmony.ts";
import { beside } from "../spelling.ts";
import type { Pattern } from "./context.ts";

// A phrase in halves of a beat, a rest as a negative number: on the beat, against it, and across the bar line. Common practice, no source.
const RHYTHMS: readonly (readonly number[])[] = [
  [2, 2, 2, 2, 1, 1, 2, -2, 2],
  [3, 3, -2, 3, 3, -2],
  [-1, 1, 1, 1, 2, 2, -1, 1, 1, 1, 2, 2],
  [2, -1, 3, -1, 1, 2, -2, 2, -2],
];

/** One note in two-bar rhythms, each played twice. */
export const rhythmAlone: Pattern = ({ ladder, size, grid, values }) => {
  const pitch = ladder[Math.floor(size / 2)] ?? ladder[0];
  if (pitch === undefined) return [];
  const half = grid.pulse / 2;
  // In triplets the first half of a beat is its first two thirds.
  const swung = values === "triplets" || grid.compound;
  const moment = (halves: number): number =>
    Math.floor(halves / 2) * grid.pulse + (halves % 2 === 0 ? 0 : swung ? (2 * grid.pulse) / 3 : half);
  return RHYTHMS.flatMap((rhythm): readonly DraftPhrase[] => {
    const notes: DraftNote[] = [];
    let at = 0;
    const end = (2 * grid.bar) / half;
    for (const length of rhythm) {
      const until = Math.min(end, at + Math.abs(length));
      if (length > 0 && at < end) notes.push({ at: moment(at), duration: moment(until) - moment(at), pitch });
      at = until;
    }
    const phrase = { bars: 2, notes };
    return [phrase, phrase];
  });
};

/**
 * The eight-note scale of a chord, down from its root in semitones: every other note, from the first, is one of the chord's root, seventh, fifth and
 * third, or its sixth where it has no minor seventh; between them lie the notes that it is heard with and one that is added. Source: common practice.
 */
const eightNotes = (chord: Chord, notes: readonly NoteName[]): readonly number[] => {
  const root = pitchClassOf(chord.root);
  const heard = new Set(notes.map((note) => (pitchClassOf(note) - root + 12) % 12));
  const has = (degree: string): boolean => chord.tones.some((tone) => tone.degree === degree);
  const first = (wanted: readonly number[], otherwise: number): number =>
    wanted.find((sound) => heard.has(sound)) ?? otherwise;
  const third = has("b3") ? 3 : 4;
  const fifth = has("b5") ? 6 : has("#5") ? 8 : first([7, 8, 6], 7);
  const minorSeventh = has("b7");
  const seventh = minorSeventh ? 10 : 9;
  const sixth = minorSeventh ? first(fifth === 8 ? [9] : [9, 8], fifth === 8 ? 9 : fifth + 2) : 8;
  const up = [0, 11, seventh, sixth, fifth, first(fifth > 6 ? [5, 6] : [5], 5), third, first([2, 1], 2)];
  return up.map((sound) => (sound === 0 ? 0 : sound - 12));
};

/** Down the eight-note scale of each chord from its root, so that its tones fall on the beats; the last note of each second bar held. */
export const bebopScales: Pattern = ({ ladder, grid, chords, bars }) => {
  const [bottom] = ladder;
  const top = ladder.at(-1);
  if (bottom === undefined || top === undefined) return [];
  const half = grid.pulse / 2;
  let last: Pitch | undefined;
  return Array.from({ length: Math.ceil(bars / 2) }, (_, k): DraftPhrase => {
    const from = 2 * k * grid.bar;
    const to = Math.min(bars, 2 * k + 2) * grid.bar;
    const notes: DraftNote[] = [];
    for (let at = from; at < to; ) {
      const slot = slotAt(chords, at);
      const until = Math.min(to, slot === undefined ? to : slot.at + slot.duration);
      const { chord } = slot ?? {};
      if (chord !== undefined) {
        // A run falls a major seventh at most.
        const lowest = { ...bottom, semitones: Math.min(bottom.semitones + 11, top.semitones) };
        const near = last ?? { ...bottom, semitones: Math.round((bottom.semitones + 2 * top.semitones) / 3) };
        const roots = pitchesOf([chord.root], lowest, top);
        const root = roots.length === 0 ? top : nearest(roots, near);
        const names = slot?.notes ?? [];
        const scale = eightNotes(chord, names);
        const lengths: number[] = [];
        for (let tick = at; tick < until; ) {
          const length = until === to && to - tick <= grid.pulse ? to - tick : Math.min(half, until - tick);
          lengths.push(length);
          tick += length;
        }
        const tones = lengths.map((_length, i): Tone => {
          const down = scale[i % 8] ?? 0;
          const sound = (pitchClassOf(chord.root) + down + 240) % 12;
          const name = names.find((note) => pitchClassOf(note) === sound);
          const semitones = root.semitones + down;
          const base =
            name === undefined ? undefined : pitchesOf([name], { ...root, semitones }, { ...root, semitones })[0];
          last = base ?? beside(last ?? root, semitones - (last ?? root).semitones);
          return { pitch: last };
        });
        notes.push(...layOut(tones, lengths, at - from));
      }
      at = until;
    }
    return { bars: Math.min(2, bars - 2 * k), notes };
  });
};
