import type { Chord } from "../chord/index.ts";
import type { NoteEvent } from "../event/index.ts";
import { fingerPassage } from "../fingering/index.ts";
import type { ExerciseRow, Line } from "../line/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { interval, pitchAtOrAbove, pitchFromMidi, transpose } from "../pitch/index.ts";
import type { Progression } from "../progression/index.ts";
import { addBeats, beats, beatsToNumber, compareBeats, multiplyBeats } from "../time/index.ts";
import { barStartInMetres } from "../time/inner.ts";
import { formOverTurns, overTurns } from "./music.ts";

/** What both hands play of an exercise that is for both. */
export interface Together {
  readonly line: Line;
  /** The left hand over as many turns of the progression. */
  readonly left: (turns: number) => readonly NoteEvent[];
}

const DOWN = interval("-P8");

const anOctaveDown = ({ pitches, graces, fingers: _right, ...event }: NoteEvent): NoteEvent => ({
  ...event,
  pitches: pitches.map((p) => transpose(p, DOWN)),
  ...(graces && { graces: graces.map(({ pitch, style }) => ({ pitch: transpose(pitch, DOWN), style })) }),
});

/** The hands of an exercise that the left hand takes part in. */
export const playTogether = ({ left }: Pick<ExerciseRow, "left">, line: Line, changes: Progression): Together => {
  const melody = line.events.map(anOctaveDown);
  const below = melody.length === 0 ? [] : fingerPassage(melody, { hand: "left" }).events;
  const form = formOverTurns(changes, line.bars / changes.bars);
  const all = (turns: number): readonly NoteEvent[] => {
    const end = barStartInMetres(changes, changes.bars + 1);
    const last = multiplyBeats(end, beats(turns));
    return overTurns(below, form, Math.ceil((turns * changes.bars) / line.bars)).filter(
      ({ at }) => compareBeats(at, last) < 0,
    );
  };
  const right =
    left === "alone"
      ? []
      : left === "block"
        ? fingerPassage(inBlocks(line.events, changes), { hand: "right" }).events
        : line.events;
  return { line: { ...line, events: right }, left: all };
};

/** Each note of a melody as the top of four in close position. */
const inBlocks = (events: readonly NoteEvent[], changes: Progression): readonly NoteEvent[] => {
  const turn = beatsToNumber(barStartInMetres(changes, changes.bars + 1));
  const chordAt = (at: number): Chord | undefined =>
    changes.chords.find((span) => {
      const within = (at % turn) + 1e-9;
      return beatsToNumber(span.at) <= within && within < beatsToNumber(addBeats(span.at, span.duration));
    })?.chord;
  return events.map(({ fingers: _single, graces: _grace, ...event }): NoteEvent => {
    const [top] = event.pitches;
    return top === undefined ? event : { ...event, pitches: [...under(top, chordAt(beatsToNumber(event.at))), top] };
  });
};

const MIDI_OF_C0 = 12;

/**
 * Three notes under a melody note, lowest first: those of its chord, with the sixth where it has three or a major seventh; under a note that it then
 * lacks a diminished seventh chord. Common practice, no source.
 */
const under = (top: Pitch, chord: Chord | undefined): readonly Pitch[] => {
  const fallback = [9, 6, 3].map((down) => pitchFromMidi(top.semitones + MIDI_OF_C0 - down, "flats"));
  if (chord === undefined) return fallback;
  const octaveBelow = transpose(top, DOWN);
  const tones = chord.tones
    .slice(0, 4)
    .filter(({ degree }) => degree !== "7")
    .map(({ note }) => pitchAtOrAbove(note, octaveBelow));
  const sixth = pitchAtOrAbove(chord.root, octaveBelow);
  const inside = [...tones, ...(tones.length === 3 ? [transpose(sixth, interval("M6"))] : [])].map((p) =>
    p.semitones >= top.semitones ? transpose(p, DOWN) : p,
  );
  const sound = top.semitones % 12;
  if (!inside.some((p) => p.semitones % 12 === sound)) return fallback;
  const lower = inside.filter((p) => p.semitones % 12 !== sound && p.semitones > octaveBelow.semitones);
  return lower.length < 3 ? fallback : lower.sort((a, b) => a.semitones - b.semitones).slice(-3);
};
