import * as v from "valibot";
import type { Chord } from "../../chord/index.ts";
import { parseChord } from "../../chord/index.ts";
import { reads } from "../../ground/attempt.ts";
import { MusicError } from "../../ground/errors.ts";
import type { Degree, Key, KeyMode, NoteName, Pitch } from "../../pitch/index.ts";
import {
  degreeInterval,
  noteInterval,
  noteName,
  parseKey,
  parsePitch,
  transpose,
  transposeNote,
} from "../../pitch/index.ts";
import { parseScale } from "../../scale/index.ts";
import { beats, parseMetre } from "../../time/index.ts";
import type { DraftNote, DraftPhrase } from "../draft.ts";
import { beatsToTicks, gridOf } from "../grid.ts";
import type { ChordSlot } from "../harmony.ts";
import { slotAt } from "../harmony.ts";
import type { PatternContext } from "./context.ts";

/** A short melody over one or more chords, carried through the chords of a progression. */
export interface Lick {
  readonly over: "lick";
  /** Chromatically every interval above the root stays; diatonically the degree stays and the chord and its scale say how it is altered. */
  readonly moved: "chromatically" | "diatonically";
  readonly metre: string;
  /** The key that it was given in, such as `"C major"`: what stands beside the tones of its chords. */
  readonly key?: string | undefined;
  /** Its length in whole bars. */
  readonly bars: number;
  /** Its own chords, each until the next; moments in quarter notes from its first bar line. */
  readonly chords: readonly { readonly at: string; readonly symbol: string }[];
  /** Its notes in order of time, one at a time; moments and lengths in quarter notes. */
  readonly notes: readonly { readonly at: string; readonly duration: string; readonly pitch: string }[];
}

/** Ticks of a moment; the finest that lines know are quarters of one. */
const ticksOf = (text: string): number => beatsToTicks(beats(text));

const moment = /* @__PURE__ */ (() =>
  v.pipe(
    v.string(),
    v.regex(/^\d{1,3}(?:\/[1-9]\d?)?$/, 'quarter notes such as "1" or "5/2"'),
    v.check((text) => Number.isInteger(4 * ticksOf(text)), "quarter notes in halves, thirds or their halves"),
  ))();

/** What a {@link Lick} must be. */
export const lickSchema = /* @__PURE__ */ (() =>
  v.strictObject({
    over: v.literal("lick"),
    moved: v.picklist(["chromatically", "diatonically"]),
    metre: v.pipe(v.string(), v.maxLength(5), v.check(reads(parseMetre), "a time signature such as 4/4")),
    key: v.optional(v.pipe(v.string(), v.maxLength(20), v.check(reads(parseKey), "a key such as Eb major"))),
    bars: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(16)),
    chords: v.pipe(
      v.array(
        v.strictObject({
          at: moment,
          symbol: v.pipe(v.string(), v.maxLength(60), v.check(reads(parseChord), "a chord symbol")),
        }),
      ),
      v.minLength(1),
      v.maxLength(64),
      v.check((chords) => ticksOf(chords[0]?.at ?? "1") === 0, "a chord from the first beat on"),
      v.check((chords) => inOrder(chords.map(({ at }) => ticksOf(at))), "chords in order of time"),
    ),
    notes: v.pipe(
      v.array(
        v.strictObject({
          at: moment,
          duration: v.pipe(
            moment,
            v.check((text) => ticksOf(text) > 0, "a length above 0"),
          ),
          pitch: v.pipe(v.string(), v.maxLength(8), v.check(reads(parsePitch), "a pitch such as Eb4")),
        }),
      ),
      v.minLength(1),
      v.maxLength(200),
      v.check((notes) => inOrder(notes.map(({ at }) => ticksOf(at))), "notes in order of time"),
    ),
  }))();

const inOrder = (ticks: readonly number[]): boolean => ticks.every((tick, i) => i === 0 || tick > (ticks[i - 1] ?? 0));

/** A note of a lick with the chord that it stands over. */
interface LickNote {
  readonly at: number;
  readonly duration: number;
  readonly pitch: Pitch;
  readonly chord: Chord;
  readonly key: Key | undefined;
}

/**
 * The lick once for as many bars as it has, over whatever chords stand there, each time from where it was given by the smallest interval: a
 * tritone at most, up or down.
 */
export const draftLick = (lick: Lick, context: PatternContext): readonly DraftPhrase[] => {
  const { grid, chords, bars } = context;
  const own = gridOf(parseMetre(lick.metre));
  if (own.bar !== grid.bar || own.pulse !== grid.pulse)
    throw new MusicError({
      code: "line/exercise",
      input: lick.metre,
      expected: `changes in ${lick.metre}, the metre of this lick`,
      reason: "cannot-be-done",
    });
  const notes = notesOf(lick, own.bar);
  return Array.from({ length: Math.ceil(bars / lick.bars) }, (_, i): DraftPhrase => {
    const from = i * lick.bars * grid.bar;
    const here = Math.min(lick.bars, bars - i * lick.bars);
    return { bars: here, notes: inRange(moved(notes, from, here * grid.bar, chords, lick, context), context) };
  });
};

