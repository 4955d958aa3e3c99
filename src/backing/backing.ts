import * as v from "valibot";
import type { NoteEvent } from "../event/index.ts";
import { DEFAULT_SEED, seedSchema } from "../ground/chance.ts";
import { check } from "../ground/check.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { DrumEvent } from "../score/index.ts";
import { addBeats, beats, multiplyBeats } from "../time/index.ts";
import { barStartInMetres, metresOverTurns } from "../time/inner.ts";
import type { BassOptions, BassReason } from "./bass.ts";
import { lineOver } from "./bass.ts";
import type { BassId, BassRow } from "./bass-catalogue.ts";
import { bassRow, rangeSchema } from "./bass-catalogue.ts";
import type { BackingId, BackingRow } from "./catalogue.ts";
import { backingRow } from "./catalogue.ts";
import type { DrumId, DrumRow, DrumSound } from "./drum-catalogue.ts";
import { drumRow, soundsSchema } from "./drum-catalogue.ts";
import { drumsOverForm, everyEight } from "./drums.ts";

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
  without: v.optional(v.any()),
});
const chorusesSchema = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(1000));

/**
 * Bass and drums to play along with a progression: {@link bassLine} and {@link drumPart} in one style, from one seed. Neither part depends on
 * whether the other plays. Drums lead on with a fill where a section of the form ends; where the form names no sections, every eight bars and
 * at its end. With `ending`, the last bar closes the piece: a held root and a cymbal.
 *
 * Both are written straight and swing with the feel of the score that they are put into (in compound metres that feel has to be straight). There is
 * no count-in among them, since a score starts at its first bar: the writer of MIDI files makes one on request (`countIn`).
 *
 * @param progression - the changes, or what `parseProgression` reads as such
 * @throws MusicError `backing/style` for an unknown style, `backing/choruses` for a number out of range, and what the two functions throw
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
  const bass = manners.bass === "none" ? undefined : bassRow(manners.bass);
  const drums = manners.drums === "none" ? undefined : drumRow(manners.drums);
  const whole = repeated(form, choruses);
  const fills = Array.from({ length: choruses }, (_, i) =>
    endsOfSections(form).map((bar) => i * form.bars + bar),
  ).flat();
  const line = bass && lineOver(whole, bass, { seed, range, loop, ending });
  return {
    kind: "backing",
    style: row.id,
    seed,
    bass: line?.events ?? [],
    reasons: line?.reasons ?? [],
    drums: drums === undefined ? [] : drumsOverForm(whole, drums, { seed, without, fills, ending }),
  };
}

// The bars that a fill leads out of.
const endsOfSections = ({ bars, sections }: Progression): readonly number[] => [
  ...(sections.length > 0 ? sections.map((section) => section.bar + section.bars - 1) : everyEight(bars)),
  bars,
];

const repeated = (form: Progression, choruses: number): Progression => ({
  ...form,
  bars: form.bars * choruses,
  metres: metresOverTurns(form, choruses),
  chords: Array.from({ length: choruses }, (_, i) =>
    multiplyBeats(barStartInMetres(form, form.bars + 1), beats(i)),
  ).flatMap((start) => form.chords.map((span) => ({ ...span, at: addBeats(span.at, start) }))),
});
