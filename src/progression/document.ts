import * as v from "valibot";
import { reads } from "../ground/attempt.ts";
import { parseKey, parsePitch } from "../pitch/index.ts";
import { beats, parseMetre } from "../time/index.ts";
import { isSectionName } from "./tokens.ts";

/** A chord as it stands in its bar. */
export interface ChartChord {
  /** A chord symbol, or `"N.C."` for none. */
  readonly symbol: string;
  /** Where it begins, in pulses of the metre counted from 1, exact: `"1"`, `"5/2"`. */
  readonly beat: string;
  /** The Roman numeral, where it was written as one. */
  readonly numeral?: string | undefined;
  /** Written in brackets: it may be left out. */
  readonly optional?: boolean | undefined;
  /** Held until it is let go (`"hold"`), or cut short (`"stop"`). */
  readonly mark?: "hold" | "stop" | undefined;
}

/** A note of the melody, in its bar. */
export interface ChartNote {
  /** Quarter notes from the start of the bar, exact. */
  readonly at: string;
  /** Quarter notes, exact; a tied note is one, and may last beyond its bar. */
  readonly duration: string;
  /** One or more, from low to high, such as `["Eb4"]`. */
  readonly pitches: readonly string[];
  /** Grace notes before it, in order. */
  readonly graces?: readonly string[] | undefined;
}

/** Where a chart goes on from, and until where. */
export type ChartJump = "D.C." | "D.C. al Fine" | "D.C. al Coda" | "D.S." | "D.S. al Fine" | "D.S. al Coda";

/** A bar as it is written. */
export interface ChartBar {
  /** In order of time; where none begins with the bar, the chord before lasts on. */
  readonly chords: readonly ChartChord[];
  /** The name of the section that begins here. */
  readonly section?: string | undefined;
  /** The metre from here on, where it changes. */
  readonly metre?: string | undefined;
  /** The key from here on, where it changes. */
  readonly key?: string | undefined;
  /** A repeat begins here. */
  readonly repeatStart?: boolean | undefined;
  /** A repeat ends with this bar: how often it is played in all, 2 to 16. */
  readonly repeatEnd?: number | undefined;
  /** An ending begins here: the passes that take it. */
  readonly ending?: readonly number[] | undefined;
  /** The sign that D.S. goes back to. */
  readonly segno?: boolean | undefined;
  /** After a jump "al Coda", the coda follows this bar. */
  readonly toCoda?: boolean | undefined;
  /** The coda begins here. */
  readonly coda?: boolean | undefined;
  /** After a jump, the chart ends with this bar. */
  readonly fine?: boolean | undefined;
  /** What follows this bar, the first time that it is played to its end. */
  readonly jump?: ChartJump | undefined;
  /** The melody's notes that begin in this bar. */
  readonly melody?: readonly ChartNote[] | undefined;
}

/** A chart as a document: plain data, which JSON holds as it is. */
export interface Chart {
  readonly kind: "chart";
  /** Version of this shape. */
  readonly version: 1;
  /** May be empty. */
  readonly title: string;
  /** A line below the title. */
  readonly heading?: string | undefined;
  /** Such as `"Eb major"` or `"C minor"`. */
  readonly key: string;
  /** The first time signature. */
  readonly metre: string;
  /** Pulses a minute. */
  readonly tempo?: number | undefined;
  /** How it is played, in words. */
  readonly feel?: string | undefined;
  /** The first bar is a pickup of so many pulses. */
  readonly pickup?: string | undefined;
  /** As written: repeats are not played out. */
  readonly bars: readonly ChartBar[];
  /** What the reader took for granted, each with its place. */
  readonly guesses: readonly string[];
}

/** Bars of the longest chart, as written and as played. */
export const MOST_BARS = 10_000;

const text = (most: number, title: string, description: string) =>
  v.pipe(v.string(), v.maxLength(most), v.title(title), v.description(description));
const line = (most: number, title: string, description: string) =>
  v.pipe(text(most, title, description), v.regex(/^(?!\s)\P{Cc}*(?<!\s)$/u, "one line without blanks round it"));
const exact = (title: string, description: string) =>
  v.pipe(
    v.string(),
    v.regex(/^\d{1,6}(?:\/[1-9]\d{0,3})?$/, 'an exact number such as "1" or "5/2"'),
    v.title(title),
    v.description(description),
  );
const keyText = (title: string, description: string) =>
  v.pipe(
    v.string(),
    v.maxLength(20),
    v.check(reads(parseKey), "a key such as Eb major"),
    v.title(title),
    v.description(description),
  );
const metreText = (title: string, description: string) =>
  v.pipe(
    v.string(),
    v.maxLength(5),
    v.check(reads(parseMetre), "a time signature such as 4/4"),
    v.title(title),
    v.description(description),
  );

