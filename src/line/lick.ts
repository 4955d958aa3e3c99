import * as v from "valibot";
import type { NoteEvent } from "../event/index.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { pitchName } from "../pitch/index.ts";
import type { Chart } from "../progression/index.ts";
import { chartBars, parseChart } from "../progression/index.ts";
import type { Beats } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  divideBeats,
  floorBeats,
  formatBeats,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { ExerciseRow } from "./catalogue.ts";
import { exerciseRow } from "./catalogue.ts";
import type { Lick } from "./patterns/lick.ts";

/** A melody beside the chords that it goes over. */
export interface LickNotes {
  /**
   * Notes from the first bar line on: events of single pitches, or text such as `"D4 F4 A4 C5 B4*2 r"`: each an eighth note, or so many quarter
   * notes behind `*`; `r` is a rest.
   */
  readonly notes: readonly NoteEvent[] | string;
  /** The chords as a chart: `"Dm7 | G7 | Cmaj7"`. */
  readonly chords: string;
}

/** Options of {@link lickRow}. */
export interface LickOptions {
  /** @defaultValue from the title */
  readonly id?: string | undefined;
  /** @defaultValue that of the chart, else "A lick of my own" */
  readonly title?: string | undefined;
  /** 1 to 5. @defaultValue 3 */
  readonly level?: 1 | 2 | 3 | 4 | 5 | undefined;
  /** What it is for. @defaultValue to play it over every chord */
  readonly aim?: string | undefined;
  /** Where it comes from. @defaultValue "one's own" */
  readonly source?: string | undefined;
  /**
   * Chromatically every interval above the root stays; diatonically the degree stays, altered as each chord and its scale say.
   *
   * @defaultValue `"diatonically"`
   */
  readonly moved?: Lick["moved"] | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  id: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.string()),
  title: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.string()),
  level: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist([1, 2, 3, 4, 5])),
  aim: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.string()),
  source: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.string()),
  moved: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["chromatically", "diatonically"])),
});
const lickShape = /* @__PURE__ */ v.union([
  /* @__PURE__ */ v.looseObject({ kind: /* @__PURE__ */ v.literal("chart") }),
  /* @__PURE__ */ v.strictObject({
    notes: /* @__PURE__ */ v.union([v.string(), v.array(v.looseObject({}))]),
    chords: /* @__PURE__ */ v.string(),
  }),
]);

/**
 * A lick of your own as an exercise, which goes wherever a shipped one goes: exercises, drills, packets, and as data into JSON recipes. It is
 * carried through the chords of the changes, as many bars at a time as it has, each note over the chord that stands there. It starts in the octave
 * in which it was given, moved by the smallest interval: a tritone at most, up or down.
 *
 * @param lick - a chart with a melody (from `readLeadSheet`, or JSON), or notes beside their chords
 * @throws MusicError `line/exercise` for notes or chords that make no lick (two notes at once, more than 16 bars, moments off the grid of lines, an
 * id that is none), and what `parseChart` and `parsePitch` throw
 *
 * @example
 * ```ts
 * import { exerciseLine, pitchName } from "hands-together";
 * import { lickRow } from "hands-together/line";
 *
 * const row = lickRow({ notes: "D4 F4 A4 C5 B4*2", chords: "Dm7*2 G7*2" }, { title: "Down to the third" });
 * row.id; // => "down-to-the-third"
 * const { events } = exerciseLine(row, { scale: "Bb major", progression: "Cm7*2 F7*2 | Dm7*2 G7*2" });
 * events.map(({ pitches }) => pitches.map(pitchName).join()); // => ["C4", "Eb4", "G4", "Bb4", "A4", "D4", "F4", "A4", "C5", "B4"]
 * ```
 */
