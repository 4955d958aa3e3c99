import * as v from "valibot";
import type { NoteEvent } from "../event/index.ts";
import type { Chance } from "../ground/chance.ts";
import { chanceOf, DEFAULT_SEED, MOST_SEED, seedSchema } from "../ground/chance.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { Degree, NoteName, Pitch } from "../pitch/index.ts";
import {
  interval,
  midiNumber,
  noteName,
  parsePitch,
  pitchAtOrAbove,
  pitchClassOf,
  pitchFromMidi,
  signatureNotes,
  transposeNote,
} from "../pitch/index.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsToNumber,
  compareBeats,
  divideBeats,
  equalBeats,
  multiplyBeats,
} from "../time/index.ts";
import { barStartInMetres } from "../time/inner.ts";
import type { PitchRange } from "../voicing/index.ts";
import type { BassId, BassRow } from "./bass-catalogue.ts";
import { bassRow, rangeSchema } from "./bass-catalogue.ts";
import type { LineProblem } from "./line.ts";
import { bestLine, roleAt } from "./line.ts";
import type { BassSlot } from "./slots.ts";
import { slotsOf } from "./slots.ts";

/** Why the bass plays a note. */
export interface BassReason {
  /**
   * `"root"`: a new chord enters on its root (or on the note after the stroke); `"chord"`: a tone of the chord; `"approach"`: leads into the next
   * chord's root; `"passing"`: by step between its neighbours.
   */
  readonly role: "root" | "chord" | "approach" | "passing";
  /** The degree over the chord that sounds, where the note is one of its tones or of its scale. */
  readonly degree?: Degree;
  /** How an approach leads: from a semitone or a tone away, or from a fifth above (a fourth below). */
  readonly by?: "semitone" | "step" | "fifth";
}

/** A bass part and the reason for each of its notes. */
export interface BassLine {
  readonly kind: "bass-line";
  /** Sounding pitches; a double bass part is printed an octave higher. */
  readonly events: readonly NoteEvent[];
  /** One a note, in the same order. */
  readonly reasons: readonly BassReason[];
  /** Points of the taste that the line cost: the fewest possible. */
  readonly points: number;
}

/** Options of {@link bassLine}. */
export interface BassOptions {
  /** @defaultValue `"walking"` */
  readonly manner?: BassId | BassRow | undefined;
  /** Whole number; another seed is another mood of the same player. @defaultValue 1 */
  readonly seed?: number | undefined;
  /**
   * Sounding range, both ends included. E1 is the lowest string of a double bass (HyperPhysics, Georgia State University); that lines stay
   * below G3 is common practice, no source.
   *
   * @defaultValue that of the manner: E1 to G3, or narrower
   */
  readonly range?: PitchRange | undefined;
  /** Whether the first chord follows the last, as in a form that is played round and round. @defaultValue true */
  readonly loop?: boolean | undefined;
  /**
   * Whether the last chord is the end of the piece: its root is held as long as the chord lasts, and nothing leads on. Then `loop` is off.
   * @defaultValue false
   */
  readonly ending?: boolean | undefined;
}

const RANGE: PitchRange = { from: "E1", to: "G3" };

const optionsSchema = /* @__PURE__ */ v.strictObject({
  manner: v.optional(v.any()),
  seed: v.optional(v.any()),
  range: v.optional(rangeSchema),
  loop: v.optional(v.boolean()),
  ending: v.optional(v.boolean()),
});

