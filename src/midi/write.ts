import * as v from "valibot";
import { CAUTION } from "../ground/caution.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Key } from "../pitch/index.ts";
import type { Score, SoundingNote, TouchId, TouchRow } from "../score/index.ts";
import { scoreEnd, soundingNotes } from "../score/index.ts";
import { checkScore } from "../score/inner.ts";
import type { ScorePart } from "../swing/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsOf,
  divideBeats,
  floorBeats,
  multiplyBeats,
  pulseLength,
  subtractBeats,
} from "../time/index.ts";
import { barStartInMetres, metreStretches } from "../time/inner.ts";
import { ByteWriter } from "./bytes.ts";
import type { TrackRow } from "./catalogue.ts";
import { COUNT_IN, TRACKS } from "./catalogue.ts";

/**
 * Ticks to a quarter note in the files that {@link writeMidi} makes.
 *
 * @example
 * ```ts
 * import { TICKS_PER_QUARTER } from "hands-together/midi";
 *
 * TICKS_PER_QUARTER / 3; // => 320
 * ```
 */
export const TICKS_PER_QUARTER = 960;

/** Options of {@link writeMidi}. */
export interface MidiOptions {
  /** Parts to leave out (`false`). @defaultValue every part that the score has */
  readonly tracks?: { readonly [Part in ScorePart]?: boolean | undefined } | undefined;
  /** Bars of clicks before bar 1, 0 to 8; a pickup sounds in the last of them. @defaultValue 0 */
  readonly countIn?: number | undefined;
  /** How it is struck: `"plain"` for one velocity a part and full lengths, another touch, or a row of your own. @defaultValue `"played"` */
  readonly touch?: TouchId | TouchRow | undefined;
  /** Standard deviation of the timing of each part in milliseconds, 0 to 30. @defaultValue 0: exact */
  readonly spreadMs?: number | undefined;
  /** The chance in the spread, from 0 to 4294967295. @defaultValue 1 */
  readonly seed?: number | undefined;
  /** Bars before the last one over which the tempo falls to a half, as in a final ritard; 0 to 8. @defaultValue 0 */
  readonly ritard?: number | undefined;
}

const part = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean());

const optionsShape = /* @__PURE__ */ v.strictObject({
  tracks: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.strictObject({ right: part, left: part, bass: part, drums: part }),
  ),
  countIn: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  touch: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  spreadMs: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  seed: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  ritard: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.number(),
      /* @__PURE__ */ v.integer(),
      /* @__PURE__ */ v.minValue(0),
      /* @__PURE__ */ v.maxValue(8),
    ),
  ),
});

/**
 * Writes a score as a Standard MIDI File: format 1, 960 ticks a quarter note, one track for the tempo, the metre and the key, then one
 * each for the right hand, the left hand, the bass and the drums.
 *
 * It sounds as heard: swung by the score's feel, with grace notes in their place (see `soundingNotes`). Times stay exact up to
 * here and are rounded to ticks once. Where two notes meet on one key of a part, the first is shortened to end where the second starts;
 * every note lasts at least a tick, and one that would start on the same tick as another on its key starts when that has ended.
 *
 * It is played, not only written: offbeats and tops are accented, ends of phrases softer, short notes short (see `touchCatalogue`); volume, place
 * and room of each part are set once. `touch: "plain"` keeps one velocity a part and full lengths.
 *
 * Tick 0 is the start of the pickup bar, which is taken as whole beats, so that bar lines fall where a sequencer draws them; with a
 * count-in it is the first click.
 *
 * Source: Standard MIDI-File Format Spec. 1.1 (MMA RP-001); programs and percussion keys: General MIDI System Level 1.
 *
 * @throws MusicError `midi/count-in` unless the count-in is 0 to 8 bars, `pitch/midi-range` for a pitch that MIDI does not have
 *
 * @example
 * ```ts
 * import { makeScore, metre, parseKey, readMidi, writeMidi } from "hands-together";
 *
 * const file = writeMidi(makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 110 }));
 * readMidi(file).tempos[0]?.tempo.toFixed(2); // => "110.00"
 * ```
 */
