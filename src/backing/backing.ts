import * as v from "valibot";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { DEFAULT_SEED, MOST_SEED, seedSchema } from "../ground/chance.ts";
import { check } from "../ground/check.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { DrumEvent } from "../score/index.ts";
import { addBeats, beats, minBeats, multiplyBeats, pulseLength } from "../time/index.ts";
import type { InMetres } from "../time/inner.ts";
import { barStartInMetres, metreStretches, metresBetween, metresOverTurns, placeInMetres } from "../time/inner.ts";
import type { ArrangementId, ArrangementRow, ChorusManners } from "./arrangement.ts";
import { arrangementRow } from "./arrangement.ts";
import type { BassOptions, BassReason } from "./bass.ts";
import { lineInParts } from "./bass.ts";
import type { BassId, BassRow } from "./bass-catalogue.ts";
import { bassRow, rangeSchema } from "./bass-catalogue.ts";
import type { BackingId, BackingRow } from "./catalogue.ts";
import { backingRow } from "./catalogue.ts";
import type { DrumId, DrumRow, DrumSound } from "./drum-catalogue.ts";
import { drumRow, soundsSchema } from "./drum-catalogue.ts";
import { cellFor, drumsOverForm, everyEight } from "./drums.ts";
import { playsBass } from "./slots.ts";

/** Bass and drums, ready for a score's `bass` and `drums`. */
export interface Backing {
  readonly kind: "backing";
  /** The id of the style's row. */
  readonly style: string;
  readonly seed: number;
  /** Sounding pitches in written time; empty when nobody plays the bass. */
  readonly bass: readonly NoteEvent[];
  /** Why the bass plays each note, in the same order. */
  readonly reasons: readonly BassReason[];
  /** Written time; empty when nobody plays the drums. */
  readonly drums: readonly DrumEvent[];
}

/** Options of {@link makeBacking}. */
export interface BackingOptions extends Pick<BassOptions, "range" | "loop" | "ending"> {
  /** An id of {@link backingCatalogue}, or a row. @defaultValue `"swing"` */
  readonly style?: BackingId | BackingRow | undefined;
  /** Whole number from 0 to 4294967295: another seed is another take in the same style. @defaultValue 1 */
  readonly seed?: number | undefined;
  /** Another manner of playing the bass than the style's, or nobody. @defaultValue that of the style */
  readonly bass?: BassId | BassRow | "none" | undefined;
  /** Another manner of playing the drums than the style's, or nobody. @defaultValue that of the style */
  readonly drums?: DrumId | DrumRow | "none" | undefined;
  /** How many times the form is played, 1 to 1,000; no two need be alike. @defaultValue 1 */
  readonly choruses?: number | undefined;
  /** How choruses differ: an id of {@link arrangementCatalogue}, or a row. @defaultValue `"throughout"` */
  readonly arrangement?: ArrangementId | ArrangementRow | undefined;
  /** Sounds of the kit to leave out, such as `["bass-drum"]`. @defaultValue none */
  readonly without?: readonly DrumSound[] | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  range: v.optional(rangeSchema),
  loop: v.optional(v.boolean()),
  ending: v.optional(v.boolean()),
  style: v.optional(v.any()),
  seed: v.optional(v.any()),
  bass: v.optional(v.any()),
  drums: v.optional(v.any()),
  choruses: v.optional(v.any()),
  arrangement: v.optional(v.any()),
  without: v.optional(v.any()),
});
const chorusesSchema = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(1000));

