import * as v from "valibot";
import type { NoteEvent } from "../event/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { comparePitches, pitchName } from "../pitch/index.ts";
import { isPitch } from "../pitch/inner.ts";
import type { Beats } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  divideBeats,
  formatBeats,
  minBeats,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import { chartOf } from "./chart.ts";
import type { Chart, ChartBar, ChartNote } from "./document.ts";
import type { PlayedBar } from "./play.ts";
import { playBars } from "./play.ts";

const MOST_NOTES = 20_000;

const eventsSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      at: /* @__PURE__ */ shapeOf(isBeats, "a moment in quarter notes"),
      duration: /* @__PURE__ */ shapeOf(isBeats, "a length in quarter notes"),
      pitches: /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.array(/* @__PURE__ */ shapeOf(isPitch, "a pitch")),
        /* @__PURE__ */ v.minLength(1),
        /* @__PURE__ */ v.maxLength(10),
      ),
    }),
  ),
  /* @__PURE__ */ v.maxLength(MOST_NOTES),
);

const refused = (input: unknown, expected: string, hint?: string): MusicError =>
  new MusicError({ code: "progression/melody", input, expected, hint });

/** A bar of a chart in time. */
interface TimedBar extends PlayedBar {
  readonly at: Beats;
  readonly length: Beats;
}

/** The bars of a chart as played, with their moments in quarter notes from bar 1; a pickup lies before it. */
export const timedBars = (chart: Chart): readonly TimedBar[] => {
  const short = chart.pickup === undefined ? undefined : quarters(chart.pickup, chart.metre);
  let at = short === undefined ? ZERO : subtractBeats(ZERO, short);
  return playBars(chart).map((bar) => {
    const length = bar.bar === 0 && short !== undefined ? short : barLength(parseMetre(bar.metre));
    const timed = { ...bar, at, length };
    at = addBeats(at, length);
    return timed;
  });
};

const quarters = (pulses: string, metre: string): Beats => multiplyBeats(beats(pulses), pulseLength(parseMetre(metre)));

/**
 * A chart with a melody over it, in place of any that it had. The melody goes through the chart as it is played, from bar 1 on; what lies before
 * it is the pickup, for which the chart gets a bar where it has none.
 *
 * Each written bar holds its notes once. Where a repeat is played with other notes, the chart is written out as it is played, and a guess says so;
 * so does one where the melody ends before the chart. Of notes that overlap the first ends where the next begins.
 *
 * @param chart - a chart, or its text
 * @param melody - notes in order of time, in quarter notes from bar 1
 * @throws MusicError `progression/melody` for notes out of order, more than a bar before bar 1, or after the last bar; and what `parseChart` throws
 *
 * @example
 * ```ts
 * import { beats, pitch } from "hands-together";
 * import { withMelody } from "hands-together/progression";
 *
 * const melody = [{ at: beats(-1), duration: beats(1), pitches: [pitch("G4")] }, { at: beats(0), duration: beats(6), pitches: [pitch("E5")] }];
 * const chart = withMelody("C | F", melody);
 * chart.pickup; // => "1"
 * chart.bars[1]?.melody; // => [{ at: "0", duration: "6", pitches: ["E5"] }]
 * ```
 */
