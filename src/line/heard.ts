import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import type { Metre } from "../time/index.ts";
import { barLength, beatsToNumber, pulseLength } from "../time/index.ts";
import { agrees, chordClasses, chordSlots, pitchClass } from "./harmony.ts";

/** A chord as the rules see it. */
export interface HeardChord {
  readonly symbol: string;
  readonly classes: ReadonlySet<number>;
  /** Names of the chord's tones, for suggestions. */
  readonly names: readonly string[];
  readonly root: number;
  /** Pitch classes of its tones and of the scale that it is heard with where it stands; `undefined` where no scale tells the key. */
  readonly scale: ReadonlySet<number> | undefined;
  /** Whether it has a major third and no raised ninth, so that the third below it is blue. */
  readonly major: boolean;
}

/** A chord and when it enters, in quarter notes. */
export interface ComingChord extends HeardChord {
  readonly at: number;
}

/** A note of a line with what surrounds it; time in quarter notes. */
export interface HeardNote {
  readonly event: NoteEvent;
  readonly at: number;
  readonly end: number;
  /** The melody's pitch: the highest of the event. */
  readonly pitch: Pitch;
  /** Pitch class, 0 to 11 from C. */
  readonly sound: number;
  /** Whether it starts on beat 1 or on the middle of the bar. */
  readonly strong: boolean;
  readonly chord: HeardChord | undefined;
  /** The chord that enters next. */
  readonly coming: ComingChord | undefined;
  /** The note before and after in the same phrase. */
  readonly previous: HeardNote | undefined;
  readonly next: HeardNote | undefined;
}

/** Notes that are heard as one thought. */
export interface HeardPhrase {
  /** At least one. */
  readonly notes: readonly HeardNote[];
  readonly first: HeardNote;
  readonly last: HeardNote;
}

/** A line as the rules see it. */
export interface HeardLine {
  readonly notes: readonly HeardNote[];
  readonly phrases: readonly HeardPhrase[];
  /** A beat in quarter notes: 3/2 in compound metres. */
  readonly pulse: number;
  readonly scale: Scale | undefined;
  readonly scaleClasses: ReadonlySet<number> | undefined;
  /** Pitch classes of the blue notes; none outside the idiom of the blues. */
  readonly blue: ReadonlySet<number>;
  readonly voicings: readonly NoteEvent[];
  readonly range: { readonly lowest: Pitch; readonly highest: Pitch };
  /** Quarter notes a minute. */
  readonly tempo: number;
}

// Times that differ by less are one moment; the smallest gap of any notated grid is far wider.
const SAME_MOMENT = 1e-6;

/** Whether two moments, or two lengths, are the same. */
export const same = (a: number, b: number): boolean => Math.abs(a - b) < SAME_MOMENT;

/** Whether a moment is not before another, or a length not below another. */
export const atLeast = (value: number, least: number): boolean => value > least - SAME_MOMENT;

const endOf = (span: TimeSpan): number => beatsToNumber(span.at) + beatsToNumber(span.duration);

interface ChordInForce extends ComingChord {
  readonly end: number;
}

const heardChords = (spans: readonly ChordSpan[], scale: Scale | undefined): readonly ChordInForce[] => {
  const slots = scale === undefined ? undefined : chordSlots(spans, scale);
  return spans.flatMap((span, i): readonly ChordInForce[] => {
    if (span.chord === undefined) return [];
    const classes = chordClasses(span.chord);
    const root = pitchClassOf(span.chord.root);
    return [
      {
        symbol: span.chord.symbol,
        at: beatsToNumber(span.at),
        end: endOf(span),
        classes,
        names: span.chord.tones.map((tone) => tone.note),
        scale: slots && new Set(slots[i]?.notes.map(pitchClassOf)),
        root,
        major: classes.has((root + 4) % 12) && !classes.has((root + 3) % 12),
      },
    ];
  });
};

/** Looks up the chord at a moment and the one after it; the chart repeats for as long as the line lasts. Where it holds no chord, nothing is found. */
const chordFinder = ({ chords: spans, scale }: HearingContext) => {
  const chords = heardChords(spans, scale);
  const turn = Math.max(...spans.map(endOf));
  return (at: number): { chord: HeardChord | undefined; coming: ComingChord | undefined } => {
    const lap = Math.floor((at + SAME_MOMENT) / turn);
    const within = at - lap * turn;
    const chord = chords.find((c) => atLeast(within, c.at) && !atLeast(within, c.end));
    const later = chords.find((c) => !atLeast(within, c.at));
    const [first] = chords;
    const coming = later ?? (first === undefined ? undefined : { ...first, at: first.at + turn });
    return { chord, coming: coming === undefined ? undefined : { ...coming, at: coming.at + lap * turn } };
  };
};

/** What {@link hear} needs to know besides the notes. */
export interface HearingContext {
  readonly metre: Metre;
  readonly chords: readonly ChordSpan[];
  readonly scale: Scale | undefined;
  readonly voicings: readonly NoteEvent[];
  readonly phrases: readonly TimeSpan[] | undefined;
  readonly bluesy: boolean;
  readonly range: HeardLine["range"];
  readonly tempo: number;
}