export function writeMidi(score: Score, options: MidiOptions = {}): Uint8Array {
  checkScore(score, "midi/argument");
  check(optionsShape, options, "midi/argument");
  const { tracks = {}, countIn = 0, touch = "played", spreadMs, seed, ritard = 0 } = options;
  if (!Number.isInteger(countIn) || countIn < 0 || countIn > 8) {
    throw new MusicError({ code: "midi/count-in", input: countIn, expected: "a whole number of bars from 0 to 8" });
  }
  const lead =
    countIn > 0 ? multiplyBeats(barLength(score.metre), beats(countIn)) : wholeUnits(score.pickup, score.metre);
  const end = toTicks(addBeats(scoreEnd(score), lead));
  const rows = TRACKS.filter((row) => tracks[row.part] !== false && (row.always || score[row.part] !== undefined));
  const out = new ByteWriter();
  out.chunk("MThd", () => {
    out.uint16(1);
    out.uint16(1 + (countIn > 0 ? 1 : 0) + rows.length);
    out.uint16(TICKS_PER_QUARTER);
  });
  out.chunk("MTrk", () => writeConductor(out, score, lead, { counted: countIn > 0, ritard, end }));
  for (const row of rows) {
    const notes = soundingNotes(score, row.part, { touch, spreadMs, seed }).map((note) => ticked(note, lead));
    out.chunk("MTrk", () => writeTrack(out, row, notes, end));
  }
  if (countIn > 0) out.chunk("MTrk", () => writeTrack(out, COUNT_IN.row, clicks(score.metre, countIn), end));
  return out.finish();
}

/** A note in ticks. */
export interface TickedNote {
  readonly on: number;
  readonly off: number;
  readonly midi: number;
  readonly velocity: number;
}

const toTicks = (at: Beats): number => Math.round((at.num * TICKS_PER_QUARTER) / at.den);

const ticked = (note: SoundingNote, lead: Beats): TickedNote => ({
  on: Math.max(0, toTicks(addBeats(note.at, lead))),
  off: toTicks(addBeats(addBeats(note.at, note.duration), lead)),
  midi: note.midi,
  velocity: note.velocity,
});

// The pickup as whole counts of the metre: a third of a beat takes a beat.
const wholeUnits = (pickup: Beats, metre: Metre): Beats => {
  const unit = beatsOf(4, metre.unit);
  return multiplyBeats(unit, beats(-floorBeats(divideBeats({ num: -pickup.num + 0, den: pickup.den }, unit))));
};

interface Conducted {
  readonly counted: boolean;
  readonly ritard: number;
  readonly end: number;
}

const writeConductor = (out: ByteWriter, score: Score, lead: Beats, { counted, ritard, end }: Conducted): void => {
  const pickup = counted ? undefined : lead;
  writeMeta(out, 0, 0x03, score.title);
  // A text event: Standard MIDI-File Format Spec. 1.1, sec. 3.1.
  writeMeta(out, 0, 0x01, CAUTION);
  writeTempo(out, 0, score.tempo);
  writeKey(out, score.key);
  const marks: { readonly at: number; readonly write: (delta: number) => void }[] = [];
  if (pickup !== undefined && pickup.num > 0) {
    const count = divideBeats(pickup, beatsOf(4, score.metre.unit)).num;
    writeMetre(out, 0, { ...score.metre, count });
    marks.push({ at: toTicks(pickup), write: (delta) => writeMetre(out, delta, score.metre) });
  } else writeMetre(out, 0, score.metre);
  for (const { at, metre } of metreStretches(score).slice(1))
    marks.push({ at: toTicks(addBeats(at, lead)), write: (delta) => writeMetre(out, delta, metre) });
  for (const { at, tempo } of ritardOf(score, ritard))
    marks.push({ at: toTicks(addBeats(at, lead)), write: (delta) => writeTempo(out, delta, tempo) });
  let now = 0;
  for (const { at, write } of marks.sort((a, b) => a.at - b.at)) {
    write(at - now);
    now = at;
  }
  writeEnd(out, end - now);
};

// Whole microseconds to a quarter note: Standard MIDI-File Format Spec. 1.1, sec. 3.1, set tempo.
const writeTempo = (out: ByteWriter, delta: number, tempo: number): void => {
  const each = Math.round(60_000_000 / tempo);
  out.variableLength(delta);
  out.bytes(0xff, 0x51, 3, (each >> 16) & 0xff, (each >> 8) & 0xff, each & 0xff);
};

// Friberg, A. & Sundberg, J. (1999), Does music performance allude to locomotion? A model of final ritardandi derived from measurements of stopping
// runners, Journal of the Acoustical Society of America 105(3), 1469-1484: v(x) = (1 + (w^q - 1) x)^(1/q), q = 3 for the runners, and 2 or 3
// preferred by listeners. That it ends at w, a half of the tempo, is our choice.
const SHAPE = 3;
const SLOWEST = 0.5;