/**
 * Bass and drums to play along with a progression: {@link bassLine} and {@link drumPart} in one style, from one seed. Neither part depends on
 * whether the other plays. Drums lead on with a fill where a section of the form ends; where the form names no sections, every eight bars and
 * at its end. With `ending`, the last bar closes the piece: a held root and a cymbal. An arrangement says how choruses differ: in two and then in four, stops.
 *
 * Both are written straight and swing with the feel of the score that they are put into (in compound metres that feel has to be straight). There is
 * no count-in among them, since a score starts at its first bar: the writer of MIDI files makes one on request (`countIn`).
 *
 * @param progression - the changes, or what `parseProgression` reads as such
 * @throws MusicError `backing/style` for an unknown style, `backing/arrangement` for an unknown arrangement, `backing/choruses` for a number out of range, and what the two functions throw
 *
 * @example
 * ```ts
 * import { makeBacking, makeScore, parseProgression, swungFeel } from "hands-together";
 *
 * const changes = parseProgression("turnaround", { key: "Eb" });
 * const { bass, drums } = makeBacking(changes, { seed: 7 });
 * bass.length; // => 16
 * const score = makeScore({ ...changes, chords: changes.chords, feel: swungFeel("2:1"), bass, drums });
 * score.drums?.length === drums.length; // => true
 * ```
 */
export function makeBacking(progression: Progression | ProgressionRow | string, options: BackingOptions = {}): Backing {
  const form = progressionOf(progression);
  check(optionsSchema, options, "backing/argument");
  const row = backingRow(options.style ?? "swing");
  const { seed = DEFAULT_SEED, range, loop, ending, choruses = 1, without } = options;
  check(seedSchema, seed, "backing/seed");
  check(chorusesSchema, choruses, "backing/choruses");
  if (without !== undefined) check(soundsSchema, without, "backing/sound");
  const manners = { bass: options.bass ?? row.bass, drums: options.drums ?? row.drums };
  const arrangement = arrangementRow(options.arrangement ?? "throughout");
  const { bass, drums, reasons } = backingOver(form, manners, {
    seed,
    range,
    loop,
    ending,
    choruses,
    without,
    arrangement,
  });
  return { kind: "backing", style: row.id, seed, bass, reasons, drums };
}

/** What plays, each manner an id, a row or nobody. */
export interface Manners {
  readonly bass: BassId | BassRow | "none";
  readonly drums: DrumId | DrumRow | "none";
}

/** Options of {@link backingOver}. */
export interface WholeOptions extends Pick<BackingOptions, "range" | "loop" | "ending" | "without"> {
  readonly seed: number;
  readonly choruses: number;
  readonly arrangement: ArrangementRow;
  /** Bars after the last chorus, with their chords from their own start. */
  readonly tail?: Pick<Progression, "bars" | "chords"> | undefined;
}

/** As {@link makeBacking}, of arguments that were checked, with what comes after the last chorus. */
export const backingOver = (
  form: Progression,
  manners: Manners,
  options: WholeOptions,
): Pick<Backing, "bass" | "reasons" | "drums"> => {
  const { seed, range, loop, ending, choruses, without, arrangement, tail } = options;
  const whole = withTail(repeated(form, choruses), tail);
  const fills = Array.from({ length: choruses }, (_, i) =>
    endsOfSections(form).map((bar) => i * form.bars + bar),
  ).flat();
  const parts = partsOf(form, whole.bars, choruses, manners, arrangement);
  const line =
    manners.bass === "none"
      ? undefined
      : lineInParts(
          whole,
          merged(parts, ({ bass }) => bass).map(({ from, to, manner }) => ({ row: bassRow(manner), from, to })),
          { seed, range, loop, ending },
        );
  const drums =
    manners.drums === "none"
      ? []
      : merged(parts, ({ drums }) => drums).flatMap(({ from, to, manner }, i): readonly DrumEvent[] => {
          const start = barStartInMetres(whole, from);
          const bars = { ...metresBetween(whole, from, to), bars: to - from + 1 };
          const last = to === whole.bars;
          return drumsOverForm(bars, drumRow(manner), {
            seed: (seed + i) % (MOST_SEED + 1),
            without,
            fills: fills.filter((bar) => bar >= from && bar <= to).map((bar) => bar - from + 1),
            ending: last && ending === true,
            goesOn: !last,
          }).map((stroke) => (start.num === 0 ? stroke : { ...stroke, at: addBeats(stroke.at, start) }));
        });
  const { stops } = arrangement;
  const from = stops === undefined ? 0 : (Math.min(stops.chorus, choruses) - 1) * form.bars + 1;
  const stopped = { from, to: from - 1 + Math.min(stops?.bars ?? 0, form.bars) };
  const stays = (line?.events ?? []).flatMap((event, i) => {
    const kept = stops === undefined ? [event] : atStop(event, whole, stopped);
    return kept.map((one) => ({ event: one, reason: line?.reasons[i] }));
  });
  return {
    bass: stays.map(({ event }) => event),
    reasons: stays.flatMap(({ reason }) => reason ?? []),
    drums: stops === undefined ? drums : drums.flatMap((stroke) => atStop(stroke, whole, stopped)),
  };
};

