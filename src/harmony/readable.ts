import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { NoteName } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import type { ChordSpan, Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";

/** A chord that was given another name for reading. */
export interface Respelling {
  /** Which chord, from 0, bars without a chord counted. */
  readonly index: number;
  readonly from: string;
  readonly to: string;
}

/** A progression for print, and what was respelled. */
export interface ReadableProgression {
  readonly kind: "readable-progression";
  readonly progression: Progression;
  readonly respelled: readonly Respelling[];
}

const accidentals = (notes: readonly NoteName[]): number => notes.reduce((sum, note) => sum + note.length - 1, 0);
const hardest = (notes: readonly NoteName[]): number => Math.max(...notes.map((note) => note.length - 1));
const notesOf = ({ tones, bass }: Chord): readonly NoteName[] => [...tones.map(({ note }) => note), bass];

const NATURALS: readonly NoteName[] = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"];
const SHARPS: readonly NoteName[] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
const twinsOf = (note: NoteName): readonly NoteName[] =>
  [...new Set([NATURALS, SHARPS].map((names) => names[pitchClassOf(note)] ?? note))].filter((name) => name !== note);

const HARD: readonly NoteName[] = ["Fb", "Cb", "E#", "B#"];

/** The name of a chord that is read most easily; the chord itself where no other is easier. */
const readableChord = (chord: Chord): Chord => {
  const own = notesOf(chord);
  if (hardest(own) < 2 && !HARD.includes(chord.root)) return chord;
  const end = chord.bass === chord.root ? chord.canonical.length : chord.canonical.length - chord.bass.length - 1;
  const suffix = chord.canonical.slice(chord.root.length, end);
  let best = chord;
  for (const root of twinsOf(chord.root)) {
    const basses = chord.bass === chord.root ? [root] : [chord.bass, ...twinsOf(chord.bass)];
    for (const bass of basses) {
      const twin = parseChord(root + suffix + (bass === root ? "" : `/${bass}`));
      const [a, b] = [notesOf(twin), notesOf(best)];
      const easier = hardest(a) - hardest(b) || accidentals(a) - accidentals(b);
      if (easier < 0) best = twin;
    }
  }
  return best;
};

/**
 * A progression made from numerals, with chords that would be hard to read respelled to the fewest accidentals: F♭7 as E7. What was written as a
 * chord symbol stays as it was written.
 *
 * Source: common practice, no source.
 *
 * @param progression - a progression, a row of the catalogue, or a text for `parseProgression`
 * @throws MusicError the codes of `parseProgression`
 *
 * @example
 * ```ts
 * import { parseProgression } from "hands-together";
 * import { readableProgression } from "hands-together/harmony";
 *
 * const { progression, respelled } = readableProgression(parseProgression("ii subV7 I", { key: "Eb" }));
 * progression.chords.map((span) => span.chord?.symbol); // => ["Fm7", "E7", "Ebmaj7"]
 * respelled; // => [{ index: 1, from: "Fb7", to: "E7" }]
 * ```
 */
export function readableProgression(progression: string | Progression | ProgressionRow): ReadableProgression {
  const { guesses, ...rest } = progressionOf(progression);
  const given: Progression = guesses === undefined ? rest : { ...rest, guesses };
  const respelled: Respelling[] = [];
  const chords = given.chords.map((span, index): ChordSpan => {
    if (span.chord === undefined || span.numeral === undefined) return span;
    const chord = readableChord(span.chord);
    if (chord === span.chord) return span;
    respelled.push({ index, from: span.chord.symbol, to: chord.symbol });
    return { ...span, chord };
  });
  return {
    kind: "readable-progression",
    progression: respelled.length === 0 ? given : { ...given, chords },
    respelled,
  };
}
