import * as v from "valibot";
import type { Chance } from "../ground/chance.ts";
import { chanceOf, DEFAULT_SEED, MOST_SEED, seedSchema } from "../ground/chance.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { step } from "../ground/watch.ts";
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
  formatBeats,
  formatMetre,
  minBeats,
  multiplyBeats,
  parseMetre,
  pulseLength,
  pulseTime,
  subtractBeats,
} from "../time/index.ts";
import type { InMetres } from "../time/inner.ts";
import { metreStretches } from "../time/inner.ts";
import type { DrumCell, DrumId, DrumLayer, DrumRow, DrumSound } from "./drum-catalogue.ts";
import { drumCatalogue, drumKeys, drumRow, soundsSchema } from "./drum-catalogue.ts";
import { pulsesIn } from "./slots.ts";

/** Options of {@link drumPart}. */
export interface DrumOptions {
  /** An id of {@link drumCatalogue}, or a row. @defaultValue `"ride"` */
  readonly manner?: DrumId | DrumRow | undefined;
  /** Whole number; another seed varies the pattern otherwise. @defaultValue 1 */
  readonly seed?: number | undefined;
  /** Sounds to leave out, such as `["bass-drum"]`. The others stay as they are. @defaultValue none */
  readonly without?: readonly DrumSound[] | undefined;
  /** The bars, counted from 1, that end a section: there a fill leads on. @defaultValue every eighth bar, and the last */
  readonly fills?: readonly number[] | undefined;
  /** Whether the last bar is the end of the piece: one stroke of cymbal and bass drum on 1 that rings. @defaultValue false */
  readonly ending?: boolean | undefined;
}

/** The cell that fills a bar, or several whole bars; `undefined` where the row has none. */
export const cellFor = (row: DrumRow, m: Metre): DrumCell | undefined => {
  const pulses = pulsesIn(m);
  return pulses === undefined
    ? undefined
    : row.cells.find((cell) => pulses % cell.pulses === 0 || cell.pulses % pulses === 0);
};

const UNEVENNESS = 4;
const BARS_TO_A_FILL = 8;

const barsSchema = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(10_000));
const optionsSchema = /* @__PURE__ */ v.strictObject({
  manner: v.optional(v.any()),
  seed: v.optional(v.any()),
  without: v.optional(v.any()),
  fills: v.optional(v.pipe(v.array(barsSchema), v.maxLength(10_000))),
  ending: v.optional(v.boolean()),
});

/**
 * A drum part over so many bars, in exact written time: the pattern of the manner, each sound varied now and then by the seed, a fill where a
 * section ends, with velocities up to four more or less than written.
 *
 * Offbeats are written as eighths and swing with the score's feel; in compound metres they are the last third of the beat, and the feel
 * has to be straight. A count-in is not part of it: the writer of MIDI files makes one on request.
 *
 * @param m - the metre, or its time signature
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
export function drumPart(bars: number, m: Metre | string, options: DrumOptions = {}): readonly DrumEvent[] {
  check(barsSchema, bars, "backing/bars");
  check(metreOrName, m, "backing/metre");
  check(optionsSchema, options, "backing/argument");
  if (options.without !== undefined) check(soundsSchema, options.without, "backing/sound");
  check(seedSchema, options.seed ?? DEFAULT_SEED, "backing/seed");
  return drumsOver(bars, typeof m === "string" ? parseMetre(m) : m, drumRow(options.manner ?? "ride"), options);
}

const metreOrName = /* @__PURE__ */ v.union([
  v.string(),
  v.looseObject({ kind: v.literal("metre"), count: barsSchema, unit: v.picklist([1, 2, 4, 8, 16, 32]) }),
]);

/** Where sections end in a form that names none: common practice, no source. */
export const everyEight = (bars: number): readonly number[] =>
  Array.from({ length: Math.floor(bars / BARS_TO_A_FILL) }, (_, i) => (i + 1) * BARS_TO_A_FILL);

