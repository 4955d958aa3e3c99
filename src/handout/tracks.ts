import type { Score, SoundingNote } from "../score/index.ts";
import { scoreEnd, soundingNotes } from "../score/index.ts";
import type { ScorePart } from "../swing/index.ts";
import { barLength, barStart, beatsToNumber, pulseLength } from "../time/index.ts";

/** A note as the page's player takes it; times in sounding beats from the first bar line. */
export interface PlayerNote {
  readonly at: number;
  readonly duration: number;
  readonly midi: number;
  readonly velocity: number;
  /** Ids of the engraved notes to light. */
  readonly ids: readonly string[];
}

/** What the page's player plays. */
export interface PlayerTracks {
  /** Beats before bar 1. */
  readonly lead: number;
  readonly barLength: number;
  /** Where bars start, and where the last one ends. */
  readonly bars: readonly number[];
  /** The clicks of a count-in bar, from its start. */
  readonly clicks: readonly number[];
  readonly tracks: Readonly<Record<ScorePart, readonly PlayerNote[]>>;
}

/**
 * The id of an engraved note: which hand, which event of it and which of its notes; grace notes count from `g`, tied pieces from 0.
 * The writer of MusicXML gives them on request.
 */
type IdsOf = (part: ScorePart, note: SoundingNote) => readonly string[];

/** A score for the page's player. */
export const playerTracks = (score: Score, idsOf: IdsOf): PlayerTracks => {
  const pulse = beatsToNumber(pulseLength(score.metre));
  const length = beatsToNumber(barLength(score.metre));
  const part = (name: ScorePart): readonly PlayerNote[] =>
    soundingNotes(score, name).map((note) => ({
      at: rounded(beatsToNumber(note.at)),
      duration: rounded(beatsToNumber(note.duration)),
      midi: note.midi,
      velocity: note.velocity,
      ids: idsOf(name, note),
    }));
  return {
    lead: beatsToNumber(score.pickup),
    barLength: length,
    bars: [
      ...Array.from({ length: score.bars }, (_, i) => beatsToNumber(barStart(i + 1, score.metre))),
      beatsToNumber(scoreEnd(score)),
    ],
    clicks: Array.from({ length: Math.round(length / pulse) }, (_, i) => i * pulse),
    tracks: { right: part("right"), left: part("left"), bass: part("bass"), drums: part("drums") },
  };
};

// A microbeat: far below hearing, and the page stays small.
const rounded = (n: number): number => Math.round(n * 1e6) / 1e6;
