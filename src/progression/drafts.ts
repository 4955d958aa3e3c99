import type { Beats } from "../time/index.ts";
import type { ChartBar } from "./document.ts";

/** A chord in a bar, with what was written of its length. */
export interface Item {
  readonly at: number;
  readonly end: number;
  readonly text: string;
  /** Pulses as written behind `*`. */
  readonly beats: Beats | undefined;
  /** Further pulses, one a stroke. */
  strokes: number;
  strokeSign: string;
  readonly optional: boolean;
  /** What a bracketed group of numerals leads to. */
  goals: string | undefined;
  mark: "hold" | "stop" | undefined;
}

/** What stands round the chords of a bar. */
export type Marks = { -readonly [Field in keyof Omit<ChartBar, "chords" | "melody">]: ChartBar[Field] };

/** A written bar before its chords have places. */
export interface Draft {
  readonly at: number;
  readonly items: readonly Item[];
  /** Strokes before the first chord: the chord before lasts on. */
  readonly lead: number;
  /** A repeat of the bar so many bars before. */
  readonly same: number;
  readonly marks: Marks;
}

/** The chords of a bar with the pulses, from 0, that they begin on. */
export type Placed = readonly (readonly [item: Item, beat: Beats])[];
