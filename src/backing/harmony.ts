import type { Chord } from "../chord/index.ts";
import { degreeOver } from "../chord/index.ts";
import { known, nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
import type { Degree, Key, Letter, NoteName } from "../pitch/index.ts";
import { interval, noteInterval, pitchClassOf, signatureNotes, transposeNote } from "../pitch/index.ts";

/** A note that a bass may play over a chord. */
export interface BassTone {
  readonly note: NoteName;
  readonly degree: Degree;
  /** Number of the degree within the octave; under a stroke the bass stands for the root, and the root for a 5th. */
  readonly number: 1 | 2 | 3 | 4 | 5 | 6 | 7;
  readonly kind: "chord" | "scale";
}

/** The notes of a chord's scale by pitch class; the rest are chromatic. */
export interface BassHarmony {
  readonly chord: Chord;
  /** The pitch class of the root or of the note after the stroke. */
  readonly bass: number;
  /** The pitch class of the fifth; of the bass where the chord has none. */
  readonly fifth: number;
  readonly tones: readonly (BassTone | undefined)[];
}

const LETTERS: readonly Letter[] = ["C", "D", "E", "F", "G", "A", "B"];

/**
 * The scale of a chord as a bass player fills it in: the chord's tones up to the seventh, and for each letter between them the tension that
 * the symbol names, else the note of the key, lowered or raised where that would leave no step.
 */
export const harmonyOf = (chord: Chord, key: Key): BassHarmony => {
  const byKey = lately.get(chord) ?? new Map<string, BassHarmony>();
  lately.set(chord, byKey);
  return kept(byKey, `${key.tonic} ${key.mode} ${key.fifths}`, () => harmonyIn(chord, key));
};

// Choruses, and seeds, ask for the same chords again.
const lately = /* @__PURE__ */ new WeakMap<Chord, Map<string, BassHarmony>>();

const harmonyIn = (chord: Chord, key: Key): BassHarmony => {
  const tones: (BassTone | undefined)[] = Array.from({ length: 12 }, () => undefined);
  const put = (note: NoteName, kind: BassTone["kind"]): void => {
    const at = pitchClassOf(note);
    tones[at] ??= { note, degree: degreeOver(chord.root, note), number: numberOf(chord, note), kind };
  };
  put(chord.bass, "chord");
  for (const { degree, note } of chord.tones) if (Number(degree.replace(/^[b#]+/, "")) <= 7) put(note, "chord");
  for (const note of [...chord.tones.map((tone) => tone.note), ...scaleOf(chord, key)]) put(note, "scale");
  const bass = pitchClassOf(chord.bass);
  const fifth = chord.tones.find(({ degree }) => /^[b#]*5$/.test(degree));
  return { chord, bass, fifth: fifth === undefined ? bass : pitchClassOf(fifth.note), tones };
};

const stepOf = (root: NoteName, note: NoteName): number => noteInterval(root, note).steps;
const semitonesOver = (root: NoteName, note: NoteName): number => (pitchClassOf(note) - pitchClassOf(root) + 12) % 12;

const NUMBERS: readonly BassTone["number"][] = [1, 2, 3, 4, 5, 6, 7];

const numberOf = (chord: Chord, note: NoteName): BassTone["number"] =>
  note === chord.bass ? 1 : note === chord.root ? 5 : nth(NUMBERS, (stepOf(chord.root, note) + 7) % 7);

// One note a letter, upwards: each must lie a semitone or a tone above the last and leave as much for the letters up to the next tone.
const scaleOf = (chord: Chord, key: Key): readonly NoteName[] => {
  const fixed = new Map<number, NoteName>();
  for (const note of [...chord.tones.map((tone) => tone.note), chord.bass]) {
    const step = stepOf(chord.root, note);
    if (!fixed.has(step)) fixed.set(step, note);
  }
  const signature = signatureNotes(key);
  const scale: NoteName[] = [];
  for (let step = 0; step < 7; step++) {
    const given = fixed.get(step);
    if (given !== undefined) {
      scale.push(given);
      continue;
    }
    const letter = nth(LETTERS, (LETTERS.findIndex((one) => chord.root.startsWith(one)) + step) % 7);
    const inKey: NoteName = signature.find((note) => note.startsWith(letter)) ?? letter;
    const below = scale.at(-1);
    const last = below === undefined ? 0 : semitonesOver(chord.root, below);
    const above = Array.from({ length: 7 - step - 1 }, (_, i) => step + 1 + i).find((s) => fixed.has(s));
    const room = (above === undefined ? 12 : semitonesOver(chord.root, known(fixed.get(above)))) - last;
    const letters = (above ?? 7) - step;
    const fits = (note: NoteName): boolean => {
      const move = semitonesOver(chord.root, note) - last;
      return (move === 1 || move === 2) && room - move >= letters && room - move <= 2 * letters;
    };
    const note = [inKey, ...(["-A1", "A1"] as const).map((by) => transposeNote(inKey, interval(by)))].find(fits);
    if (note !== undefined) scale.push(note);
  }
  return scale;
};
