import * as v from "valibot";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import type { Chance } from "../ground/chance.ts";
import { chanceOf, DEFAULT_SEED, seedSchema } from "../ground/chance.ts";
import { check, shapeOf } from "../ground/check.ts";
import type { Pitch } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  beats,
  beatsToNumber,
  compareBeats,
  divideBeats,
  equalBeats,
  pulseLength,
  pulseTime,
  ZERO,
} from "../time/index.ts";
import { isMetreChanges, metreIn } from "../time/inner.ts";
import type { CompingHit } from "./catalogue.ts";
import type { CompOptions } from "./comp.ts";
import { requireChords } from "./comp.ts";
import type { LaidOutChord } from "./lay-out.ts";
import type { CompingCell, CompingMannerId, CompingMannerRow } from "./manner-catalogue.ts";
import { compingMannerRow, pickupRow } from "./row.ts";
import { melodySchema } from "./shape.ts";
import type { InBar, Stroke } from "./strokes.ts";
import { asEvent, barsOf, endOf, strokeAt, withoutOverlaps, withPickups } from "./strokes.ts";

/** Why a drawn chord is struck. */
export interface CompingReason {
  /**
   * `"entry"`: the chord enters; `"early"`: it is struck before its time; `"answer"`: the line rests; `"support"`: again, under the line or where
   * there is none; `"pickup"`: leads into the next chord.
   */
  readonly role: "entry" | "early" | "answer" | "support" | "pickup";
}

/** Comping that was drawn as it listened to a line. */
export interface DrawnComping {
  readonly kind: "drawn-comping";
  /** The id of the manner's row. */
  readonly manner: string;
  readonly seed: number;
  /** In order of time, one at a time. */
  readonly events: readonly NoteEvent[];
  /** One an event, in the same order. */
  readonly reasons: readonly CompingReason[];
}

/** Options of {@link compAlong}. */
export interface CompAlongOptions extends Pick<CompOptions, "metre" | "metres" | "pickup" | "hand"> {
  /** By its id, or a row of your own. @defaultValue `"listening"` */
  readonly manner?: CompingMannerId | CompingMannerRow | undefined;
  /** The line that it listens to, in order of time. @defaultValue none */
  readonly melody?: readonly NoteEvent[] | undefined;
  /** 1 for a chord a bar, on the beat, to 5 for all that the manner plays; from 3 on chords come early. @defaultValue 3 */
  readonly level?: 1 | 2 | 3 | 4 | 5 | undefined;
  /** Quarter notes a minute: above 160, the faster, the fewer strokes. @defaultValue 120 */
  readonly tempo?: number | undefined;
  /** A whole number from 0 to 4294967295: the same seed, the same strokes. @defaultValue 1 */
  readonly seed?: number | undefined;
}

const optionsSchema = /* @__PURE__ */ (() =>
  v.strictObject({
    metre: v.unknown(),
    metres: v.optional(shapeOf(isMetreChanges, "changes of metre in order of their bars")),
    pickup: v.optional(v.unknown()),
    hand: v.optional(v.picklist(["left", "right"])),
    manner: v.optional(v.unknown()),
    melody: v.optional(v.unknown()),
    level: v.optional(v.picklist([1, 2, 3, 4, 5])),
    tempo: v.optional(v.pipe(v.number(), v.minValue(10), v.maxValue(1000))),
    seed: v.optional(seedSchema),
  }))();