export function lickRow(lick: Chart | LickNotes, options: LickOptions = {}): ExerciseRow {
  check<unknown>(lickShape, lick, "line/exercise");
  check(optionsSchema, options, "line/argument");
  const pattern = isChart(lick) ? ofChart(lick, options) : ofNotes(lick, options);
  const title = options.title ?? (isChart(lick) && lick.title !== "" ? lick.title : "A lick of my own");
  return exerciseRow({
    id: options.id ?? idOf(title),
    title,
    level: options.level ?? 3,
    aim: options.aim ?? "Play your own melody over every chord of the changes, in every key.",
    needsChords: true,
    leastOctaves: 2,
    scaleFingers: false,
    pattern,
    source: options.source ?? "one's own",
  });
}

const isChart = (lick: Chart | LickNotes): lick is Chart => "kind" in lick;

const idOf = (title: string): string =>
  title
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 60)
    .replace(/-+$/, "") || "lick";

type Timed = { readonly at: Beats; readonly duration: Beats; readonly pitch: string };

const lickOf = (chart: Chart, notes: readonly Timed[], options: LickOptions): Lick => {
  const bars = chartBars(chart).filter(({ bar }) => bar > 0);
  const metre = parseMetre(chart.metre);
  const length = barLength(metre);
  const chords = bars.flatMap(({ chords: placed }, i) =>
    placed
      .filter(({ symbol }) => symbol !== "N.C.")
      .map(({ symbol, beat }) => ({
        at: addBeats(
          multiplyBeats(length, beats(i)),
          multiplyBeats(subtractBeats(beats(beat), beats(1)), pulseLength(metre)),
        ),
        symbol,
      })),
  );
  const end = notes.reduce((last, note) => (compareBeats(note.at, last) > 0 ? note.at : last), ZERO);
  return {
    over: "lick",
    moved: options.moved ?? "diatonically",
    metre: chart.metre,
    key: chart.key,
    bars: Math.max(bars.length, floorBeats(divideBeats(end, length)) + 1),
    chords: chords.map(({ at, symbol }) => ({ at: formatBeats(at), symbol })),
    notes: notes.map(({ at, duration, pitch }) => ({ at: formatBeats(at), duration: formatBeats(duration), pitch })),
  };
};

const ofChart = (chart: Chart, options: LickOptions): Lick => {
  const played = chartBars(chart).filter(({ bar }) => bar > 0);
  if (played.some(({ metre }) => metre !== chart.metre)) throw refused(chart.title, "one metre throughout");
  const length = barLength(parseMetre(chart.metre));
  const notes = played.flatMap(({ melody = [] }, i) =>
    melody.map(({ at, duration, pitches }) => ({
      at: addBeats(multiplyBeats(length, beats(i)), beats(at)),
      duration: beats(duration),
      // Of a chord its melody note.
      pitch: pitches.at(-1) ?? "",
    })),
  );
  if (notes.length === 0) throw refused(chart.title, "a chart with a melody");
  return lickOf(chart, notes, options);
};

const ofNotes = ({ notes, chords }: LickNotes, options: LickOptions): Lick => {
  const timed = typeof notes === "string" ? notesIn(notes) : notes.map(ofEvent);
  if (timed.length === 0) throw refused(notes, "at least one note");
  return lickOf(parseChart(chords), timed, options);
};

const ofEvent = (event: NoteEvent): Timed => {
  const [pitch, second] = Array.isArray(event.pitches) ? event.pitches : [];
  if (pitch === undefined || second !== undefined) throw refused(event, "one note at a time");
  return { at: event.at, duration: event.duration, pitch: pitchName(pitch) };
};

const notesIn = (text: string): readonly Timed[] => {
  let at: Beats = ZERO;
  return text
    .trim()
    .split(/\s+/)
    .slice(0, 1000)
    .flatMap((word): Timed[] => {
      const [, name = "", length = "1/2"] = /^([^*]+)(?:\*(\d{1,3}(?:\/[1-9]\d?)?))?$/.exec(word) ?? [];
      if (name === "") throw refused(word, "a note such as D4, D4*2 or a rest r*1/2");
      const start = at;
      const duration = beats(length);
      at = addBeats(at, duration);
      return /^r(?:est)?$/i.test(name) ? [] : [{ at: start, duration, pitch: name }];
    });
};

const refused = (input: unknown, expected: string): MusicError =>
  new MusicError({ code: "line/exercise", input, expected });
