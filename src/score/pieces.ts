import type { NoteEvent } from "../event/index.ts";
import type { Beats, NotatedPiece } from "../time/index.ts";

/** One level of beams at a note, by the names of MusicXML 4.0 (`beam-value`). */
export type BeamState = "begin" | "continue" | "end" | "forward hook" | "backward hook";

/** Whether a tuplet's bracket begins at a piece, ends there, or both. */
export type TupletEdge = "start" | "stop" | "start-stop";

/** A printed note or chord: a whole event, or one of the tied pieces of it. */
export interface LaidOutNote extends NotatedPiece {
  readonly kind: "note";
  readonly event: NoteEvent;
  /** Whether a tie leads here from the piece before. */
  readonly tiedFrom: boolean;
  /** Whether a tie leads on to the next piece. */
  readonly tiedTo: boolean;
  /** Beams from the outermost inwards; empty for a flag or none. */
  readonly beams: readonly BeamState[];
  readonly tupletEdge?: TupletEdge;
}

/** A printed rest. */
export interface LaidOutRest extends NotatedPiece {
  readonly kind: "rest";
  /** Whether it is the rest of a whole bar, whatever the metre. */
  readonly wholeBar: boolean;
  readonly tupletEdge?: TupletEdge;
}

/** Time in which a second voice has nothing to print. */
export interface LaidOutSpace {
  readonly kind: "space";
  readonly at: Beats;
  readonly duration: Beats;
}

/** What stands in a voice. */
export type LaidOutPiece = LaidOutNote | LaidOutRest | LaidOutSpace;

/** One voice of one bar: pieces that fill the bar from end to end. */
export type LaidOutVoice = readonly LaidOutPiece[];

/** One bar as it is printed. */
export interface LaidOutBar {
  /** From 1; 0 is the pickup. */
  readonly number: number;
  /** Quarter notes from the first bar line. */
  readonly at: Beats;
  /** In quarter notes: a full bar, or the pickup. */
  readonly duration: Beats;
  /** Voices of the right hand, the higher first; at least one. */
  readonly right: readonly LaidOutVoice[];
  /** Voices of the left hand, the higher first; at least one. */
  readonly left: readonly LaidOutVoice[];
}