/**
 * A bass line for a progression, in exact written time.
 *
 * What always holds: the root (or the note after the stroke) when a new chord enters; a chord tone on the first beat of every bar
 * (unless it is the one that leads to another chord); no move wider than an octave; no key struck twice running, but where chords of a single note
 * each keep their bass; everything inside the range. Walking, there is a note on every beat, the note before a new chord leads to its root by a semitone, a tone of the scale or a fifth, and every
 * other note is a chord tone or passes by step between its neighbours in one direction. Neighbouring spans of one chord count as one.
 * The bass rests where there is no chord.
 *
 * Of all lines that keep these rules, the one that costs the fewest points of the manner's taste is played, exactly: the seed hands each
 * note at each place a small handicap first. Chord and scale tones are spelled by degree, chromatic notes by the key, or natural, or by
 * direction: sharp when they rise, flat when they fall. Root on one and approach before it: common practice, no source.
 *
 * @throws MusicError `backing/bass` for an unknown manner, `backing/seed` unless it is whole and from 0 to 4294967295, `backing/metre` when
 * the manner has no bar of the metre, `backing/range` when no line keeps the rules inside the range
 *
 * @example
 * ```ts
 * import { bassLine, pitchName, parseProgression } from "hands-together";
 *
 * const { events, reasons } = bassLine(parseProgression("two-five-one", { key: "C" }));
 * events.length; // => 16
 * reasons[0]; // => { role: "root", degree: "1" }
 * events.filter((_, i) => reasons[i]?.role === "root").map((note) => note.pitches.map(pitchName)[0]?.slice(0, 1)); // => ["D", "G", "C"]
 * ```
 */
export function bassLine(progression: Progression | ProgressionRow | string, options: BassOptions = {}): BassLine {
  const changes = progressionOf(progression);
  check(optionsSchema, options, "backing/argument");
  check(seedSchema, options.seed ?? DEFAULT_SEED, "backing/seed");
  return lineOver(changes, bassRow(options.manner ?? "walking"), options);
}

/** A stretch of the form, and what its line leads to. */
interface Within {
  readonly from: Beats;
  readonly to: Beats;
  readonly then?: number | undefined;
}

/** As {@link bassLine}, of arguments that were checked, over all of the form or a stretch of it. */
export const lineOver = (progression: Progression, row: BassRow, options: BassOptions, within?: Within): BassLine => {
  const chance = chanceOf(options.seed ?? DEFAULT_SEED);
  const around = options.ending === true ? false : (options.loop ?? true);
  const range = options.range ?? row.range ?? RANGE;
  const [low, high] = [midiNumber(parsePitch(range.from)), midiNumber(parsePitch(range.to))];
  if (low > high)
    throw new MusicError({ code: "backing/range", input: range, expected: "a range from a lower to a higher pitch" });
  const places = slotsOf(progression, row, around, options.ending === true);
  const slots =
    within === undefined
      ? places
      : places.filter(({ at }) => compareBeats(at, within.from) >= 0 && compareBeats(at, within.to) < 0);
  const moods = moodsOf(slots, row, progression.metre, high - low, chance);

  const reasons: BassReason[] = [];
  const notes: NoteEvent[] = [];
  let points = 0;
  let first: number | undefined;
  for (const [from, to] of runsOf(slots)) {
    const wraps = around && to === slots.length && slots[to - 1]?.leads === true;
    const problem: LineProblem = {
      slots: slots.slice(from, to),
      row,
      low,
      high,
      moods: moods.slice(from, to),
      then: wraps
        ? from === 0
          ? "first"
          : first
        : to === slots.length && slots[to - 1]?.leads === true
          ? within?.then
          : undefined,
    };
    const line = bestLine(problem);
    if (line === undefined) throw tooNarrow(range, row);
    first ??= line.notes[0];
    points += line.points;
    problem.slots.forEach((slot, i) => {
      const note = line.notes[i] ?? low;
      const after = line.notes[i + 1] ?? (problem.then === "first" ? line.notes[0] : problem.then);
      const reason = reasonOf(problem, i, slot, line.notes[i - 1], note, after);
      const next = slots[(from + i + 1) % slots.length] ?? slot;
      reasons.push(reason);
      notes.push({ at: slot.at, duration: slot.duration, pitches: [spelled(note, after, slot, next, progression)] });
    });
  }
  return { kind: "bass-line", events: notes, reasons, points };
};

/** A manner from one bar to another, counted from 1, both included. */
export interface BassPart {
  readonly row: BassRow;
  readonly from: number;
  readonly to: number;
}