/** As {@link drumPart}, of arguments that were checked. */
export const drumsOver = (
  bars: number,
  m: Metre,
  row: DrumRow,
  options: DrumOptions & { readonly goesOn?: boolean },
): readonly DrumEvent[] => {
  const cell = cellFor(row, m);
  const pulses = pulsesIn(m);
  if (cell === undefined || pulses === undefined) {
    const fitting = drumCatalogue.filter((other) => cellFor(other, m) !== undefined).map((other) => other.id);
    throw new MusicError({
      code: "backing/metre",
      input: formatMetre(m),
      expected: `a metre that ${row.id} drums have a bar of`,
      ...(fitting.length > 0 && { hint: `${fitting.join(", ")} fit` }),
      reason: "cannot-be-done",
    });
  }
  const { without = [], ending = false, goesOn = false } = options;
  const fills = new Set([...(options.fills ?? everyEight(bars)), ...(goesOn ? [] : [bars])]);
  const chance = chanceOf(options.seed ?? DEFAULT_SEED, 1);
  const played = ending ? bars - 1 : bars;
  const cells = Math.ceil((played * pulses) / cell.pulses);
  const close = multiplyBeats(barLength(m), beats(played));
  // A cell plays the fill of the bar that it ends.
  const roleOf = (i: number): Role => {
    const pulse = (i + 1) * cell.pulses;
    return i === cells - 1 && !goesOn ? "last" : pulse % pulses === 0 && fills.has(pulse / pulses) ? "fill" : "within";
  };
  const layers = cell.layers.map((layer) => readyLayer(layer, cell, m));
  const strokes: Stroke[] = [];
  const heard: string[] = [];
  // Cells are drawn as many together as make whole bars.
  const together = Math.max(1, pulses / cell.pulses);
  for (let first = 0; first < cells; first += together) {
    step();
    const roles = Array.from({ length: Math.min(together, cells - first) }, (_, i) => roleOf(first + i));
    const draw = (): readonly (readonly Drawn[])[] => roles.map((role) => drawnCell(layers, role, chance));
    let drawn = draw();
    for (let tries = 1; tries < MOST_TRIES && shapesOf(drawn).some((bar) => heard.includes(bar)); tries++)
      drawn = draw();
    heard.push(...shapesOf(drawn));
    heard.splice(0, heard.length - BARS_REMEMBERED);
    drawn.forEach((hits, i) => {
      const start = pulseTime(beats((first + i) * cell.pulses), m);
      for (const stroke of hits.flatMap((hit) => strokesOf(hit, start, chance)))
        if (compareBeats(stroke.at, close) < 0) strokes.push(stroke);
    });
  }
  const final = ending ? FINAL.map((stroke) => ({ ...stroke, at: barStart(bars, m) })) : [];
  const left = [...strokes, ...final].filter((stroke) => !without.some((sound) => drumKeys[sound] === stroke.midi));
  const end = multiplyBeats(barLength(m), beats(bars));
  return apart(
    left.sort((a, b) => compareBeats(a.at, b.at)),
    end,
  ).sort((a, b) => compareBeats(a.at, b.at) || compareBeats(b.duration, a.duration) || a.midi - b.midi);
};

/** The same over a form whose metre may change: the manner where it has a bar of the metre, else the ride cymbal's, else nothing. */
export const drumsOverForm = (
  form: InMetres & { readonly bars: number },
  row: DrumRow,
  options: DrumOptions & { readonly goesOn?: boolean },
): readonly DrumEvent[] => {
  if (form.metres === undefined) return drumsOver(form.bars, form.metre, row, options);
  const stretches = metreStretches(form);
  const { seed = DEFAULT_SEED, fills = everyEight(form.bars), ending } = options;
  return stretches.flatMap(({ metre, bar, at, bars }, i) => {
    const last = i === stretches.length - 1;
    const own = i === 0 || cellFor(row, metre) !== undefined ? row : drumRow("ride");
    if (i > 0 && cellFor(own, metre) === undefined) return [];
    const count = Math.min(bars, form.bars - bar + 1);
    const inside = fills.map((one) => one - bar + 1).filter((one) => one >= 1 && one <= count);
    return drumsOver(count, metre, own, {
      ...options,
      seed: (seed + i) % (MOST_SEED + 1),
      fills: inside,
      ending: last && ending === true,
      goesOn: !last || options.goesOn === true,
    }).map((stroke) => ({ ...stroke, at: addBeats(stroke.at, at) }));
  });
};

/** A stroke before its length is known. */
type Stroke = Pick<DrumEvent, "at" | "midi"> & {
  readonly velocity: number;
  /** The longest that it may be; absent for what rings. */
  readonly most?: Beats;
};

// The piece ends on a cymbal that rings, the bass drum under it.
const FINAL: readonly Omit<Stroke, "at">[] = [
  { midi: drumKeys.crash, velocity: 70 },
  { midi: drumKeys["bass-drum"], velocity: 62 },
];