/**
 * Comping that listens: for each bar of each chord a figure is drawn by chance from the manner's rows, so that few strokes fall under a phrase of
 * the line and more in its rests, where they answer.
 *
 * What always holds: every chord is heard while it lasts or at most half a pulse before; nothing is struck again, early or in another position
 * where a long note of the line would lie a semitone or a minor ninth from it or below its top; where a chord lasts for several bars and has
 * other positions (`others`), each bar takes another than the one before. Density follows level and tempo. With a pickup nothing comes early.
 *
 * Leaps and quick repetition are not safe for every hand: warm up, start slowly, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * @param chords - in order of time, not overlapping, at most 20,000 bars in all
 * @throws MusicError `comping/manner` or `comping/pickup` when there is no such row; `comping/chords` for chords that are out of order or too
 * many; `comping/melody` for a line that is out of order
 *
 * @example
 * ```ts
 * import { beats, pitch } from "hands-together";
 * import { compAlong } from "hands-together/comping";
 *
 * const shell = [pitch("E3"), pitch("B3")];
 * const chord = { at: beats(0), duration: beats(8), root: pitch("C3"), fifth: pitch("G2"), chord: shell, all: shell };
 * const line = [0, 1, 2].map((beat) => ({ at: beats(beat), duration: beats(1), pitches: [pitch("D5")] }));
 * const { events, reasons } = compAlong([chord], { metre: "4/4", melody: line, level: 4, seed: 3 });
 * reasons[0]?.role; // => "entry"
 * events.length === reasons.length; // => true
 * ```
 */
export function compAlong(chords: readonly LaidOutChord[], options: CompAlongOptions): DrawnComping {
  check(optionsSchema, options, "comping/argument");
  const metre = metreIn(options.metre);
  requireChords(chords, metre);
  if (options.melody !== undefined) check(melodySchema, options.melody, "comping/melody");
  return drawnOver(compingMannerRow(options.manner ?? "listening"), chords, { ...options, metre });
}

/** As {@link compAlong}, of what has been checked. */
export const drawnOver = (
  row: CompingMannerRow,
  chords: readonly LaidOutChord[],
  options: CompAlongOptions & { readonly metre: Metre },
): DrawnComping => {
  const { level = 3, tempo = 120, seed = DEFAULT_SEED, melody = [], pickup = false, hand = "left" } = options;
  const mood: Mood = {
    row,
    line: heard(melody, options.metre),
    wish: ((row.density[level - 1] ?? 20) * Math.min(1, TEMPO_OF_FEWER / tempo)) / 10,
    cells: row.cells.filter((cell) => cell.level <= level),
    early: pickup === false,
    chance: chanceOf(seed, STREAM),
  };
  const strokes = withoutOverlaps(drawn(chords, mood, options));
  const struck = new Map(strokes.map((stroke) => [`${stroke.at.num}/${stroke.at.den}`, stroke]));
  const roleOf = ({ at, pitches }: NoteEvent): CompingReason["role"] => {
    const stroke = struck.get(`${at.num}/${at.den}`);
    return stroke?.pitches === pitches || stroke?.right === pitches ? stroke.role : "pickup";
  };
  const events =
    hand === "right"
      ? strokes.flatMap((stroke) => (stroke.right.length === 0 ? [] : [asEvent({ ...stroke, pitches: stroke.right })]))
      : pickup === false
        ? strokes.map(asEvent)
        : withPickups(strokes, chords, false, pickupRow(pickup === true ? "fifth" : pickup), options).filter(
            // What a pickup leaves of a chord that does not enter there is a grain.
            (event) =>
              compareBeats(event.duration, pulseTime(beats("1/2"), options.metre)) >= 0 ||
              ["pickup", "entry"].includes(roleOf(event)),
          );
  return {
    kind: "drawn-comping",
    manner: row.id,
    seed,
    events,
    reasons: events.map((event): CompingReason => ({ role: roleOf(event) })),
  };
};

// Beside those of bass and drums, which are 0 and 1.
const STREAM = 2;
const TEMPO_OF_FEWER = 160;

/** What a player goes by. */
interface Mood {
  readonly row: CompingMannerRow;
  readonly line: Heard | undefined;
  /** Strokes in four pulses. */
  readonly wish: number;
  readonly cells: readonly CompingCell[];
  /** Whether chords may come early. */
  readonly early: boolean;
  readonly chance: Chance;
}

interface DrawnStroke extends Stroke {
  readonly role: CompingReason["role"];
}

/** A place of a stretch where something is struck. */
interface Place {
  readonly from: Beats;
  readonly hit: CompingHit;
}

