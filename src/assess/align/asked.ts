import type { Finger, Hand } from "../../event/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { nth } from "../../ground/list.ts";
import type { Pitch } from "../../pitch/index.ts";
import { midiNumber, pitchName } from "../../pitch/index.ts";
import type { Score } from "../../score/index.ts";
import { soundingNotes } from "../../score/index.ts";
import { partFeel, soundingSpan } from "../../swing/index.ts";
import type { Beats } from "../../time/index.ts";
import { barPosition, beatsToNumber, formatBeats } from "../../time/index.ts";

/** One note that a score asks for. */
export interface AskedNote {
  /** Index in the list of asked notes. */
  readonly index: number;
  readonly hand: Hand;
  /** Index of its event in that hand of the score. */
  readonly event: number;
  /** Name with octave: `"Eb4"`. */
  readonly pitch: string;
  /** MIDI note number. */
  readonly midi: number;
  /** Where the score has fingering. */
  readonly finger?: Finger;
  /** Whether it is a grace note. */
  readonly grace: boolean;
  /** Bar, from 1; 0 in a pickup. */
  readonly bar: number;
  /** Beat of the written note, from 1, as exact text: `"7/2"`. */
  readonly beat: string;
  /** Where the event sounds, feel included, in quarter notes from the first bar line; a grace note has its main note's. */
  readonly sounds: number;
  /** Sounding length in quarter notes. */
  readonly lasts: number;
  /** The velocity that the score asks for, or its writer's default. */
  readonly velocity: number;
}

/** An asked note with the exact moment that it is written at. */
export interface Asked extends AskedNote {
  readonly at: Beats;
}

const pitchOf = (pitches: readonly Pitch[], midi: number): number => pitches.findIndex((p) => midiNumber(p) === midi);

/** Every note that the hands of a score are asked for, in order of time, then hand (right first), then event, grace notes first and chords from the lowest key up. */
export const askedNotes = (score: Score): readonly Asked[] => {
  const notes = (["right", "left"] as const).flatMap((hand) => {
    const feel = partFeel(score.feel, hand);
    return soundingNotes(score, hand).map((note) => {
      const event = nth(score[hand], note.event);
      const grace = event.graces?.find((g) => note.grace && midiNumber(g.pitch) === note.midi);
      const place = pitchOf(event.pitches, note.midi);
      const pitch = grace?.pitch ?? nth(event.pitches, place);
      const finger = grace === undefined ? event.fingers?.[place] : grace.finger;
      const { bar, beat } = barPosition(event.at, score.metre);
      return {
        hand,
        event: note.event,
        pitch: pitchName(pitch),
        midi: note.midi,
        ...(finger === undefined ? {} : { finger }),
        grace: note.grace,
        bar,
        beat: formatBeats(beat),
        sounds: beatsToNumber(soundingSpan(feel, event).at),
        lasts: beatsToNumber(note.duration),
        velocity: note.velocity,
        at: event.at,
      };
    });
  });
  if (notes.length === 0)
    throw new MusicError({
      code: "assess/score",
      input: score.title,
      expected: "a score with at least one note in a hand",
    });
  return notes.sort((a, b) => a.sounds - b.sounds).map((note, index) => ({ index, ...note }));
};
