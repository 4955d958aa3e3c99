import * as v from "valibot";
import type { NoteEvent } from "../event/index.ts";
import { chanceOf } from "../ground/chance.ts";
import { door, rowFields } from "../ground/door.ts";
import type { ScorePart } from "../swing/index.ts";
import { partFeel } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import {
  addBeats,
  beats,
  beatsOf,
  compareBeats,
  equalBeats,
  floorBeats,
  isCompound,
  subtractBeats,
} from "../time/index.ts";
import { placeInMetres } from "../time/inner.ts";
import type { Score } from "./score.ts";

/** How one part is struck: velocities are added to that of the part, lengths are hundredths of the sounding length. */
export interface PartTouch {
  /** MIDI velocity of a note with nothing to say. */
  readonly velocity: number;
  /** On the offbeats of a swung pair. */
  readonly offbeat: number;
  /** On a note above both its neighbours, a top of the contour. */
  readonly top: number;
  /** For each semitone above or below the middle of the part, in hundredths. */
  readonly high: number;
  /** On a note below both its neighbours, between two offbeats or two beats, as a ghosted note. */
  readonly ghost: number;
  /** On the last note of a phrase. */
  readonly end: number;
  /** Length of what starts on a beat, and of what starts off it, where another note follows at once. */
  readonly long: number;
  readonly short: number;
  /** Length of what is shorter than a quarter note and followed by a rest; a quarter note and more is held as `long` says. */
  readonly last: number;
}

/** A way to play what is written: how loud and how long. */
export interface TouchRow {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  /** Parts that it leaves alone are missing; drums have velocities of their own. */
  readonly parts: Readonly<Partial<Record<"right" | "left" | "bass", PartTouch>>>;
}

const KTH =
  "Friberg, Bresin & Sundberg (2006), Overview of the KTH rule system: the higher the louder, phrases that end softer, short last notes";
const BUSSE =
  "Busse (2002) for that pianists' offbeats differ from their beats in velocity and length; the sizes are our own";

const LINE: PartTouch = {
  velocity: 84,
  offbeat: 7,
  top: 8,
  high: 40,
  ghost: -16,
  end: -8,
  long: 98,
  short: 88,
  last: 70,
};
const COMPING: PartTouch = {
  velocity: 62,
  offbeat: 5,
  top: 0,
  high: 0,
  ghost: 0,
  end: 0,
  long: 92,
  short: 55,
  last: 60,
};
const BASS: PartTouch = {
  velocity: 82,
  offbeat: -10,
  top: 0,
  high: 0,
  ghost: 0,
  end: 0,
  long: 94,
  short: 80,
  last: 94,
};

/**
 * Ways to play what is written; a new one is one more row.
 *
 * @example
 * ```ts
 * import { touchCatalogue } from "hands-together/score";
 *
 * touchCatalogue.map((row) => row.id); // => ["plain", "played", "ballad"]
 * ```
 */
export const touchCatalogue = [
  {
    id: "plain",
    title: "As written: one velocity a part, full lengths",
    source: "common practice, no source",
    parts: {},
  },
  {
    id: "played",
    title: "As played: accents off the beat and on tops, ghosts, ends of phrases",
    source: `${KTH}; ${BUSSE}`,
    parts: { right: LINE, left: COMPING, bass: BASS },
  },
  {
    id: "ballad",
    title: "Sung: legato, tops and heights more than offbeats",
    source: `${KTH}; ${BUSSE}`,
    parts: {
      right: { ...LINE, velocity: 76, offbeat: 2, high: 60, ghost: -8, long: 100, short: 98, last: 90 },
      left: { ...COMPING, velocity: 54, offbeat: 0, long: 100, short: 90, last: 100 },
      bass: { ...BASS, velocity: 72, long: 98, last: 98 },
    },
  },
] as const satisfies readonly TouchRow[];

/** The ids of {@link touchCatalogue}. */
export type TouchId = (typeof touchCatalogue)[number]["id"];

const between = (least: number, most: number) => v.pipe(v.number(), v.integer(), v.minValue(least), v.maxValue(most));
const partTouch = /* @__PURE__ */ (() =>
  v.strictObject({
    velocity: between(1, 127),
    offbeat: between(-60, 60),
    top: between(-60, 60),
    high: between(-300, 300),
    ghost: between(-60, 60),
    end: between(-60, 60),
    long: between(5, 100),
    short: between(5, 100),
    last: between(5, 100),
  }))();

/** What a row of a touch must be. */
export const touchRowSchema = /* @__PURE__ */ (() =>
  v.strictObject({
    ...rowFields,
    parts: v.strictObject({
      right: v.optional(partTouch),
      left: v.optional(partTouch),
      bass: v.optional(partTouch),
    }),
  }))() as v.GenericSchema<TouchRow>;

/** The row that is meant. @throws MusicError `score/touch` */
export const touchRow = /* @__PURE__ */ door<TouchRow>(touchCatalogue, touchRowSchema, "score/touch", "a touch");

