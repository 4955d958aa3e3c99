import { MusicError, nearestName } from "../errors.ts";
import type { NoteEvent, Span } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchName } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale, scalePitchAt } from "../scale/index.ts";
import type { Metre } from "../time/index.ts";
import { metre } from "../time/index.ts";
import type { ExerciseId } from "./catalogue.ts";
import { exerciseCatalogue } from "./catalogue.ts";
import type { DraftNote, DraftPhrase } from "./draft.ts";
import { holdLonger } from "./draft.ts";
import type { Grid, LineValues } from "./grid.ts";
import { gridOf, ticksToBeats } from "./grid.ts";
import type { PatternContext } from "./patterns/context.ts";
import { graceStyle } from "./patterns/up-and-down.ts";

/** A right-hand line in exact time. */
export interface Line {
  readonly kind: "line";
  /** The exercise's id, or `"improvised"` for a generated line. */
  readonly id: string;
  readonly scale: Scale;
  readonly metre: Metre;
  /** Whole bars; a multiple of the progression's. */
  readonly bars: number;
  readonly events: readonly NoteEvent[];
  /** Each phrase from its first note to the end of its last. */
  readonly phrases: readonly Span[];
}

/** Options of {@link exercise}. */
export interface ExerciseOptions {
  /** The scale, or its name: `"Eb major blues"`. */
  readonly scale: Scale | string;
  /** The progression to fit; its bars and metre are used. @defaultValue one round of the exercise in 4/4 */
  readonly progression?: { readonly bars: number; readonly metre: Metre };
  /** @defaultValue the progression's, or 4/4 */
  readonly metre?: Metre;
  /** @defaultValue `"eighths"` */
  readonly values?: LineValues;
  /** @defaultValue 1 */
  readonly octaves?: 1 | 2 | 3;
  /** Which way the line sets out. @defaultValue `"up"` */
  readonly direction?: "up" | "down";
  /**
   * No note of the scale's run lies below it. @defaultValue C4; where the octaves then don't fit below the highest
   * note, the tonic is the highest under which they fit
   */
  readonly lowest?: Pitch;
  /** No note of the scale's run lies above it. @defaultValue C7 */
  readonly highest?: Pitch;
}

/**
 * A right-hand exercise on a scale, fitted to whole bars of a progression.
 *
 * The round of phrases repeats until it fills whole turns of the progression; where a longer hold makes that
 * shorter, the last note of each phrase is held for one bar more.
 *
 * @param id - a row of {@link exerciseCatalogue}
 * @throws MusicError `line/exercise` for no such exercise, `line/octaves`, `line/values` or `line/direction` for options that are
 * not offered, `line/range` when the octaves don't fit between the lowest and the highest note
 *
 * @example
 * ```ts
 * import { exercise, pitchName } from "hands-together";
 *
 * const line = exercise("up-and-down", { scale: "C major blues", values: "triplets" });
 * line.events.slice(0, 7).map((event) => event.pitches.map(pitchName).join()); // => ["C4", "D4", "Eb4", "E4", "G4", "A4", "C5"]
 * line.bars; // => 2
 * ```
 */
export function exercise(id: ExerciseId, options: ExerciseOptions): Line {
  const row = exerciseCatalogue.find((candidate) => candidate.id === id);
  if (row === undefined) {
    const near = nearestName(String(id), exerciseCatalogue.map((candidate) => candidate.id));
    throw new MusicError({
      code: "line/exercise",
      input: id,
      expected: `an exercise: ${exerciseCatalogue.map((candidate) => candidate.id).join(", ")}`,
      ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
    });
  }
  const m = options.metre ?? options.progression?.metre ?? metre("4/4");
  const grid = gridOf(m);
  const context = contextOf(options, grid);
  const phrases = tile(row.pattern(context), options.progression?.bars, grid);
  return toLine(row.id, phrases, context.scale, m, grid);
}