export function withMelody(chart: Chart | string, melody: readonly NoteEvent[]): Chart {
  check(eventsSchema, melody, "progression/melody");
  const given = chartOf(chart);
  const notes = cut(melody);
  const [first] = notes;
  const bare = { ...given, bars: given.bars.map(({ melody: _, ...bar }): ChartBar => bar) };
  if (first === undefined) return bare;
  const whole = withPickup(bare, first.at);
  const bars = timedBars(whole);
  const last = bars.at(-1);
  const end = last === undefined ? ZERO : addBeats(last.at, last.length);
  const late = notes.find(({ at }) => compareBeats(at, end) >= 0);
  if (late !== undefined)
    throw refused(
      `a note at ${formatBeats(late.at)}`,
      `a melody within the chart, which ends after ${formatBeats(end)} quarter notes`,
      "write out the chart for as long as the melody lasts, or cut the melody",
    );
  const held = bars.map((bar) => notesIn(bar, notes, end));
  const told = [...whole.guesses];
  const silent = held.length - 1 - held.findLastIndex((own) => own.length > 0);
  const lastNote = notes.at(-1);
  const sounds = lastNote === undefined ? ZERO : addBeats(lastNote.at, lastNote.duration);
  if (silent > 0 && bars[held.length - silent] !== undefined) {
    const quiet = bars.filter(({ at }) => compareBeats(at, sounds) >= 0);
    if (quiet[0] !== undefined) told.push(`the melody ends before bar ${quiet[0].bar} of ${last?.bar ?? 0}`);
  }
  const chosen = new Map<number, readonly ChartNote[]>();
  const differs = bars.find(({ written }, i) => {
    const before = chosen.get(written);
    chosen.set(written, before ?? held[i] ?? []);
    return before !== undefined && JSON.stringify(before) !== JSON.stringify(held[i]);
  });
  if (differs === undefined)
    return {
      ...whole,
      guesses: told,
      bars: whole.bars.map((bar, i) => withNotes(bar, chosen.get(i) ?? [])),
    };
  told.push(`repeats written out, since the melody of bar ${differs.bar} differs from the first time`);
  return { ...whole, guesses: told, bars: writtenOut(whole, bars).map((bar, i) => withNotes(bar, held[i] ?? [])) };
}

const withNotes = (bar: ChartBar, melody: readonly ChartNote[]): ChartBar =>
  melody.length === 0 ? bar : { ...bar, melody };

// One voice: a note ends where the next begins.
const cut = (melody: readonly NoteEvent[]): readonly NoteEvent[] =>
  melody.map((event, i) => {
    const next = melody[i + 1];
    if (event.duration.num <= 0) throw refused(formatBeats(event.duration), "notes of some length");
    if (next === undefined) return event;
    if (compareBeats(next.at, event.at) <= 0)
      throw refused(formatBeats(next.at), "notes in order of time, each at its own");
    return { ...event, duration: minBeats(event.duration, subtractBeats(next.at, event.at)) };
  });

// A bar of whole pulses for what lies before bar 1.
const withPickup = (chart: Chart, from: Beats): Chart => {
  if (from.num >= 0) return chart;
  const metre = parseMetre(chart.metre);
  const before = subtractBeats(ZERO, from);
  if (chart.pickup !== undefined) {
    if (compareBeats(before, quarters(chart.pickup, chart.metre)) <= 0) return chart;
    throw refused(formatBeats(from), `a pickup of at most ${chart.pickup} beats, as the chart has it`);
  }
  if (compareBeats(before, barLength(metre)) >= 0)
    throw refused(formatBeats(from), "a melody that begins less than a bar before bar 1");
  const pulses = divideBeats(before, pulseLength(metre));
  const up = Math.ceil(pulses.num / pulses.den);
  const whole = compareBeats(multiplyBeats(beats(up), pulseLength(metre)), barLength(metre)) < 0;
  return { ...chart, pickup: whole ? String(up) : formatBeats(pulses), bars: [{ chords: [] }, ...chart.bars] };
};

const notesIn = ({ at: from, length }: TimedBar, notes: readonly NoteEvent[], end: Beats): readonly ChartNote[] => {
  const to = addBeats(from, length);
  return notes
    .filter(({ at }) => compareBeats(at, from) >= 0 && compareBeats(at, to) < 0)
    .map(({ at, duration, pitches, graces = [] }) => ({
      at: formatBeats(subtractBeats(at, from)),
      duration: formatBeats(minBeats(duration, subtractBeats(end, at))),
      pitches: [...pitches].sort(comparePitches).map(pitchName),
      ...(graces.length > 0 && { graces: graces.map(({ pitch }) => pitchName(pitch)) }),
    }));
};

/** The bars as they are played, without repeats and jumps. */
const writtenOut = (chart: Chart, played: readonly PlayedBar[]): readonly ChartBar[] =>
  played.map(({ written, section, metre, key, chords }, i) => {
    const before = played[i - 1];
    const begins = section !== undefined && (section !== before?.section || chart.bars[written]?.section !== undefined);
    return {
      chords,
      ...(begins && { section }),
      ...(metre !== (before?.metre ?? chart.metre) && { metre }),
      ...(key !== (before?.key ?? chart.key) && { key }),
    };
  });