/** How one event is struck. */
export interface Stroke {
  readonly velocity: number;
  /** Hundredths of the sounding length. */
  readonly length: number;
}

const MIDDLE: Readonly<Record<"right" | "left" | "bass", number>> = { right: 60, left: 45, bass: 28 };

const topOf = (event: NoteEvent | undefined): number | undefined => event?.pitches.at(-1)?.semitones;

/** How each event of a part is struck; `undefined` for a part that the touch leaves alone. */
export const strokesOf = (
  score: Score,
  part: "right" | "left" | "bass",
  row: TouchRow,
): readonly Stroke[] | undefined => {
  const touch = row.parts[part];
  if (touch === undefined) return undefined;
  const events = score[part] ?? [];
  const ends = part === "right" ? (score.phrases ?? []).map((span) => addBeats(span.at, span.duration)) : [];
  const { ratio, unit } = partFeel(score.feel, part);
  const swung = ratio.first > ratio.second;
  return events.map((event, i): Stroke => {
    const end = addBeats(event.at, event.duration);
    const next = events[i + 1];
    const joined = next !== undefined && compareBeats(next.at, end) <= 0;
    const on = onBeat(event.at, score);
    const held = event.duration.num >= event.duration.den;
    const [before, here, after] = [topOf(events[i - 1]), topOf(event), topOf(next)];
    const beside = before !== undefined && after !== undefined && here !== undefined;
    const peak = beside && here > before && here > after;
    const pit =
      beside &&
      here < before &&
      here < after &&
      joined &&
      equalBeats(addBeats(events[i - 1]?.at ?? 0, events[i - 1]?.duration ?? 0), event.at);
    const last =
      ends.some((moment) => equalBeats(moment, end)) || (ends.length === 0 && part === "right" && next === undefined);
    const high = Math.round((touch.high * ((here ?? MIDDLE[part]) - MIDDLE[part])) / 100);
    const loud =
      touch.velocity +
      (swung && unit === "eighth" && !on ? touch.offbeat : 0) +
      (peak ? touch.top : 0) +
      (pit ? touch.ghost : 0) +
      (last ? touch.end : 0) +
      high;
    return {
      velocity: Math.min(127, Math.max(1, loud)),
      length: held ? touch.long : !joined ? touch.last : on ? touch.long : touch.short,
    };
  });
};

const onBeat = (at: Beats, score: Score): boolean => {
  const { beat, metre } = placeInMetres(score, at);
  return isCompound(metre) ? beat.den === 1 || beat.den === 3 : beat.den === 1;
};

/** The widest spread of timing that is offered, as a standard deviation. */
export const WIDEST_SPREAD = 30;

const OCTAVES = 8;
const STREAMS: Readonly<Record<ScorePart, number>> = { right: 11, left: 12, bass: 13, drums: 14 };

/**
 * How late (or early) a part is at a moment, in quarter notes: a drift of 1/f, steady within a beat, and a jitter of every stroke, half of the
 * variance each. Rounded to a 960th of a quarter note, and never more than two and a half standard deviations.
 *
 * Source: Hennig, H. et al. (2011), The nature and perception of fluctuations in human musical rhythms, PLoS ONE 6(10), e26457, for that
 * deviations of players are long-range correlated and listeners prefer them so; the drift is made after Voss, R. F. & Clarke, J. (1978), "1/f noise"
 * in music, Journal of the Acoustical Society of America 63, 258–263 (sums of dice that are thrown anew every 1, 2, 4 … beats).
 */
export const spreadOf = (score: Score, part: ScorePart, spreadMs: number, seed: number): ((at: Beats) => Beats) => {
  if (spreadMs === 0) return () => beats(0);
  const drift = chanceOf(seed, STREAMS[part]);
  const jitter = chanceOf(seed, STREAMS[part] + 10);
  const dice = Array.from({ length: OCTAVES }, () => 0);
  const first = floorBeats(subtractBeats(0, score.pickup));
  const drifts: number[] = [];
  const known = new Map<string, number>();
  const driftAt = (beat: number): number => {
    for (let b = drifts.length; b <= beat; b++) {
      for (let k = 0; k < OCTAVES; k++) if (b % 2 ** k === 0) dice[k] = drift.normal();
      drifts.push(dice.reduce((sum, die) => sum + die, 0) / Math.sqrt(OCTAVES));
    }
    return drifts[beat] ?? 0;
  };
  const ticks = (spreadMs * score.tempo * 960) / 60_000;
  return (at) => {
    const key = `${at.num}/${at.den}`;
    const stroke = known.get(key) ?? jitter.normal();
    known.set(key, stroke);
    const wide = Math.max(-2.5, Math.min(2.5, (driftAt(Math.max(0, floorBeats(at) - first)) + stroke) / Math.SQRT2));
    return beatsOf(Math.round(wide * ticks), 960);
  };
};