const ritardOf = (score: Score, bars: number): readonly { readonly at: Beats; readonly tempo: number }[] => {
  if (bars === 0 || score.bars < 2) return [];
  const from = barStartInMetres(score, Math.max(1, score.bars - bars));
  const to = barStartInMetres(score, score.bars);
  const pulse = pulseLength(score.metre);
  const pulses = divideBeats(subtractBeats(to, from), pulse);
  const whole = Math.floor(pulses.num / pulses.den);
  return Array.from({ length: whole + 1 }, (_, i) => ({
    at: addBeats(from, multiplyBeats(pulse, beats(i))),
    tempo: score.tempo * (1 + (SLOWEST ** SHAPE - 1) * (i / Math.max(1, whole))) ** (1 / SHAPE),
  }));
};

const writeMeta = (out: ByteWriter, delta: number, type: number, text: string): void => {
  out.variableLength(delta);
  out.bytes(0xff, type);
  out.text(text);
};

const writeKey = (out: ByteWriter, key: Key): void =>
  out.bytes(0, 0xff, 0x59, 2, key.fifths & 0xff, key.mode === "minor" ? 1 : 0);

const writeMetre = (out: ByteWriter, delta: number, metre: Metre): void => {
  const clocks = toTicks(pulseLength(metre)) / (TICKS_PER_QUARTER / 24);
  out.variableLength(delta);
  out.bytes(0xff, 0x58, 4, metre.count, Math.log2(metre.unit), clocks, 8);
};

const writeEnd = (out: ByteWriter, delta: number): void => {
  out.variableLength(delta);
  out.bytes(0xff, 0x2f, 0);
};

const clicks = (metre: Metre, bars: number): readonly TickedNote[] => {
  const pulse = toTicks(pulseLength(metre));
  const bar = toTicks(barLength(metre));
  return Array.from({ length: bars }, (_, b) =>
    Array.from({ length: Math.ceil(bar / pulse) }, (_, p) => ({
      on: b * bar + p * pulse,
      off: b * bar + p * pulse + TICKS_PER_QUARTER / 8,
      midi: p === 0 ? COUNT_IN.first : COUNT_IN.other,
      velocity: p === 0 ? 100 : 80,
    })),
  ).flat();
};

// Controllers 7, 10 and 91: channel volume, pan and reverb send. Source: General MIDI System Level 1; General MIDI 2 for 91.
const controllersOf = ({ mix }: TrackRow): readonly (readonly [controller: number, value: number])[] =>
  mix === undefined
    ? []
    : [
        [7, mix.volume],
        [10, mix.pan],
        [91, mix.reverb],
      ];

const writeTrack = (out: ByteWriter, row: TrackRow, notes: readonly TickedNote[], end: number): void => {
  writeMeta(out, 0, 0x03, row.name);
  if (row.program !== undefined) out.bytes(0, 0xc0 | row.channel, row.program);
  for (const [controller, value] of controllersOf(row)) out.bytes(0, 0xb0 | row.channel, controller, value);
  let now = 0;
  for (const event of inOrder(apart(notes))) {
    out.variableLength(event.at - now);
    now = event.at;
    out.bytes((event.velocity > 0 ? 0x90 : 0x80) | row.channel, event.midi, event.velocity > 0 ? event.velocity : 64);
  }
  writeEnd(out, Math.max(0, end - now));
};

/** Keeps the notes on one key apart: the first is shortened, and none is shorter than a tick. */
export const apart = (notes: readonly TickedNote[]): readonly TickedNote[] => {
  const sorted = [...notes].sort((a, b) => a.on - b.on || a.off - b.off);
  const last = new Map<number, number>();
  const done: { on: number; off: number; midi: number; velocity: number }[] = [];
  for (const note of sorted) {
    const index = last.get(note.midi);
    const before = index === undefined ? undefined : done[index];
    if (before !== undefined && before.off > note.on) before.off = Math.max(note.on, before.on + 1);
    const on = Math.max(note.on, before?.off ?? 0);
    last.set(note.midi, done.length);
    done.push({ ...note, on, off: Math.max(note.off, on + 1) });
  }
  return done;
};

interface KeyEvent {
  readonly at: number;
  readonly midi: number;
  /** 0 lets the key go. */
  readonly velocity: number;
}

// A key is let go before any is struck on the same tick.
const inOrder = (notes: readonly TickedNote[]): readonly KeyEvent[] =>
  notes
    .flatMap(({ on, off, midi, velocity }): readonly KeyEvent[] => [
      { at: on, midi, velocity },
      { at: off, midi, velocity: 0 },
    ])
    .sort((a, b) => a.at - b.at || Number(a.velocity > 0) - Number(b.velocity > 0) || a.midi - b.midi);
