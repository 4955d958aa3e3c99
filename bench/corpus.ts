/** The transcribed solos of the corpus as this library's benches see them. */
import { readFileSync } from "node:fs";
import { parseChord } from "../src/chord/index.ts";
import type { NoteEvent } from "../src/event/index.ts";
import { isMusicError } from "../src/ground/errors.ts";
import type { HeardLine } from "../src/line/heard.ts";
import { hear } from "../src/line/heard.ts";
import { chordKindOf } from "../src/line-model/shape.ts";
import { pitch, pitchClassOf, pitchFromMidi } from "../src/pitch/index.ts";
import type { ChordSpan } from "../src/progression/index.ts";
import { beatsOf, metre } from "../src/time/index.ts";

/** A note of a solo; `at` in quarter notes. */
export interface CorpusNote {
  readonly at: number;
  readonly beat: number;
  /** In 24ths of the beat. */
  readonly place: number;
  readonly midi: number;
  readonly chord: number;
  readonly phrase: number;
  readonly unit: number;
}

/** A chord as the model of lines sees it. */
export interface CorpusChord {
  readonly kind: number;
  readonly root: number;
}

/** A solo. */
export interface Solo {
  readonly id: number;
  readonly tempo: number;
  readonly tonality: string;
  /** Pitch class of the key note. */
  readonly tonic: number | undefined;
  readonly chords: readonly string[];
  readonly units: readonly string[];
  readonly notes: readonly CorpusNote[];
  readonly harmonyAt: (note: CorpusNote) => CorpusChord | undefined;
}

interface Stored {
  readonly id: number;
  readonly style: string;
  readonly feel: string;
  readonly metre: string;
  readonly tempo: number;
  readonly key: string;
  readonly tonality: string;
  readonly chords: readonly string[];
  readonly units: readonly string[];
  readonly notes: readonly (readonly [number, number, number, number, number, number, number])[];
}

const STYLES = ["traditional", "swing", "bebop", "cool", "hardbop"];

/** The pitch class of a root's name. */
export const pitchClassOfRoot = (name: string): number | undefined => {
  const match = /^([A-G])([#b]*)/.exec(name);
  if (match === null) return undefined;
  const natural = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }[match[1] ?? ""] ?? 0;
  const signs = match[2] ?? "";
  return (natural + signs.split("#").length - signs.split("b").length + 12) % 12;
};

/** A chord symbol read, or nothing where it is none. */
export const chordOf = (symbol: string) => {
  try {
    return parseChord(symbol);
  } catch (error) {
    if (isMusicError(error)) return undefined;
    throw error;
  }
};

/** The solos that the classifier looks at: swung, in 4/4, of the styles up to hard bop. */
export const readSolos = (file: string): readonly Solo[] => {
  const stored: readonly Stored[] = JSON.parse(readFileSync(file, "utf8"));
  return stored
    .filter((s) => STYLES.includes(s.style) && s.metre === "4/4" && ["swing", "twobeat"].includes(s.feel))
    .map((s) => {
      const tonic = pitchClassOfRoot(s.key);
      const known = s.chords.map((symbol): CorpusChord | undefined => {
        const chord = chordOf(symbol);
        if (chord === undefined) return undefined;
        const root = pitchClassOf(chord.root);
        return { root, kind: chordKindOf(chord, s.tonality === "blues" ? tonic : undefined) };
      });
      return {
        id: s.id,
        tempo: s.tempo,
        tonality: s.tonality,
        tonic,
        chords: s.chords,
        units: s.units,
        notes: s.notes.map(([bar, beat, place, midi, chord, phrase, unit]) => ({
          at: 4 * (bar - 1) + beat - 1 + place / 24,
          beat,
          place,
          midi,
          chord,
          phrase,
          unit,
        })),
        harmonyAt: ({ chord }) => known[chord],
      };
    });
};

const asBeats = (quarters: number) => beatsOf(Math.round(quarters * 24), 24);
/** A phrase's last note is taken to last two beats at most: the corpus does not tell how long notes are held. */
const LONGEST_LAST = 2;

/** The notes of a solo as events, its chords and its phrases. */
export const soloEvents = ({ notes, chords }: Solo) => {
  const moments = notes.filter((note, i) => i === 0 || note.at > (notes[i - 1]?.at ?? 0));
  const events = moments.map((note, i): NoteEvent => {
    const next = moments[i + 1];
    const room = next === undefined ? LONGEST_LAST : next.at - note.at;
    const length = next?.phrase === note.phrase ? room : Math.min(room, LONGEST_LAST);
    return { at: asBeats(note.at), duration: asBeats(length), pitches: [pitchFromMidi(note.midi, "flats")] };
  });
  const spans: ChordSpan[] = [];
  moments.forEach((note, i) => {
    if (i > 0 && moments[i - 1]?.chord === note.chord) return;
    const until = moments.findIndex((other, k) => k > i && other.chord !== note.chord);
    const end = moments[until]?.at ?? (moments.at(-1)?.at ?? 0) + 8;
    spans.push({ at: asBeats(note.at), duration: asBeats(end - note.at), chord: chordOf(chords[note.chord] ?? "") });
  });
  const phrases = moments
    .filter((note, i) => i === 0 || moments[i - 1]?.phrase !== note.phrase)
    .map(({ at }) => ({ at: asBeats(at), duration: asBeats(1) }));
  return { events, chords: spans, phrases };
};

/** A solo as the rules of phrasing hear it. */
export const heardSolo = (solo: Solo): HeardLine => {
  const { events, chords, phrases } = soloEvents(solo);
  return hear(events, {
    metre: metre("4/4"),
    chords,
    scale: undefined,
    bluesy: false,
    voicings: [],
    phrases,
    range: { lowest: pitch("A0"), highest: pitch("C8") },
    tempo: solo.tempo,
  });
};
