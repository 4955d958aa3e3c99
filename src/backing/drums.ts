import type { Chance } from "../ground/chance.ts";
import { chanceOf, DEFAULT_SEED, seedSchema } from "../ground/chance.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { DrumEvent } from "../score/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  barStart,
  beats,
  compareBeats,
  divideBeats,
  floorBeats,
  formatMetre,
  multiplyBeats,
  pulseLength,
  pulseTime,
  subtractBeats,
} from "../time/index.ts";
import type { DrumCell, DrumChoice, DrumId, DrumLayer, DrumRow, DrumSound } from "./drum-catalogue.ts";
import { drumCatalogue, drumKeys } from "./drum-catalogue.ts";
import { pulsesIn } from "./slots.ts";

/** Options of {@link drumPart}. */
export interface DrumOptions {
  /** @defaultValue `"ride"` */
  readonly manner?: DrumId;
  /** Whole number; another seed varies the pattern otherwise. @defaultValue 1 */
  readonly seed?: number;
  /** Sounds to leave out, such as `["bass-drum"]`. The others stay as they are. @defaultValue none */
  readonly without?: readonly DrumSound[];
}

/**
 * The row of a manner of playing the drums.
 *
 * @throws MusicError `backing/drums` when there is no such row
 */
export function drumManner(id: string): DrumRow {
  const row = drumCatalogue.find((candidate) => candidate.id === id);
  if (row !== undefined) return row;
  const ids = drumCatalogue.map((candidate) => candidate.id);
  const near = nearestName(String(id), ids);
  throw new MusicError({
    code: "backing/drums",
    input: id,
    expected: `a manner of playing the drums: ${ids.join(", ")}`,
    ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
  });
}

/** The cell that fills a bar; `undefined` where the row has none. */
export const cellFor = (row: DrumRow, m: Metre): DrumCell | undefined => {
  const pulses = pulsesIn(m);
  return pulses === undefined ? undefined : row.cells.find((cell) => pulses % cell.pulses === 0);
};

const UNEVENNESS = 4;

const requireSounds = (sounds: readonly string[]): void => {
  const names = Object.keys(drumKeys);
  for (const sound of sounds) {
    if (names.includes(sound)) continue;
    const near = nearestName(sound, names);
    throw new MusicError({
      code: "backing/sound",
      input: sound,
      expected: `a sound of the kit: ${names.join(", ")}`,
      ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
    });
  }
};

/**
 * A drum part over so many bars, in exact written time: the pattern of the manner, each sound varied now and then by the seed, with velocities
 * up to four more or less than written.
 *
 * Offbeats are written as eighths and swing with the score's feel; in compound metres they are the last third of the beat, and the feel
 * has to be straight. A count-in is not part of it: the writer of MIDI files makes one on request.
 *
 * @returns strokes in order of time, then the longer and the lower key first, as in a score
 * @throws MusicError `backing/drums` for an unknown manner, `backing/seed` unless it is whole and from 0 to 4294967295, `backing/bars` unless there
 * is a whole number of bars from 1 to 10,000, `backing/sound` for a sound that the kit does not have, `backing/metre` when the manner has no bar of the metre
 *
 * @example
 * ```ts
 * import { drumPart, formatBeats, metre } from "hands-together";
 * import { drumKeys } from "hands-together/backing";
 *
 * const part = drumPart(1, metre("4/4"), { manner: "shuffle" });
 * part.filter((stroke) => stroke.midi === drumKeys["pedal-hi-hat"]).map((stroke) => formatBeats(stroke.at)); // => ["1", "3"]
 * ```
 */
export function drumPart(bars: number, m: Metre, options: DrumOptions = {}): readonly DrumEvent[] {
  const row = drumManner(options.manner ?? "ride");
  const without = options.without ?? [];
  requireSounds(without);
  if (!Number.isInteger(bars) || bars < 1 || bars > 10_000) {
    throw new MusicError({ code: "backing/bars", input: bars, expected: "a whole number of bars from 1 to 10,000" });
  }
  const cell = cellFor(row, m);
  if (cell === undefined) {
    const fitting = drumCatalogue.filter((other) => cellFor(other, m) !== undefined).map((other) => other.id);
    throw new MusicError({
      code: "backing/metre",
      input: formatMetre(m),
      expected: `a metre that ${row.id} drums have a bar of`,
      ...(fitting.length === 0 ? {} : { hint: `${fitting.join(", ")} fit` }),
      reason: "cannot-be-done",
    });
  }
  check(seedSchema, options.seed ?? DEFAULT_SEED, "backing/seed");
  const chance = chanceOf(options.seed ?? DEFAULT_SEED, 1);
  const cells = (pulsesIn(m) as number) / cell.pulses;
  const strokes = Array.from({ length: bars * cells }, (_, i) => {
    const start = addBeats(barStart(1 + Math.floor(i / cells), m), pulseTime(beats((i % cells) * cell.pulses), m));
    return cell.layers.flatMap((layer) => strokesOf(layer, i === bars * cells - 1, start, m, chance));
  }).flat();
  const left = strokes.filter((stroke) => !without.some((sound) => drumKeys[sound] === stroke.midi));
  const end = multiplyBeats(barLength(m), beats(bars));
  return apart(
    left.sort((a, b) => compareBeats(a.at, b.at)),
    end,
    m,
  ).sort((a, b) => compareBeats(a.at, b.at) || compareBeats(b.duration, a.duration) || a.midi - b.midi);
}

/** A stroke before its length is known. */
type Stroke = Pick<DrumEvent, "at" | "midi"> & { readonly velocity: number };

const strokesOf = (layer: DrumLayer, last: boolean, start: Beats, m: Metre, chance: Chance): readonly Stroke[] => {
  // Chance is drawn for every layer of every cell, so that a longer part begins as a shorter one does.
  const choice = chosen(layer.choices, chance);
  const strokes = choice.hits.map(
    (hit): Stroke => ({
      at: addBeats(start, pulseTime(beats(hit.at), m)),
      midi: drumKeys[layer.sound],
      velocity: hit.velocity + chance.between(-UNEVENNESS, UNEVENNESS),
    }),
  );
  return layer.last === true && !last ? [] : strokes;
};

const chosen = (choices: readonly DrumChoice[], chance: Chance): DrumChoice => {
  let draw = chance.between(
    1,
    choices.reduce((sum, choice) => sum + choice.weight, 0),
  );
  return choices.find((choice) => (draw -= choice.weight) <= 0) as DrumChoice;
};

// A stroke lasts as long as an offbeat, within its pulse, or until its sound is struck again.
const apart = (strokes: readonly Stroke[], end: Beats, m: Metre): DrumEvent[] => {
  const pulse = pulseLength(m);
  const longest = subtractBeats(pulse, pulseTime(beats("1/2"), m));
  const until = new Map<number, Beats>();
  return strokes.toReversed().map(({ at, midi, velocity }): DrumEvent => {
    const nextPulse = multiplyBeats(pulse, beats(floorBeats(divideBeats(at, pulse)) + 1));
    const ends = [addBeats(at, longest), nextPulse, until.get(midi) ?? end].reduce((a, b) =>
      compareBeats(a, b) <= 0 ? a : b,
    );
    until.set(midi, at);
    return { at, duration: subtractBeats(ends, at), midi, velocity };
  });
};