const chordSchema = /* @__PURE__ */ (() =>
  v.strictObject({
    symbol: v.pipe(text(60, "Symbol", "A chord symbol, or N.C. for none."), v.minLength(1)),
    beat: v.pipe(
      exact("Beat", "Where it begins: pulses of the metre, counted from 1."),
      v.check((beat) => beats(beat).num >= beats(beat).den, "a beat from 1"),
    ),
    numeral: v.optional(text(200, "Numeral", "The Roman numeral that it was written as.")),
    optional: v.optional(v.pipe(v.boolean(), v.title("Optional"), v.description("Whether it may be left out."))),
    mark: v.optional(
      v.pipe(v.picklist(["hold", "stop"]), v.title("Mark"), v.description("Held until let go, or cut short.")),
    ),
  }))();

const noteSchema = /* @__PURE__ */ (() =>
  v.strictObject({
    at: exact("Moment", "Quarter notes from the start of the bar."),
    duration: v.pipe(
      exact("Duration", "Length in quarter notes, beyond the bar where it is tied."),
      v.check((length) => beats(length).num > 0, "a length above 0"),
    ),
    pitches: v.pipe(
      v.array(v.pipe(v.string(), v.maxLength(8), v.check(reads(parsePitch), "a pitch such as Eb4"))),
      v.minLength(1),
      v.maxLength(10),
      v.title("Pitches"),
      v.description("Pitches struck together, from low to high."),
    ),
    graces: v.optional(
      v.pipe(
        v.array(v.pipe(v.string(), v.maxLength(8), v.check(reads(parsePitch), "a pitch such as Eb4"))),
        v.maxLength(16),
        v.title("Grace notes"),
        v.description("Pitches of grace notes before it, in order."),
      ),
    ),
  }))();

const JUMPS = ["D.C.", "D.C. al Fine", "D.C. al Coda", "D.S.", "D.S. al Fine", "D.S. al Coda"] as const;
const pass = /* @__PURE__ */ (() => v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(16)))();
const flag = (title: string, description: string) =>
  v.optional(v.pipe(v.boolean(), v.title(title), v.description(description)));

const barSchema = /* @__PURE__ */ (() =>
  v.strictObject({
    chords: v.pipe(
      v.array(chordSchema),
      v.maxLength(64),
      v.title("Chords"),
      v.description("Chords in order of time; where none begins with the bar, the one before lasts on."),
    ),
    section: v.optional(
      v.pipe(
        text(24, "Section", "The section that begins here."),
        v.check(isSectionName, "a name that stands in square brackets"),
      ),
    ),
    metre: v.optional(metreText("Metre", "The time signature from here on.")),
    key: v.optional(keyText("Key", "The key from here on.")),
    repeatStart: flag("Repeat start", "A repeat begins here."),
    repeatEnd: v.optional(
      v.pipe(
        v.number(),
        v.integer(),
        v.minValue(2),
        v.maxValue(16),
        v.title("Repeat end"),
        v.description("A repeat ends here: times in all."),
      ),
    ),
    ending: v.optional(
      v.pipe(
        v.array(pass),
        v.minLength(1),
        v.maxLength(16),
        v.title("Ending"),
        v.description("An ending begins here: its passes."),
      ),
    ),
    segno: flag("Segno", "The sign that D.S. goes back to."),
    toCoda: flag("To coda", "After a jump al Coda the coda follows this bar."),
    coda: flag("Coda", "The coda begins here."),
    fine: flag("Fine", "After a jump the chart ends with this bar."),
    jump: v.optional(
      v.pipe(v.picklist(JUMPS), v.title("Jump"), v.description("Where the chart goes on after this bar.")),
    ),
    melody: v.optional(
      v.pipe(v.array(noteSchema), v.maxLength(200), v.title("Melody"), v.description("Notes that begin in this bar.")),
    ),
  }))();

/** The one schema of the document: its types, and the laws that hold for a bar by itself. */
export const chartShape = /* @__PURE__ */ (() =>
  v.pipe(
    v.strictObject({
      $schema: v.optional(v.pipe(v.string(), v.title("Schema"), v.description("The address of this schema."))),
      kind: v.pipe(v.literal("chart"), v.title("Kind"), v.description("Tells a chart from other documents.")),
      version: v.pipe(v.literal(1), v.title("Version"), v.description("Version of this shape.")),
      title: line(200, "Title", "Printed above the music; may be empty."),
      heading: v.optional(line(200, "Heading", "A line below the title.")),
      key: keyText("Key", "The key, such as Eb major or C minor."),
      metre: metreText("Metre", "The first time signature, such as 4/4."),
      tempo: v.optional(
        v.pipe(v.number(), v.minValue(10), v.maxValue(1000), v.title("Tempo"), v.description("Pulses a minute.")),
      ),
      feel: v.optional(line(60, "Feel", "How it is played, in words.")),
      pickup: v.optional(exact("Pickup", "The first bar is a pickup of so many pulses.")),
      bars: v.pipe(
        v.array(barSchema),
        v.minLength(1),
        v.maxLength(MOST_BARS),
        v.title("Bars"),
        v.description("The bars as they are written."),
      ),
      guesses: v.optional(
        v.pipe(
          v.array(text(400, "Guess", "One thing taken for granted, with its place.")),
          v.maxLength(200),
          v.title("Guesses"),
          v.description("What the reader took for granted."),
        ),
      ),
    }),
    v.title("Chart"),
    v.description("Chord changes in bars, as a lead sheet writes them."),
  ))();