interface Bars {
  readonly from: number;
  readonly to: number;
}

// Where all stop, what starts on the first beat is short, and nothing else is heard.
const atStop = <T extends TimeSpan>(span: T, form: InMetres, { from, to }: Bars): readonly T[] => {
  const { bar, offset, metre } = placeInMetres(form, span.at);
  if (bar < from || bar > to) return [span];
  return offset.num === 0 ? [{ ...span, duration: minBeats(span.duration, pulseLength(metre)) }] : [];
};

interface Part extends Bars {
  readonly bass: BassId | BassRow;
  readonly drums: DrumId | DrumRow;
}

const plain = <T>(manner: T | "none", otherwise: T): T => (manner === "none" ? otherwise : manner);

/** Who plays how from chorus to chorus; what comes after the last belongs to it. */
const partsOf = (
  form: Progression,
  bars: number,
  choruses: number,
  style: Manners,
  { first, last }: ArrangementRow,
): readonly Part[] => {
  const usual = { bass: plain(style.bass, "walking"), drums: plain(style.drums, "ride") };
  const metres = metreStretches(form).map(({ metre }) => metre);
  const inPart = (own: ChorusManners | undefined): Omit<Part, "from" | "to"> => ({
    bass: own?.bass !== undefined && playsBass(bassRow(own.bass), metres) ? own.bass : usual.bass,
    drums:
      own?.drums !== undefined && metres.every((m) => cellFor(drumRow(own.drums ?? "ride"), m) !== undefined)
        ? own.drums
        : usual.drums,
  });
  return Array.from({ length: choruses }, (_, i): Part => {
    const own = i === 0 && choruses > 1 ? first : i === choruses - 1 && choruses > 2 ? last : undefined;
    return { from: i * form.bars + 1, to: i === choruses - 1 ? bars : (i + 1) * form.bars, ...inPart(own) };
  });
};

/** Neighbouring parts of one manner as one. */
const merged = <M extends string | object>(
  parts: readonly Part[],
  mannerOf: (part: Part) => M,
): readonly (Bars & { readonly manner: M })[] => {
  const whole: (Bars & { readonly manner: M })[] = [];
  for (const part of parts) {
    const manner = mannerOf(part);
    const before = whole.at(-1);
    if (before?.manner === manner) whole[whole.length - 1] = { ...before, to: part.to };
    else whole.push({ from: part.from, to: part.to, manner });
  }
  return whole;
};

const withTail = (form: Progression, tail: WholeOptions["tail"]): Progression => {
  if (tail === undefined) return form;
  const end = barStartInMetres(form, form.bars + 1);
  return {
    ...form,
    bars: form.bars + tail.bars,
    chords: [...form.chords, ...tail.chords.map((span) => ({ ...span, at: addBeats(span.at, end) }))],
  };
};

// The bars that a fill leads out of.
const endsOfSections = ({ bars, sections }: Progression): readonly number[] => [
  ...(sections.length > 0 ? sections.map((section) => section.bar + section.bars - 1) : everyEight(bars)),
  bars,
];

const repeated = (form: Progression, choruses: number): Progression =>
  choruses === 1
    ? form
    : {
        ...form,
        bars: form.bars * choruses,
        metres: metresOverTurns(form, choruses),
        chords: Array.from({ length: choruses }, (_, i) =>
          multiplyBeats(barStartInMetres(form, form.bars + 1), beats(i)),
        ).flatMap((start) => form.chords.map((span) => ({ ...span, at: addBeats(span.at, start) }))),
      };
