import * as v from "valibot";
import type { ChordTone } from "../chord/index.ts";
import type { NoteEvent } from "../event/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitchAtOrAbove, pitchClassOf } from "../pitch/index.ts";
import type { Chart, Progression } from "../progression/index.ts";
import { playChart, withMelody } from "../progression/index.ts";
import { chartOf } from "../progression/inner.ts";
import type { Beats } from "../time/index.ts";
import {
  addBeats,
  beats,
  beatsToNumber,
  compareBeats,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import type { NotatePerformanceOptions } from "./notate.ts";
import { notatePerformance } from "./notate.ts";
import type { MidiPerformance } from "./read.ts";
import { performanceShape } from "./shape.ts";

/** Options of {@link midiLeadSheet}. */
export interface MidiLeadSheetOptions extends Pick<NotatePerformanceOptions, "track" | "feel"> {
  /** Quarter notes of the file before bar 1 of the chart. @defaultValue the chart's pickup, else 0 */
  readonly before?: Beats | undefined;
}

const optionsShape = /* @__PURE__ */ v.strictObject({
  track: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  feel: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  before: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isBeats, "quarter notes")),
});

const fileShape = /* @__PURE__ */ (() =>
  v.looseObject({
    ...performanceShape.entries,
    tempos: v.array(v.looseObject({ tempo: v.number() })),
    metres: v.array(v.looseObject({ count: v.number(), unit: v.number() })),
  }))();

/**
 * A lead sheet from a chart and a melody in a MIDI file: the notes as they would be written, the swing taken out, each spelled as the chord
 * there has it, else as the key has it.
 *
 * The melody goes through the chart as it is played; see `withMelody`. Where the chart states no tempo, it takes the file's.
 *
 * @param performance - from `readMidi`
 * @param chart - a chart, or its text
 * @returns the chart with the melody; what was taken for granted stands in its guesses
 * @throws MusicError `midi/melody` when the track has no notes, `midi/track` when there is no such track, `progression/melody` when the melody
 * does not fit the chart, and what `parseChart` and `parseFeel` throw
 *
 * @example
 * ```ts
 * import { beats, makeScore, pitch, readMidi, writeMidi } from "hands-together";
 * import { midiLeadSheet } from "hands-together/midi";
 * import { writeLeadSheet } from "hands-together/musicxml";
 *
 * const right = ["G#4", "A4"].map((name, i) => ({ at: beats(4 * i), duration: beats(4), pitches: [pitch(name as "A4")] }));
 * const file = writeMidi(makeScore({ key: "C", metre: "4/4", bars: 2, right }), { touch: "plain" });
 * const chart = midiLeadSheet(readMidi(file), "E7 | Am");
 * chart.bars.map(({ melody }) => melody?.[0]?.pitches.join()); // => ["G#4", "A4"]
 * writeLeadSheet(chart).includes("<step>G</step>"); // => true
 * ```
 */
export function midiLeadSheet(
  performance: MidiPerformance,
  chart: Chart | string,
  options: MidiLeadSheetOptions = {},
): Chart {
  check(fileShape, performance, "midi/argument");
  check(optionsShape, options, "midi/argument");
  const given = chartOf(chart);
  const events = notatePerformance(performance, { track: options.track, feel: options.feel, key: given.key });
  if (events.length === 0)
    throw new MusicError({
      code: "midi/melody",
      input: options.track ?? "no track",
      expected: "a track with notes of the melody",
    });
  const progression = playChart(given);
  const pulse = pulseLength(parseMetre(given.metre));
  const before = options.before ?? (given.pickup === undefined ? ZERO : multiplyBeats(beats(given.pickup), pulse));
  const melody = events.map((event): NoteEvent => {
    const at = subtractBeats(event.at, before);
    return { ...event, at, pitches: spelledOver(event.pitches, at, progression) };
  });
  const sheet = withMelody(given, melody);
  const [metre] = performance.metres;
  const states = metre === undefined ? given.metre : `${metre.count}/${metre.unit}`;
  const tempo = (performance.tempos[0]?.tempo ?? 0) / beatsToNumber(pulse);
  return {
    ...sheet,
    ...(given.tempo === undefined && tempo >= 10 && tempo <= 1000 && { tempo: Math.round(100 * tempo) / 100 }),
    guesses: [
      ...sheet.guesses,
      ...(states === given.metre
        ? []
        : [`the melody's file states ${states}, and is read in the chart's ${given.metre}`]),
    ],
  };
}

// A tone of the chord is spelled as the chord has it.
const spelledOver = (pitches: readonly Pitch[], at: Beats, { chords }: Progression): readonly Pitch[] => {
  const here = chords.find(
    (span) => compareBeats(span.at, at) <= 0 && compareBeats(at, addBeats(span.at, span.duration)) < 0,
  );
  const tones: readonly ChordTone[] = here?.chord?.tones ?? [];
  return pitches.map((one) => {
    const tone = tones.find(({ note }) => pitchClassOf(note) === ((one.semitones % 12) + 12) % 12);
    return tone === undefined ? one : pitchAtOrAbove(tone.note, one);
  });
};