/** A line whose manner changes on the way: each part leads to the first note of the next, so that the last is made first. */
export const lineInParts = (
  progression: Progression,
  parts: readonly BassPart[],
  options: BassOptions,
): Pick<BassLine, "events" | "reasons"> => {
  if (parts.length === 1) return lineOver(progression, nth(parts, 0).row, options);
  const lines: BassLine[] = [];
  let then: number | undefined;
  for (const [i, { row, from, to }] of [...parts.entries()].reverse()) {
    const seed = ((options.seed ?? DEFAULT_SEED) + i) % (MOST_SEED + 1);
    const within = {
      from: barStartInMetres(progression, from),
      to: barStartInMetres(progression, to + 1),
      then,
    };
    const line = lineOver(progression, row, { ...options, seed, loop: false }, within);
    const [first] = line.events;
    then = first?.pitches[0] === undefined ? undefined : midiNumber(first.pitches[0]);
    lines.unshift(line);
  }
  return { events: lines.flatMap(({ events }) => events), reasons: lines.flatMap(({ reasons }) => reasons) };
};

const BARS_TO_A_POINT = 2;

// Heights are counted from the lowest note, so that a range moved as a whole moves the line with it.
const moodsOf = (
  slots: readonly BassSlot[],
  { taste }: BassRow,
  m: Metre,
  width: number,
  chance: Chance,
): readonly Int16Array[] => {
  const place = (slot: BassSlot): number =>
    beatsToNumber(divideBeats(slot.at, multiplyBeats(barLength(m), beats(BARS_TO_A_POINT))));
  const heights = Array.from({ length: Math.floor(Math.max(0, ...slots.slice(-1).map(place))) + 2 }, () =>
    chance.between(0, width),
  );
  const all = new Int16Array(slots.length * (width + 1));
  return slots.map((slot, i) => {
    const at = place(slot);
    const [from = 0, to = from] = heights.slice(Math.floor(at), Math.floor(at) + 2);
    const height = Math.round(from + (to - from) * (at - Math.floor(at)));
    const mood = all.subarray(i * (width + 1), (i + 1) * (width + 1));
    for (let note = 0; note <= width; note++)
      mood[note] = Math.round((taste.mood.shape * Math.abs(note - height)) / 10) + chance.between(0, taste.mood.whim);
    return mood;
  });
};

const tooNarrow = (range: PitchRange, row: BassRow): MusicError =>
  new MusicError({
    code: "backing/range",
    input: `${range.from} to ${range.to}`,
    expected: `a range in which a ${row.id} bass line can keep its rules`,
    hint: "two octaves are enough for any progression",
    reason: "cannot-be-done",
  });

// Slots without a gap between them, as [from, to).
const runsOf = (slots: readonly BassSlot[]): readonly (readonly [number, number])[] => {
  const starts = slots.flatMap((slot, i) => {
    const last = slots[i - 1];
    return last !== undefined && equalBeats(addBeats(last.at, last.duration), slot.at) ? [] : [i];
  });
  return starts.map((from, i) => [from, starts[i + 1] ?? slots.length] as const);
};

const reasonOf = (
  problem: LineProblem,
  i: number,
  slot: BassSlot,
  before: number | undefined,
  note: number,
  after: number | undefined,
): BassReason => {
  const degree = slot.harmony.tones[note % 12]?.degree;
  const role = slot.enters ? "root" : (roleAt(problem, i, before ?? -1, note, after ?? -1) ?? "chord");
  const move = Math.abs((after ?? note) - note);
  return {
    role,
    ...(degree === undefined ? {} : { degree }),
    ...(role === "approach" ? { by: move === 1 ? "semitone" : move === 2 ? "step" : "fifth" } : {}),
  };
};

const spelled = (
  note: number,
  after: number | undefined,
  slot: BassSlot,
  next: BassSlot,
  { key }: Pick<Progression, "key">,
): Pitch => {
  const rises = (after ?? note) > note;
  const plain = pitchFromMidi(note, rises ? "sharps" : "flats");
  const own = slot.harmony.tones[note % 12]?.note;
  const inKey = signatureNotes(key).find((name) => pitchClassOf(name) === note % 12);
  const fifth =
    slot.leads && Math.abs((after ?? note) - note) > 2
      ? transposeNote(next.harmony.chord.bass, interval("P5"))
      : undefined;
  return named(own ?? fifth ?? inKey ?? noteName(plain), plain);
};

// The same key under the given name.
const named = (note: NoteName, plain: Pitch): Pitch => {
  const p = pitchAtOrAbove(note, plain);
  return p.semitones === plain.semitones ? p : plain;
};