const oneOf = <T>(value: T, allowed: readonly T[], code: "line/values" | "line/octaves" | "line/direction"): T => {
  if (allowed.includes(value)) return value;
  throw new MusicError({ code, input: value, expected: `one of ${allowed.join(", ")}` });
};

const contextOf = (options: ExerciseOptions, grid: Grid): PatternContext => {
  const scale = typeof options.scale === "string" ? parseScale(options.scale) : options.scale;
  const octaves = oneOf(options.octaves ?? 1, [1, 2, 3], "line/octaves");
  const tonic = bottomTonic(scale, octaves, options);
  const pitchAt = (index: number): Pitch => scalePitchAt(scale, tonic, index);
  return {
    scale,
    grid,
    values: oneOf(options.values ?? "eighths", ["eighths", "triplets", "mixed"], "line/values"),
    direction: oneOf(options.direction ?? "up", ["up", "down"], "line/direction"),
    ladder: Array.from({ length: scale.degrees.length * octaves + 1 }, (_, index) => pitchAt(index)),
    pitchAt,
  };
};

const bottomTonic = (scale: Scale, octaves: number, { lowest, highest = pitch("C7") }: ExerciseOptions): Pitch => {
  const tonic = pitchAtOrAbove(scale.tonic, lowest ?? pitch("C4"));
  const over = Math.max(0, Math.ceil((tonic.semitones + 12 * octaves - highest.semitones) / 12));
  if (over === 0) return tonic;
  const lowered: Pitch = { kind: "pitch", steps: tonic.steps - 7 * over, semitones: tonic.semitones - 12 * over };
  if (lowest === undefined && lowered.semitones >= pitch("C3").semitones) return lowered;
  throw new MusicError({
    code: "line/range",
    input: { scale: `${scale.tonic} ${scale.type}`, octaves },
    expected: `${octaves} octave${octaves === 1 ? "" : "s"} from ${scale.tonic} between ${pitchName(lowest ?? pitch("C3"))} and ${pitchName(highest)}`,
    hint: "ask for fewer octaves or a wider range",
    reason: "cannot-be-done",
  });
};

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
const lcm = (a: number, b: number): number => (a / gcd(a, b)) * b;

const tile = (round: readonly DraftPhrase[], bars: number | undefined, grid: Grid): readonly DraftPhrase[] => {
  const length = (phrases: readonly DraftPhrase[]): number => phrases.reduce((sum, phrase) => sum + phrase.bars, 0);
  if (bars === undefined) return round;
  const longer = round.map((phrase) => holdLonger(phrase, 1, grid));
  const best = lcm(length(longer), bars) < lcm(length(round), bars) ? longer : round;
  return Array.from({ length: lcm(length(best), bars) / length(best) }, () => best).flat();
};

const toLine = (id: string, phrases: readonly DraftPhrase[], scale: Scale, m: Metre, grid: Grid): Line => {
  const events: NoteEvent[] = [];
  const spans: Span[] = [];
  let bars = 0;
  for (const phrase of phrases) {
    const start = bars * grid.bar;
    events.push(...phrase.notes.map((note) => toEvent(note, start)));
    const first = phrase.notes[0] as DraftNote;
    const last = phrase.notes.at(-1) as DraftNote;
    spans.push({ at: ticksToBeats(start + first.at), duration: ticksToBeats(last.at + last.duration - first.at) });
    bars += phrase.bars;
  }
  return { kind: "line", id, scale, metre: m, bars, events, phrases: spans };
};

const toEvent = (note: DraftNote, start: number): NoteEvent => ({
  at: ticksToBeats(start + note.at),
  duration: ticksToBeats(note.duration),
  pitches: [note.pitch],
  ...(note.grace === undefined ? {} : { graces: [{ pitch: note.grace, style: graceStyle(note.grace, note.pitch) }] }),
  ...(note.accent === undefined ? {} : { articulation: "accent" as const }),
});
