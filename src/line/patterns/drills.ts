import type { Pitch } from "../../pitch/index.ts";
import { pitchClassOf } from "../../pitch/index.ts";
import type { DraftNote, DraftPhrase, Tone } from "../draft.ts";
import { layOut } from "../draft.ts";
import { pitchesOf, slotAt } from "../harmony.ts";
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

// Down from the root, in semitones, the added note between two beats. Source: common practice; the added notes are those of the eight-note scales.
const ADDED = {
  dominant: [0, -1, -2, -3, -5, -7, -8, -10],
  major: [0, -1, -3, -4, -5, -7, -8, -10],
  minor: [0, -2, -3, -5, -7, -8, -9, -10],
} as const;

/** Down the eight-note scale of each chord from its root, so that its tones fall on the beats; the last note of each second bar held. */
export const bebopScales: Pattern = ({ ladder, grid, chords, bars }) => {
  const [bottom] = ladder;
  const top = ladder.at(-1);
  if (bottom === undefined || top === undefined) return [];
  const half = grid.pulse / 2;
  return Array.from({ length: Math.ceil(bars / 2) }, (_, k): DraftPhrase => {
    const from = 2 * k * grid.bar;
    const to = Math.min(bars, 2 * k + 2) * grid.bar;
    const notes: DraftNote[] = [];
    let last: Pitch | undefined;
    for (let at = from; at < to; ) {
      const slot = slotAt(chords, at);
      const until = Math.min(to, slot === undefined ? to : slot.at + slot.duration);
      const { chord } = slot ?? {};
      if (chord !== undefined) {
        const has = (degree: string): boolean => chord.tones.some((tone) => tone.degree === degree);
        const kind = has("b3") ? "minor" : has("b7") ? "dominant" : "major";
        const above = { ...bottom, semitones: Math.max(bottom.semitones, top.semitones - 11) };
        const root = pitchesOf([chord.root], above, top)[0] ?? top;
        const names = slot?.notes ?? [];
        const lengths: number[] = [];
        for (let tick = at; tick < until; ) {
          const length = until === to && to - tick <= grid.pulse ? to - tick : Math.min(half, until - tick);
          lengths.push(length);
          tick += length;
        }
        const tones = lengths.map((_length, i): Tone => {
          const down = ADDED[kind][i % 8] ?? 0;
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
