import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { Key, NoteName } from "../pitch/index.ts";
import { fifthsOf, pitchClassOf } from "../pitch/index.ts";
import type { ChordSpan, Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { Family } from "./family.ts";
import { dominates, familyOf, isMinor } from "./family.ts";

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

const familyAt = (span: ChordSpan | undefined): Family | undefined =>
  span?.chord === undefined ? undefined : familyOf(span.chord);

/** Whether two neighbours are a ii and its V, or a V and what it leads to: these are read together, so they are spelled together. */
const belong = (a: ChordSpan | undefined, b: ChordSpan | undefined): boolean => {
  const [from, to] = [familyAt(a), familyAt(b)];
  if (a?.chord === undefined || b?.chord === undefined || from === undefined || to === undefined) return false;
  if ((pitchClassOf(b.chord.root) - pitchClassOf(a.chord.root) + 12) % 12 !== 5) return false;
  return dominates(to) ? isMinor(from) : dominates(from);
};

/** A chord under another name of its root, its bass with it. */
const under = (chord: Chord, names: readonly NoteName[]): Chord => {
  const named = (note: NoteName): NoteName => names[pitchClassOf(note)] ?? note;
  const slash = chord.bass !== chord.root;
  const end = chord.canonical.length - (slash ? chord.bass.length + 1 : 0);
  const root = named(chord.root);
  return parseChord(root + chord.canonical.slice(chord.root.length, end) + (slash ? `/${named(chord.bass)}` : ""));
};

const hard = (root: NoteName): boolean => root.length > 2 || HARD.includes(root);

/** Whether a chord has the names of the key: its notes are of the key's scale, and no root that is hard to read. */
const namedBy = (key: Key, chord: Chord): boolean =>
  !hard(chord.root) &&
  chord.tones.every(({ note }) => {
    const place = fifthsOf(note) - key.fifths;
    return (place >= -1 && place <= 5) || (key.mode === "minor" && (place === 6 || place === 8));
  });

/**
 * The chords of a ii–V or a ii–V–i, all under sharps or all under flats where that is easier: E♭ø A♭7 D♭m7 as D♯ø G♯7 C♯m7. Where one of them is a chord
 * of the key, they keep the names of the key, but for roots that are hard to read; a V of the key that leads to the minor chord on its tonic is none.
 */
const readableTogether = (chords: readonly Chord[], key: Key): readonly Chord[] => {
  const atHome = chords.some((chord, i) => {
    const next = chords[i + 1];
    const intoMinor = next?.root === key.tonic && key.mode === "major" && isMinor(familyOf(next));
    return namedBy(key, chord) && !intoMinor;
  });
  if (atHome) return chords.map((chord) => (hard(chord.root) ? readableChord(chord) : chord));
  const own = chords.flatMap(notesOf);
  if (hardest(own) < 2 && !chords.some(({ root }) => hard(root))) return chords;
  let best = chords;
  for (const names of [SHARPS, NATURALS]) {
    const twins = chords.map((chord) => under(chord, names));
    const [a, b] = [twins.flatMap(notesOf), best.flatMap(notesOf)];
    if ((hardest(a) - hardest(b) || accidentals(a) - accidentals(b)) < 0) best = twins;
  }
  return best;
};

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

interface Placed {
  readonly span: ChordSpan;
  readonly index: number;
}

/** Chords that are spelled together; one that was written as a symbol, and a bar without one, stand alone and stay. */
const groupsOf = (spans: readonly ChordSpan[]): readonly (readonly Placed[])[] => {
  const groups: Placed[][] = [];
  for (const [index, span] of spans.entries()) {
    const last = groups.at(-1);
    const before = last?.at(-1)?.span;
    const made = span.numeral !== undefined && before?.numeral !== undefined;
    if (last !== undefined && made && (belong(before, span) || sameChord(before, span))) last.push({ span, index });
    else groups.push([{ span, index }]);
  }
  return groups;
};

const sameChord = (a: ChordSpan | undefined, b: ChordSpan): boolean =>
  a?.chord !== undefined && a.chord.canonical === b.chord?.canonical;

/**
 * A progression made from numerals, with chords that would be hard to read respelled to the fewest accidentals: F♭7 as E7. A ii, its V and
 * what they lead to go together. What was written as a
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
  const chords = groupsOf(given.chords).flatMap((group): readonly ChordSpan[] => {
    const exact = group.flatMap(({ span: { chord, numeral } }) => (numeral === undefined ? [] : (chord ?? [])));
    const alone = exact.every(({ canonical }) => canonical === exact[0]?.canonical);
    const read = alone ? exact.map(readableChord) : readableTogether(exact, given.key);
    return group.map(({ span, index }, i) => {
      const chord = read[i];
      if (span.chord === undefined || chord === undefined || chord.symbol === span.chord.symbol) return span;
      respelled.push({ index, from: span.chord.symbol, to: chord.symbol });
      return { ...span, chord };
    });
  });
  return {
    kind: "readable-progression",
    progression: respelled.length === 0 ? given : { ...given, chords },
    respelled,
  };
}
