import type { Chord } from "../../chord/index.ts";
import type { NoteEvent } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";
import type { Key, Pitch } from "../../pitch/index.ts";
import { midiNumber, parsePitch, pitchClassOf, pitchName } from "../../pitch/index.ts";
import type { Score } from "../../score/index.ts";
import type { Beats } from "../../time/index.ts";
import { addBeats, barPosition, compareBeats, subtractBeats } from "../../time/index.ts";

/** What a note is over its chord. */
export type NoteRole =
  /** A tone of the chord. */
  | "chord"
  /** A ninth, eleventh or thirteenth that its key or its kind gives it. */
  | "colour"
  /** On the way, by step, to a tone of a chord. */
  | "passing"
  | "outside";

/** One note over a chord. */
export interface NoteOverChord {
  /** Its name, with octave. */
  readonly pitch: string;
  /** Its degree over the root: `"b7"`, `"9"`, `"#11"`. */
  readonly degree: string;
  readonly role: NoteRole;
}

/** What was played while a chord lasted. */
export interface OverChord {
  readonly bar: number;
  /** Beat of the bar, from 1. */
  readonly beat: Beats;
  readonly symbol: string;
  readonly notes: readonly NoteOverChord[];
  /** Figures by name, in order: such as `"arpeggio up"`, `"scale down"`, `"enclosure of the 3"`. */
  readonly figures: readonly string[];
}

// Degrees by semitones over the root, where the chord itself names none.
const DEGREES = ["1", "b9", "9", "#9", "3", "11", "#11", "5", "b13", "13", "b7", "7"] as const;
const COLOURS: ReadonlySet<string> = new Set(["9", "11", "#11", "13"]);
const ALTERED: ReadonlySet<string> = new Set(["b9", "#9", "#11", "b13"]);

const topOf = ({ pitches }: NoteEvent): Pitch => nth(pitches, -1);

const rootOf = (chord: Chord): number => pitchClassOf(chord.root);

const classesOf = (chord: Chord): ReadonlyMap<number, string> =>
  new Map(chord.tones.map(({ note, degree }) => [midiNumber(parsePitch(`${note}4`)) % 12, degree]));

const above = (chord: Chord, midi: number): number => (((midi - rootOf(chord)) % 12) + 12) % 12;

/** The degree that a key is over a chord. */
export const degreeOver = (chord: Chord, midi: number): string =>
  classesOf(chord).get(midi % 12) ?? nth(DEGREES, above(chord, midi));

/** Whether it is one of the seven notes of a signature; in minor the raised seventh as well. */
const inKey = ({ fifths, mode, tonic }: Key, midi: number): boolean => {
  const place = (((midi * 7 - fifths) % 12) + 13) % 12;
  const leading = mode === "minor" && (midi + 1) % 12 === midiNumber(parsePitch(`${tonic}4`)) % 12;
  return place < 7 || leading;
};

const isDominant = (tones: ReadonlyMap<number, string>): boolean => {
  const degrees = new Set(tones.values());
  return degrees.has("3") && degrees.has("b7");
};

const roleOf = (
  chord: Chord,
  midi: number,
  next: { readonly midi: number; readonly chord: Chord | undefined } | undefined,
  key: Key,
): NoteRole => {
  const tones = classesOf(chord);
  if (tones.has(midi % 12)) return "chord";
  const degree = nth(DEGREES, above(chord, midi));
  if (COLOURS.has(degree) && inKey(key, midi)) return "colour";
  // An altered note is heard as one where it goes on by step; else it is any note.
  if (ALTERED.has(degree) && isDominant(tones) && next !== undefined && Math.abs(next.midi - midi) <= 2)
    return "colour";
  const lands =
    next?.chord !== undefined && Math.abs(next.midi - midi) <= 2 && classesOf(next.chord).has(next.midi % 12);
  return lands ? "passing" : "outside";
};

interface Placed {
  readonly event: NoteEvent;
  readonly midi: number;
  readonly chord: Chord | undefined;
  /** Which of the chords, lap by lap, it lies over. */
  readonly span: string;
  readonly at: Beats;
  readonly symbol: string;
}

// Notes that make a run, and the step beyond which it leaps.
const RUN = 4;
const STEP = 2;
const FEWEST_BROKEN = 3;

const direction = (from: number, to: number): number => Math.sign(to - from);