/** Where a cell stands: at the end of all, at the end of a section, or before. */
type Role = "last" | "fill" | "within";

// A player seldom says the same twice: what was played lately is drawn again, a few times. Our choice, no source.
const BARS_REMEMBERED = 28;
const MOST_TRIES = 12;

/** A choice with its places in quarter notes from the start of the cell, and in words: what is struck where in each of its bars. */
interface ReadyChoice {
  readonly hits: readonly { readonly at: Beats; readonly velocity: number; readonly most: Beats }[];
  readonly shapes: readonly string[];
}

/** A layer made ready for a metre, once for the whole part. */
interface ReadyLayer {
  readonly layer: DrumLayer;
  readonly choices: readonly (readonly [choice: ReadyChoice, weight: number])[];
}

const readyLayer = (layer: DrumLayer, { pulses }: DrumCell, m: Metre): ReadyLayer => {
  const bar = barLength(m);
  const pulse = pulseLength(m);
  const offbeat = subtractBeats(pulse, pulseTime(beats("1/2"), m));
  const bars = Math.max(1, pulses / (pulsesIn(m) ?? pulses));
  return {
    layer,
    choices: layer.choices.map(({ hits, weight }) => {
      const places = hits.map((hit) => {
        const at = pulseTime(beats(hit.at), m);
        const next = multiplyBeats(pulse, beats(floorBeats(divideBeats(at, pulse)) + 1));
        return { at, velocity: hit.velocity, most: minBeats(offbeat, subtractBeats(next, at)) };
      });
      const shapes = Array.from({ length: bars }, (_, i) => {
        const inBar = places.filter(({ at }) => floorBeats(divideBeats(at, bar)) === i);
        return `${drumKeys[layer.sound]}@${inBar.map(({ at }) => formatBeats(at)).join()} `;
      });
      return [{ hits: places, shapes }, weight] as const;
    }),
  };
};

/** What one layer plays in one cell. */
interface Drawn {
  readonly midi: number;
  readonly choice: ReadyChoice;
  readonly plays: boolean;
}

// Chance is drawn for every layer of every cell, so that a longer part begins as a shorter one does.
const drawnCell = (layers: readonly ReadyLayer[], role: Role, chance: Chance): readonly Drawn[] =>
  layers.map(({ layer, choices }) => ({
    midi: drumKeys[layer.sound],
    choice: chance.pick(choices),
    plays: plays(layer, role),
  }));

/** Each bar of cells as words; cells are shorter than a bar, or as long as several. */
const shapesOf = (cells: readonly (readonly Drawn[])[]): readonly string[] => {
  const heard = cells.map((cell) => cell.filter((drawn) => drawn.plays));
  if (heard.length > 1)
    return [heard.map((cell) => cell.map(({ choice }) => choice.shapes.join("")).join("")).join("/")];
  const [first = []] = heard;
  return (first[0]?.choice.shapes ?? [""]).map((_, i) => first.map(({ choice }) => choice.shapes[i] ?? "").join(""));
};

const strokesOf = ({ midi, choice, plays: heard }: Drawn, start: Beats, chance: Chance): readonly Stroke[] => {
  const strokes = choice.hits.map(({ at, velocity, most }) => ({
    at: addBeats(start, at),
    midi,
    velocity: velocity + chance.between(-UNEVENNESS, UNEVENNESS),
    most,
  }));
  return heard ? strokes : [];
};

const plays = (layer: DrumLayer, role: Role): boolean => {
  switch (layer.when) {
    case "last":
      return role === "last";
    case "fill":
      return role !== "within";
    case "between-fills":
      return role === "within";
    default:
      return true;
  }
};

// A stroke lasts as long as an offbeat, within its pulse, or until its sound is struck again; what rings, to the end.
const apart = (strokes: readonly Stroke[], end: Beats): DrumEvent[] => {
  const until = new Map<number, Beats>();
  return strokes.toReversed().flatMap(({ at, midi, velocity, most }): readonly DrumEvent[] => {
    const next = until.get(midi) ?? end;
    const ends = most === undefined ? next : minBeats(next, addBeats(at, most));
    // Two layers of a row may strike one sound together: it is one stroke.
    if (compareBeats(ends, at) <= 0) return [];
    until.set(midi, at);
    return [{ at, duration: subtractBeats(ends, at), midi, velocity }];
  });
};
