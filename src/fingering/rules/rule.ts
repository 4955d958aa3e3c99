import type { Finger } from "../../event/index.ts";
import type { HandSpans } from "../spans.ts";

/** A key and the finger that plays it. */
export interface FingeredKey {
  readonly finger: Finger;
  readonly black: boolean;
}

/**
 * How one note follows another: `"plain"`; `"fast"` (too quick for weak pairs and for one finger to repeat a key);
 * `"slide"` (a written slide of one finger); `"crushed"` (a grace note with a finger of its own).
 */
export type MoveKind = "plain" | "fast" | "slide" | "crushed";

/** One note with the colours of its neighbours; they are undefined at the ends of a passage. */
export interface NoteWindow extends FingeredKey {
  readonly previousBlack: boolean | undefined;
  readonly nextBlack: boolean | undefined;
  /** Whether the note names the scale that is being played. */
  readonly tonic: boolean;
  /** The finger that the note has when its scale is played by itself, where a scale was named. */
  readonly pattern: Finger | undefined;
}

/** Two consecutive notes. */
export interface PairWindow {
  readonly from: FingeredKey;
  readonly to: FingeredKey;
  /** Semitones from the first to the second, for a right hand; the left hand's are turned round. */
  readonly interval: number;
  readonly move: MoveKind;
}

/** Three consecutive notes. */
export interface TripleWindow {
  readonly first: FingeredKey;
  readonly middle: FingeredKey;
  readonly last: FingeredKey;
  /** Semitones from the first to the middle note, for a right hand. */
  readonly before: number;
  /** Semitones from the middle to the last note, for a right hand. */
  readonly after: number;
}

interface RuleBase {
  /** Stable name, by which a rule is switched off or weighted. */
  readonly id: string;
  /** What it charges, in one sentence. */
  readonly title: string;
  /** The published rule, or "common practice" or "ours" with the reason. */
  readonly source: string;
}

/** A rule that looks at one note. */
export interface NoteRule extends RuleBase {
  readonly reads: "note";
  readonly points: (window: NoteWindow) => number;
}

/** A rule that looks at two consecutive notes. */
export interface PairRule extends RuleBase {
  readonly reads: "pair";
  readonly points: (window: PairWindow, spans: HandSpans) => number;
}

/** A rule that looks at three consecutive notes. */
export interface TripleRule extends RuleBase {
  readonly reads: "triple";
  readonly points: (window: TripleWindow, spans: HandSpans) => number;
}

/** A rule of the cost: whole points, zero or more, for what it sees. */
export type FingeringRule = NoteRule | PairRule | TripleRule;

/** Whether a move passes the thumb under, or a finger over the thumb. */
export const isTurn = ({ from, to, interval }: Pick<PairWindow, "from" | "to" | "interval">): boolean =>
  (to.finger === 1 && from.finger !== 1 && interval > 0) || (from.finger === 1 && to.finger !== 1 && interval < 0);

/** Whether one finger can slip from the first key to the second: black to the white key beside it. */
export const isSlide = (fromBlack: boolean, toBlack: boolean, interval: number): boolean =>
  fromBlack && !toBlack && Math.abs(interval) === 1;
