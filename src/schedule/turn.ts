import type { TimeSpan } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
import { musicXmlNoteId } from "../musicxml/index.ts";
import type { PitchName } from "../pitch/index.ts";
import { pitchName } from "../pitch/index.ts";
import type { Score, SoundingNote, SoundingOptions } from "../score/index.ts";
import { soundingNotes } from "../score/index.ts";
import { notateIn, writtenScore } from "../score/inner.ts";
import type { ScorePart } from "../swing/index.ts";
import { partFeel, soundingTime } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import { beatsToNumber } from "../time/index.ts";

/** A printed note, in quarter notes from where its sounding note starts. */
interface EngravedPiece {
  readonly id: string;
  readonly after: number;
  readonly lasts: number;
}

/** A note as it sounds in one turn through a score, in quarter notes from the first bar line. */
export interface TurnNote {
  readonly part: ScorePart;
  readonly event: number;
  readonly midi: number;
  readonly pitch?: PitchName;
  readonly velocity: number;
  readonly grace: boolean;
  /** Where its event is written. */
  readonly written: number;
  readonly at: number;
  readonly lasts: number;
  readonly engraved: readonly EngravedPiece[];
}

/** Every note of some parts, in order of sounding. */
export const turnNotes = (score: Score, parts: readonly ScorePart[], options: SoundingOptions): readonly TurnNote[] =>
  parts.flatMap((part) => partNotes(score, part, options)).sort((a, b) => a.at - b.at || a.midi - b.midi);

const partNotes = (score: Score, part: ScorePart, options: SoundingOptions): readonly TurnNote[] => {
  const graces = new Map<number, number>();
  const { onPaper } = writtenScore(score);
  const notes = soundingNotes(score, part, options).map((note): TurnNote => {
    const grace = kept(graces, note.event, () => 0);
    if (note.grace) graces.set(note.event, grace + 1);
    const at = beatsToNumber(note.at);
    const lasts = beatsToNumber(note.duration);
    return {
      part,
      event: note.event,
      midi: note.midi,
      ...(note.pitch && { pitch: pitchName(note.pitch) }),
      velocity: note.velocity,
      grace: note.grace,
      written: beatsToNumber(nth<TimeSpan>(score[part] ?? [], note.event).at),
      at,
      lasts,
      engraved: engravedPieces(score, onPaper, note, grace, at, lasts),
    };
  });
  // A key goes up before it goes down again, as in what is written to MIDI.
  const next = new Map<number, number>();
  return notes
    .reverse()
    .map((note): TurnNote => {
      const until = next.get(note.midi) ?? Infinity;
      next.set(note.midi, note.at);
      return note.at + note.lasts > until && until > note.at ? { ...note, lasts: until - note.at } : note;
    })
    .reverse();
};

// Ties: each printed piece sounds from where its own start is heard to the next one's.
const engravedPieces = (
  score: Score,
  onPaper: (at: Beats) => Beats,
  { part, event, grace, pitch }: SoundingNote,
  graces: number,
  at: number,
  lasts: number,
): readonly EngravedPiece[] => {
  if ((part !== "right" && part !== "left") || pitch === undefined) return [];
  const { at: written, duration } = nth(score[part], event);
  if (grace) return [{ id: musicXmlNoteId(part, onPaper(written), pitch, { grace: graces }), after: 0, lasts }];
  const feel = partFeel(score.feel, part);
  const pieces = notateIn(score, written, duration);
  // What is struck short may end before a tied piece would begin.
  const starts = pieces.map((piece, i) =>
    i === 0 ? 0 : Math.min(lasts, beatsToNumber(soundingTime(feel, piece.at)) - at),
  );
  return pieces.map((piece, i) => ({
    id: musicXmlNoteId(part, onPaper(piece.at), pitch),
    after: nth(starts, i),
    lasts: Math.max(0, (starts[i + 1] ?? lasts) - nth(starts, i)),
  }));
};