const isWhole = (count: number): boolean => same(count, Math.round(count));

interface Timed {
  readonly at: number;
  readonly end: number;
}

/**
 * Whether a phrase ends before a note, by ear: a rest of a beat, two beats without a new note, or a note of a beat, twice
 * as long as the one before it, that is held to a bar line.
 */
const endsBefore = (note: Timed, before: Timed, earlier: Timed | undefined, bar: number, pulse: number): boolean => {
  if (atLeast(note.at - before.end, pulse) || atLeast(note.at - before.at, 2 * pulse)) return true;
  const held = before.end - before.at;
  return (
    earlier !== undefined &&
    atLeast(held, pulse) &&
    atLeast(held, 2 * (earlier.end - earlier.at)) &&
    isWhole(before.end / bar)
  );
};

const cutPhrases = <N extends Timed>(
  notes: readonly N[],
  phrases: readonly TimeSpan[] | undefined,
  bar: number,
  pulse: number,
): readonly (readonly N[])[] => {
  const groups: N[][] = [];
  const starts = phrases?.map((phrase) => beatsToNumber(phrase.at));
  notes.forEach((note, i) => {
    const before = notes[i - 1];
    const parted =
      before === undefined ||
      (starts === undefined
        ? endsBefore(note, before, notes[i - 2], bar, pulse)
        : starts.some((start) => same(start, note.at)));
    if (parted) groups.push([note]);
    else nth(groups, -1).push(note);
  });
  return groups;
};

const BLUE_NOTES: readonly number[] = [3, 6, 10];

/** The blue notes of the scale's tonic, or of the first chord's root where no scale is known. */
const blueNotes = ({ scale, chords }: HearingContext): readonly number[] => {
  const tonic = scale?.tonic ?? chords.find(({ chord }) => chord !== undefined)?.chord?.root;
  return tonic === undefined ? [] : BLUE_NOTES.map((above) => (pitchClassOf(tonic) + above) % 12);
};

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** Puts every note of a line among its neighbours: chord, phrase, metrical place. */
export const hear = (events: readonly NoteEvent[], context: HearingContext): HeardLine => {
  const bar = beatsToNumber(barLength(context.metre));
  const pulse = beatsToNumber(pulseLength(context.metre));
  const pulses = Math.round(bar / pulse);
  const half = pulses % 2 === 0 && pulses > 2 ? bar / 2 : bar;
  const chordAt = chordFinder(context);
  const ordered = events
    .filter((event) => event.pitches.length > 0)
    .map((event): Mutable<HeardNote> => {
      const at = beatsToNumber(event.at);
      const top = event.pitches.reduce((best, p) => (p.semitones > best.semitones ? p : best));
      return {
        event,
        at,
        end: endOf(event),
        pitch: top,
        sound: pitchClass(top),
        ...chordAt(at),
        strong: isWhole(at / half),
        previous: undefined,
        next: undefined,
      };
    })
    .sort((a, b) => a.at - b.at);
  const groups = cutPhrases(ordered, context.phrases, bar, pulse);
  for (const group of groups) {
    group.forEach((note, i) => {
      note.previous = group[i - 1];
      note.next = group[i + 1];
    });
  }
  return {
    notes: ordered,
    phrases: groups.map((notes) => ({ notes, first: nth(notes, 0), last: nth(notes, -1) })),
    pulse,
    scale: context.scale,
    scaleClasses: context.scale === undefined ? undefined : new Set(context.scale.notes.map(pitchClassOf)),
    blue: new Set(context.bluesy ? blueNotes(context) : []),
    voicings: context.voicings,
    range: context.range,
    tempo: context.tempo,
  };
};

/** How long a note sounds. */
export const lengthOf = (note: HeardNote): number => note.end - note.at;

/** The rise from a note to the next of its phrase in semitones, negative when it falls. */
export const rise = (from: HeardNote, to: HeardNote): number => to.pitch.semitones - from.pitch.semitones;

/** Whether a note anticipates the chord that enters within half a beat of its start. */
export const anticipates = (note: HeardNote, pulse: number): boolean =>
  note.coming !== undefined &&
  atLeast(note.at, note.coming.at - pulse / 2) &&
  atLeast(note.end, note.coming.at) &&
  note.coming.classes.has(note.sound);

/** Whether a note is a tone of its chord, or of the chord that it anticipates. */
export const isChordTone = (note: HeardNote, line: HeardLine): boolean =>
  note.chord?.classes.has(note.sound) === true || anticipates(note, line.pulse);

/**
 * Whether a note belongs: to its chord, as a tone or a tension of it, and, where the line's scale tells the key, to the scale that the chord is heard
 * with there; a blue note in the idiom of the blues. Everything belongs where nothing is known. So whoever tells the scale as well never hears less.
 */
export const belongs = (note: HeardNote, line: HeardLine): boolean => {
  if (line.blue.has(note.sound) || isChordTone(note, line)) return true;
  if (note.chord === undefined) return line.scaleClasses?.has(note.sound) ?? true;
  return (note.chord.scale?.has(note.sound) ?? true) && agrees(note.sound, note.chord.classes, note.chord.root);
};
