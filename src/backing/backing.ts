import type { NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { Progression } from "../progression/index.ts";
import type { DrumEvent } from "../score/index.ts";
import { addBeats, barStart } from "../time/index.ts";
import type { BassOptions, BassReason } from "./bass.ts";
import { bassLine } from "./bass.ts";
import type { BassId } from "./bass-catalogue.ts";
import type { BackingId, BackingRow } from "./catalogue.ts";
import { backingCatalogue } from "./catalogue.ts";
import type { DrumId, DrumSound } from "./drum-catalogue.ts";
import { drumPart } from "./drums.ts";

/** Bass and drums, ready for a score's `bass` and `drums`. */
export interface Backing {
  readonly kind: "backing";
  readonly style: BackingId;
  readonly seed: number;
  /** Sounding pitches in written time; empty when nobody plays the bass. */
  readonly bass: readonly NoteEvent[];
  /** Why the bass plays each note, in the same order. */
  readonly reasons: readonly BassReason[];
  /** Written time; empty when nobody plays the drums. */
  readonly drums: readonly DrumEvent[];
}

/** Options of {@link makeBacking}. */
export interface BackingOptions extends Pick<BassOptions, "range" | "loop"> {
  /** @defaultValue `"swing"` */
  readonly style?: BackingId;
  /** Whole number from 0 to 4294967295: another seed is another take in the same style. @defaultValue 1 */
  readonly seed?: number;
  /** Another manner of playing the bass than the style's, or nobody. @defaultValue that of the style */
  readonly bass?: BassId | "none";
  /** Another manner of playing the drums than the style's, or nobody. @defaultValue that of the style */
  readonly drums?: DrumId | "none";
  /** How many times the form is played, 1 to 1,000; no two need be alike. @defaultValue 1 */
  readonly choruses?: number;
  /** Sounds of the kit to leave out, such as `["bass-drum"]`. @defaultValue none */
  readonly without?: readonly DrumSound[];
}

/**
 * The row of a style of accompaniment.
 *
 * @throws MusicError `backing/style` when there is no such row
 */
export function backingStyle(id: string): BackingRow {
  const row = backingCatalogue.find((candidate) => candidate.id === id);
  if (row !== undefined) return row;
  const ids = backingCatalogue.map((candidate) => candidate.id);
  const near = nearestName(String(id), ids);
  throw new MusicError({
    code: "backing/style",
    input: id,
    expected: `a style of accompaniment: ${ids.join(", ")}`,
    ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
  });
}

/**
 * Bass and drums to play along with a progression: {@link bassLine} and {@link drumPart} in one style, from one seed. Neither part depends on
 * whether the other plays.
 *
 * Both are written straight and swing with the feel of the score that they are put into (in compound metres that feel has to be straight). There is
 * no count-in among them, since a score starts at its first bar: the writer of MIDI files makes one on request (`countIn`).
 *
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
export function makeBacking(progression: Progression, options: BackingOptions = {}): Backing {
  const row = backingStyle(options.style ?? "swing");
  const { seed = 1, range, loop: around, choruses = 1 } = options;
  if (!Number.isInteger(choruses) || choruses < 1 || choruses > 1000) {
    throw new MusicError({
      code: "backing/choruses",
      input: choruses,
      expected: "a whole number of choruses from 1 to 1,000",
    });
  }
  const whole = repeated(progression, choruses);
  const manner = options.bass ?? row.bass;
  const line =
    manner === "none"
      ? { events: [], reasons: [] }
      : bassLine(whole, {
          manner,
          seed,
          ...(range === undefined ? {} : { range }),
          ...(around === undefined ? {} : { loop: around }),
        });
  const drums = options.drums ?? row.drums;
  return {
    kind: "backing",
    style: row.id as BackingId,
    seed,
    bass: line.events,
    reasons: line.reasons,
    drums:
      drums === "none"
        ? []
        : drumPart(whole.bars, whole.metre, {
            manner: drums,
            seed,
            ...(options.without === undefined ? {} : { without: options.without }),
          }),
  };
}

const repeated = (form: Progression, choruses: number): Progression => ({
  ...form,
  bars: form.bars * choruses,
  chords: Array.from({ length: choruses }, (_, i) => barStart(1 + i * form.bars, form.metre)).flatMap((start) =>
    form.chords.map((span) => ({ ...span, at: addBeats(span.at, start) })),
  ),
});