const drawn = (
  chords: readonly LaidOutChord[],
  mood: Mood,
  form: CompAlongOptions & { readonly metre: Metre },
): readonly DrawnStroke[] => {
  let before: TimeSpan | undefined;
  let last: CompingCell | undefined;
  let under = "";
  return chords.flatMap((chord) => {
    const ways = chord.right === undefined ? [chord, ...(chord.others ?? [])] : [chord];
    const names = ways.map(({ all }) => nameOf(chord, all));
    // A chord that is written again lasts.
    let way = names.indexOf(under);
    return barsOf(chord, form).flatMap((stretch, i): readonly DrawnStroke[] => {
      const { metre } = stretch;
      const room = before !== undefined && equalBeats(endOf(before), stretch.at);
      const lead = addBeats(stretch.at, pulseTime(beats("-1/2"), metre));
      const clear = (at: Beats, to: Beats, pitches: readonly Pitch[]): boolean =>
        mood.line === undefined || mood.line.clear(beatsToNumber(at), beatsToNumber(to), pitches);
      const mayLead =
        mood.early && room && compareBeats(before?.at ?? ZERO, lead) < 0 && clear(lead, stretch.at, chord.all);
      const places: Place[] = [];
      for (const { from, pulses } of partsOf(stretch, mood.row)) {
        const cell = cellFor(mood, last, {
          at: (place) => addBeats(stretch.at, pulseTime(addBeats(from, beats(place)), metre)),
          pulses,
          enters: i === 0 && from.num === 0,
          early: mood.early && (from.num > 0 || mayLead),
        });
        last = cell;
        for (const hit of cell.hits) {
          const place = addBeats(from, beats(hit.at));
          const after = places.at(-1);
          if (after === undefined || compareBeats(after.from, place) < 0) places.push({ from: place, hit });
        }
      }
      way = way < 0 || ways.length === 1 ? 0 : (way + 1 + mood.chance.below(ways.length - 1)) % ways.length;
      under = names[way] ?? "";
      const other = { ...chord, ...ways[way] };
      const strokes = places.flatMap(({ from, hit }): readonly DrawnStroke[] => {
        const moved = strokeAt(from, hit, stretch, other, metre);
        if (compareBeats(moved.at, endOf(stretch)) >= 0) return [];
        const own = strokeAt(from, hit, stretch, chord, metre);
        const role =
          i === 0 && moved.early ? "early" : i === 0 && from === places[0]?.from ? "entry" : roleAt(mood, moved.at);
        if (clear(moved.at, moved.end, moved.pitches)) return [{ ...moved, role }];
        return role === "entry" || clear(own.at, own.end, own.pitches) ? [{ ...own, role }] : [];
      });
      before = stretch;
      if (i > 0 || strokes.length > 0) return strokes;
      return [{ ...strokeAt(ZERO, { at: "0", hold: "end", play: "all" }, stretch, chord, metre), role: "entry" }];
    });
  });
};

const nameOf = ({ root }: LaidOutChord, pitches: readonly Pitch[]): string =>
  [root, ...pitches].map(({ semitones }) => semitones).join();

const roleAt = ({ line }: Mood, at: Beats): "answer" | "support" =>
  line !== undefined && !line.sings(beatsToNumber(at)) ? "answer" : "support";

interface Part {
  readonly from: Beats;
  readonly pulses: number;
}

/** A stretch as cells fill it, the longest first. */
const partsOf = (stretch: InBar, { cells }: CompingMannerRow): readonly Part[] => {
  const pulses = Math.ceil(beatsToNumber(divideBeats(stretch.duration, pulseLength(stretch.metre))));
  const parts: Part[] = [];
  for (let from = 0; from < pulses; ) {
    const longest = cells.reduce(
      (most, cell) => (cell.pulses <= pulses - from && cell.pulses > most ? cell.pulses : most),
      1,
    );
    parts.push({ from: beats(from), pulses: longest });
    from += longest;
  }
  return parts;
};

interface Asked {
  readonly at: (place: string) => Beats;
  readonly pulses: number;
  /** A chord enters: something must be struck. */
  readonly enters: boolean;
  readonly early: boolean;
}