const notesOf = (lick: Lick, bar: number): readonly LickNote[] => {
  const starts = lick.chords.map(({ at, symbol }) => ({ at: ticksOf(at), chord: parseChord(symbol) }));
  const end = lick.bars * bar;
  const key = lick.key === undefined ? undefined : parseKey(lick.key);
  return lick.notes.flatMap(({ at, duration, pitch }, i): LickNote[] => {
    const tick = ticksOf(at);
    const chord = starts.filter((start) => start.at <= tick).at(-1)?.chord;
    const next = lick.notes[i + 1];
    // One note at a time, and none beyond the end.
    const most = (next === undefined ? end : Math.min(end, ticksOf(next.at))) - tick;
    return chord === undefined || most <= 0
      ? []
      : [{ at: tick, duration: Math.min(ticksOf(duration), most), pitch: parsePitch(pitch), chord, key }];
  });
};

const moved = (
  notes: readonly LickNote[],
  from: number,
  length: number,
  chords: readonly ChordSlot[],
  lick: Lick,
  context: PatternContext,
): readonly DraftNote[] => {
  let shift = 0;
  return notes.flatMap((note): DraftNote[] => {
    const target = slotAt(chords, from + note.at)?.chord;
    if (target === undefined || note.at >= length) return [];
    const pitch = lick.moved === "chromatically" ? byRoot(note, target) : byDegree(note, target, context);
    // The octave in which the line keeps its shape.
    const octaves = Math.round((note.pitch.semitones + shift - pitch.semitones) / 12);
    const placed = lifted(pitch, octaves);
    shift = placed.semitones - note.pitch.semitones;
    return [{ at: note.at, duration: Math.min(note.duration, length - note.at), pitch: placed }];
  });
};

const byRoot = (note: LickNote, target: Chord): Pitch =>
  transpose(note.pitch, noteInterval(note.chord.root, target.root));

const LETTERS = "CDEFGAB";
const letterIndex = (note: NoteName): number => LETTERS.indexOf(note.charAt(0));

/** The tone of a chord with a letter, else the note of the key. */
const onLetter = (chord: Chord, letter: number, keyNotes: readonly NoteName[]): NoteName | undefined =>
  chord.tones.find(({ note }) => letterIndex(note) === letter)?.note ??
  keyNotes.find((note) => letterIndex(note) === letter);

// What stands beside the tones of a chord where no key is known. Common practice, no source.
const PLAIN: readonly Degree[] = ["1", "2", "3", "4", "5", "6", "b7"];
const plainNotes = ({ root }: Chord): readonly NoteName[] =>
  PLAIN.map((degree) => transposeNote(root, degreeInterval(degree)));

// A scale of seven notes has one for each letter; of a blues scale the key that it belongs to.
const notesOfKey = ({ scale }: PatternContext): readonly NoteName[] =>
  scale.notes.length === 7 ? scale.notes : notesIn(scale.tonic, /minor/.test(scale.type) ? "minor" : "major");

const notesIn = (tonic: NoteName, mode: KeyMode): readonly NoteName[] =>
  parseScale(`${tonic} ${mode === "minor" ? "natural minor" : "major"}`).notes;

// The same degree over the new chord; what the lick alters against its own chord and key is altered as much here.
const byDegree = (note: LickNote, target: Chord, context: PatternContext): Pitch => {
  const root = byRoot(note, target);
  const steps = letterIndex(noteName(root));
  const own = note.key === undefined ? plainNotes(note.chord) : notesIn(note.key.tonic, note.key.mode);
  const plain = onLetter(note.chord, letterIndex(noteName(note.pitch)), own);
  const there = onLetter(target, steps, notesOfKey(context));
  if (plain === undefined || there === undefined) return root;
  const altered = semitoneOf(noteName(note.pitch)) - semitoneOf(plain);
  const wanted = semitoneOf(there) + altered;
  const change = wanted - semitoneOf(noteName(root));
  return { ...root, semitones: root.semitones + nearZero(change) };
};

const NATURAL = [0, 2, 4, 5, 7, 9, 11];
/** Semitones above the C below, not folded: B sharp is 12. */
const semitoneOf = (note: NoteName): number => {
  const signs = note.slice(1);
  return (NATURAL[letterIndex(note)] ?? 0) + (signs.startsWith("b") ? -signs.length : signs.length);
};
const nearZero = (change: number): number => (Math.abs(change) > 3 ? 0 : change);

const lifted = (pitch: Pitch, octaves: number): Pitch => ({
  ...pitch,
  steps: pitch.steps + 7 * octaves,
  semitones: pitch.semitones + 12 * octaves,
});

// The keyboard's lowest note, and the highest of right-hand lines.
const [LOWEST, HIGHEST] = [parsePitch("A0"), parsePitch("C7")];

// As given; by whole octaves only where the line would leave its range.
const inRange = (
  notes: readonly DraftNote[],
  { lowest = LOWEST, highest = HIGHEST }: PatternContext,
): readonly DraftNote[] => {
  const heights = notes.map(({ pitch }) => pitch.semitones);
  const outside = (octaves: number): number =>
    Math.max(0, Math.max(...heights) + 12 * octaves - highest.semitones) +
    Math.max(0, lowest.semitones - Math.min(...heights) - 12 * octaves);
  const octaves = [0, -1, 1, -2, 2, -3, 3, -4, 4].reduce((best, one) => (outside(one) < outside(best) ? one : best), 0);
  return octaves === 0 ? notes : notes.map((note) => ({ ...note, pitch: lifted(note.pitch, octaves) }));
};