/** Figures of one chord's notes, the first of each kind; with the note that follows, which they may lead to. */
const figuresOf = (own: readonly Placed[], after: Placed | undefined, key: Key): readonly string[] => {
  const all = after === undefined ? own : [...own, after];
  const isTone = ({ chord, midi }: Placed): boolean => chord !== undefined && classesOf(chord).has(midi % 12);
  const found: { readonly at: number; readonly name: string }[] = [];
  const put = (at: number, name: string): void => {
    if (!found.some((one) => one.name === name)) found.push({ at, name });
  };
  for (let from = 0; from < own.length; from++) {
    const first = nth(own, from);
    const [second, third] = [all[from + 1], all[from + 2]];
    // Above and below the tone that follows, within a step of it.
    if (second !== undefined && third !== undefined && isTone(third) && third.chord !== undefined) {
      const [a, b] = [first.midi - third.midi, second.midi - third.midi];
      if (a * b < 0 && Math.max(Math.abs(a), Math.abs(b)) <= STEP)
        put(from, `enclosure of the ${degreeOver(third.chord, third.midi)}`);
    }
    if (second !== undefined && Math.abs(second.midi - first.midi) === 1 && !inKey(key, first.midi) && isTone(second))
      if (second.chord !== undefined) put(from, `half step into the ${degreeOver(second.chord, second.midi)}`);
    let to = from + 1;
    const way = second === undefined ? 0 : direction(first.midi, second.midi);
    const steps = (isStep: (by: number, note: Placed) => boolean): number => {
      to = from;
      while (to + 1 < own.length) {
        const [here, next] = [nth(own, to), nth(own, to + 1)];
        if (direction(here.midi, next.midi) !== way || way === 0 || !isStep(Math.abs(next.midi - here.midi), next))
          break;
        to++;
      }
      return to - from + 1;
    };
    const name = way > 0 ? "up" : "down";
    const run = steps((by) => by <= STEP);
    if (run >= RUN) put(from, `scale ${name}`);
    const broken = isTone(first) ? steps((by, note) => by > STEP && isTone(note)) : 0;
    if (broken >= FEWEST_BROKEN) put(from, `arpeggio ${name}`);
  }
  return found.sort((a, b) => a.at - b.at).map(({ name }) => name);
};

/** What a line plays over each chord of a score, whose chart comes round for as long as the line lasts. Chords under which nothing begins are left out. */
export const overChords = (line: readonly NoteEvent[], score: Score): readonly OverChord[] => {
  const { chords, metre, key } = score;
  const [last] = chords.slice(-1);
  if (last === undefined) return [];
  const length = addBeats(last.at, last.duration);
  const placed = line.flatMap((event): readonly Placed[] => {
    let [within, laps] = [event.at, 0];
    while (compareBeats(within, length) >= 0) {
      within = subtractBeats(within, length);
      laps++;
    }
    const index = chords.findLastIndex(({ at }) => compareBeats(at, within) <= 0);
    const span = chords[index];
    if (span === undefined || span.chord === undefined) return [];
    return [
      {
        event,
        midi: midiNumber(topOf(event)),
        chord: span.chord,
        span: `${laps} ${index}`,
        at: addBeats(span.at, subtractBeats(event.at, within)),
        symbol: span.chord.symbol,
      },
    ];
  });
  const groups = new Map<string, number[]>();
  placed.forEach(({ span }, i) => groups.set(span, [...(groups.get(span) ?? []), i]));
  return [...groups.values()].map((indices) => {
    const own = indices.map((i) => nth(placed, i));
    const first = nth(own, 0);
    const { bar, beat } = barPosition(first.at, metre);
    const after = placed[nth(indices, -1) + 1];
    return {
      bar,
      beat,
      symbol: first.symbol,
      notes: own.flatMap(({ event, midi, chord }, k): readonly NoteOverChord[] => {
        if (chord === undefined) return [];
        const next = placed[nth(indices, k) + 1];
        return [
          {
            pitch: pitchName(topOf(event)),
            degree: degreeOver(chord, midi),
            role: roleOf(chord, midi, next, key),
          },
        ];
      }),
      figures: figuresOf(own, after, key),
    };
  });
};

/** How much of a line is outside of its chords and leads nowhere: 0 to 1. */
export const outsideShare = (over: readonly OverChord[]): number => {
  const notes = over.flatMap((one) => one.notes);
  return notes.length === 0 ? 0 : notes.filter(({ role }) => role === "outside").length / notes.length;
};
