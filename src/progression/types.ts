import type { Chord } from "../chord/index.ts";
import type { TimeSpan } from "../event/index.ts";
import type { Key } from "../pitch/index.ts";
import type { Metre, MetreChange } from "../time/index.ts";
import type { ChartBar } from "./document.ts";

export type { MetreChange } from "../time/index.ts";

/** A chord for a stretch of time. */
export interface ChordSpan extends TimeSpan {
  /** `undefined` where the chart says N.C.: no chord. */
  readonly chord: Chord | undefined;
  /** The Roman numeral, where the chord was written as one. */
  readonly numeral?: string | undefined;
}

/** A named part of a form. */
export interface ProgressionSection {
  /** As written. */
  readonly name: string;
  /** Its first bar, from 1. */
  readonly bar: number;
  /** Its length in bars. */
  readonly bars: number;
}

/** Signs of one bar of a written form: where it is gone back to, left, and ended. The fields mean what they do in a `ChartBar`. */
export type BarSigns = Pick<
  ChartBar,
  "section" | "repeatStart" | "repeatEnd" | "ending" | "segno" | "toCoda" | "coda" | "fine" | "jump"
>;

/** A form as it is written, and the order in which its bars are played. */
export interface WrittenForm {
  /** The signs of its bars, a pickup bar left out; a bar without signs is empty. */
  readonly bars: readonly BarSigns[];
  /** For each bar as played the bar as written, from 1. */
  readonly order: readonly number[];
}

/** Chords in exact time, in a key. */
export interface Progression {
  /** Tells a progression from other values. */
  readonly kind: "progression";
  /** The key that numerals and signatures are read in. */
  readonly key: Key;
  /** The metre of the first bar, and of every bar unless `metres` says otherwise. */
  readonly metre: Metre;
  /** Length in bars, repeats played out. */
  readonly bars: number;
  /** In time, without gap or overlap; a chord that lasts two bars has two spans. */
  readonly chords: readonly ChordSpan[];
  /** Title of the catalogue row or the chart, where it has one. */
  readonly name?: string | undefined;
  /** Sections in order; none where the chart names none. */
  readonly sections: readonly ProgressionSection[];
  /** How the chart is written; absent where it has neither sections nor signs of repetition. */
  readonly form?: WrittenForm | undefined;
  /** Chords of a pickup bar, at negative moments before bar 1; absent for none. They are played once, before the first time through. */
  readonly pickupChords?: readonly ChordSpan[] | undefined;
  /** Changes of metre on the way; absent for none. */
  readonly metres?: readonly MetreChange[] | undefined;
  /** Pulses a minute, where the chart states them. */
  readonly chartTempo?: number | undefined;
  /** The words for the feel, where the chart has some, such as "Medium swing". */
  readonly chartFeel?: string | undefined;
  /** What the reader of the chart took for granted; absent for nothing. */
  readonly guesses?: readonly string[];
}

/** Options of {@link parseChart} and `parseProgression`. */
export interface ProgressionOptions {
  /**
   * The key, or its name.
   *
   * @defaultValue that of the chart; else for numerals C major (C minor where they are in minor), for chord symbols the likeliest of
   * `likelyKeys`
   */
  readonly key?: Key | string | undefined;
  /** The metre, or its time signature. @defaultValue that of the chart or the catalogue row, else 4/4 */
  readonly metre?: Metre | string | undefined;
  /** How many chords share a bar in a list without bar lines. @defaultValue 1 */
  readonly chordsPerBar?: number | undefined;
}