// How much less likely the further from what is wished for, by halves of a stroke; and how much rather in a rest. Our choice, no source.
const NEARNESS = [64, 24, 6, 2, 1] as const;
const RATHER_IN_RESTS = 4;
const UNDER_PHRASE = 0.4;
const IN_RESTS = 1.7;
const MOST_WEIGHT = 100_000;

const cellFor = (mood: Mood, last: CompingCell | undefined, asked: Asked): CompingCell => {
  const { line, chance } = mood;
  const fitting = mood.cells.filter(
    ({ pulses, hits }) =>
      pulses === asked.pulses &&
      (hits.length > 0 || !asked.enters) &&
      (asked.early || hits.every((hit) => !hit.at.startsWith("-"))),
  );
  const sings = (place: string): boolean => line?.sings(beatsToNumber(asked.at(place))) === true;
  const halves = Array.from({ length: 2 * asked.pulses }, (_, i) => `${i}/2`);
  const share = halves.filter(sings).length / halves.length;
  const room = line === undefined ? 1 : IN_RESTS - (IN_RESTS - UNDER_PHRASE) * share;
  const wish = (mood.wish * asked.pulses * room) / 4;
  return chance.pick(
    fitting.map((cell) => {
      const near = NEARNESS[Math.min(NEARNESS.length - 1, Math.round(2 * Math.abs(cell.hits.length - wish)))] ?? 1;
      const answers = line === undefined ? 0 : cell.hits.filter((hit) => !sings(hit.at)).length;
      const weight = cell.weight * near * RATHER_IN_RESTS ** Math.min(answers, 4);
      return [cell, Math.min(MOST_WEIGHT, Math.ceil(cell === last ? weight / 2 : weight))] as const;
    }),
  );
};

/** A line as a player at its side hears it. */
interface Heard {
  /** Whether a phrase sounds at a moment; rests shorter than a pulse belong to it. */
  readonly sings: (at: number) => boolean;
  /** Whether these pitches lie under the line, and no note that is held for a pulse rubs against them. */
  readonly clear: (from: number, to: number, pitches: readonly Pitch[]) => boolean;
}

const NEAR = 1e-9;
const RUBS: readonly number[] = [-1, 1, 13];

const heard = (melody: readonly NoteEvent[], metre: Metre): Heard | undefined => {
  if (melody.length === 0) return undefined;
  const pulse = beatsToNumber(pulseLength(metre));
  const notes = melody.map((event) => ({
    from: beatsToNumber(event.at),
    to: beatsToNumber(endOf(event)),
    pitches: event.pitches.map(({ semitones }) => semitones),
  }));
  const phrases: { from: number; to: number }[] = [];
  for (const { from, to } of notes) {
    const last = phrases.at(-1);
    if (last !== undefined && from - last.to < pulse - NEAR) last.to = Math.max(last.to, to);
    else phrases.push({ from, to });
  }
  const longest = notes.reduce((most, { from, to }) => Math.max(most, to - from), 0);
  return {
    sings: (at) => {
      const phrase = phrases[firstFrom(phrases, at + NEAR) - 1];
      return phrase !== undefined && at < phrase.to - NEAR;
    },
    clear: (from, to, pitches) => {
      const own = pitches.map(({ semitones }) => semitones);
      const top = Math.max(...own);
      for (let i = firstFrom(notes, from - longest); i < notes.length; i++) {
        const note = notes[i];
        if (note === undefined || note.from >= to - NEAR) return true;
        if (note.to <= from + NEAR) continue;
        const held = Math.min(note.to, to) - Math.max(note.from, from) >= pulse - NEAR;
        const rubs = note.pitches.some(
          (pitch) => pitch <= top || (held && own.some((one) => RUBS.includes(pitch - one))),
        );
        if (rubs) return false;
      }
      return true;
    },
  };
};

/** The first place in a list, in order of time, whose start lies at a moment or after it. */
const firstFrom = (spans: readonly { readonly from: number }[], moment: number): number => {
  let [low, high] = [0, spans.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((spans[middle]?.from ?? 0) < moment) low = middle + 1;
    else high = middle;
  }
  return low;
};
