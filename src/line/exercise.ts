import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchName } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale, scalePitchAt } from "../scale/index.ts";
import type { Metre } from "../time/index.ts";
import { metre } from "../time/index.ts";
import type { ExerciseId, ExerciseRow } from "./catalogue.ts";
import { EXERCISES, exerciseCatalogue } from "./catalogue.ts";
import type { DraftPhrase } from "./draft.ts";
import { lengthen } from "./draft.ts";
import type { Grid, LineValues } from "./grid.ts";
import { gridOf } from "./grid.ts";
import { chordSlots } from "./harmony.ts";
import type { Line } from "./line.ts";
import { toLine } from "./line.ts";
import type { PatternContext } from "./patterns/context.ts";

/** What a line is fitted to: a progression is one. */
export interface Changes {
  readonly bars: number;
  readonly metre: Metre;
  /** The chords; needed by what follows them. */
  readonly chords?: readonly ChordSpan[];
}

/** Options of {@link exerciseLine}. */
export interface ExerciseOptions {
  /** The scale, or its name: `"Eb major blues"`. */
  readonly scale: Scale | string;
  /** The progression to fit. @defaultValue one round of the exercise in 4/4; needed by exercises that follow the chords */
  readonly progression?: Changes;
  /** @defaultValue the progression's, or 4/4 */
  readonly metre?: Metre;
  /** @defaultValue `"eighths"` */
  readonly values?: LineValues;
  /** @defaultValue the fewest that the exercise can be played over */
  readonly octaves?: 1 | 2 | 3;
  /** Which way the line sets out. @defaultValue `"up"` */
  readonly direction?: "up" | "down";
  /** The beat, counted from 1, on which `"rest-on-a-beat"` rests. @defaultValue each in turn */
  readonly restOn?: number;
  /**
   * The tonic is the lowest at or above it. @defaultValue C4; where the octaves then don't fit below the highest
   * note, the highest tonic under which they do
   */
  readonly lowest?: Pitch;
  /** No note of the line lies above it. @defaultValue C7 */
  readonly highest?: Pitch;
}

/**
 * A right-hand exercise on a scale, fitted to whole bars of a progression, with fingers.
 *
 * It stays between the tonic at its bottom and the tonic at its top. The round of phrases repeats until it fills whole
 * turns of the progression; where some bars more, held or silent, make that sooner, they are added.
 *
 * @param id - a row of {@link exerciseCatalogue}
 * @throws MusicError `line/exercise` for no such exercise, `line/octaves`, `line/values`, `line/direction` or `line/rest-on` for options that
 * are not offered, `line/chords` when it follows chords and none are given, `line/range` when the octaves don't fit between the lowest and the highest note
 *
 * @example
 * ```ts
 * import { exerciseLine, pitchName } from "hands-together";
 *
 * const line = exerciseLine("up-and-down", { scale: "C major blues", values: "triplets" });
 * line.events.slice(0, 7).map((event) => event.pitches.map(pitchName).join()); // => ["C4", "D4", "Eb4", "E4", "G4", "A4", "C5"]
 * line.bars; // => 2
 * exerciseLine("guide-tones", { scale: "C major" }); // throws "line/chords"
 * ```
 */
export function exerciseLine(id: ExerciseId, options: ExerciseOptions): Line {
  const row = EXERCISES.find((candidate) => candidate.id === id);
  if (row === undefined) {
    const near = nearestName(
      String(id),
      exerciseCatalogue.map((candidate) => candidate.id),
    );
    throw new MusicError({
      code: "line/exercise",
      input: id,
      expected: `an exercise: ${exerciseCatalogue.map((candidate) => candidate.id).join(", ")}`,
      ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
    });
  }
  const m = options.metre ?? options.progression?.metre ?? metre("4/4");
  const grid = gridOf(m);
  const context = contextOf(row, options, grid);
  const phrases = tile(row.pattern(context), options.progression?.bars, grid);
  return toLine(row, phrases, context.scale, m, grid);
}

const oneOf = <T>(value: T, allowed: readonly T[], what: "values" | "octaves" | "direction" | "rest-on"): T => {
  if (allowed.includes(value)) return value;
  throw new MusicError({ code: `line/${what}`, input: value, expected: `one of ${allowed.join(", ")}` });
};

const contextOf = (row: ExerciseRow, options: ExerciseOptions, grid: Grid): PatternContext => {
  const scale = typeof options.scale === "string" ? parseScale(options.scale) : options.scale;
  const octaves = oneOf(
    options.octaves ?? row.leastOctaves,
    ([1, 2, 3] as const).filter((count) => count >= row.leastOctaves),
    "octaves",
  );
  const tonic = bottomTonic(scale, octaves, options);
  const beats = Array.from({ length: Math.floor(grid.bar / grid.pulse) }, (_, i) => i + 1);
  const spans = options.progression?.chords;
  if (row.needsChords && spans === undefined) {
    throw new MusicError({
      code: "line/chords",
      input: row.id,
      expected: "a progression, whose chords this exercise follows",
    });
  }
  return {
    scale,
    grid,
    values: oneOf(options.values ?? "eighths", ["eighths", "triplets", "mixed"], "values"),
    direction: oneOf(options.direction ?? "up", ["up", "down"], "direction"),
    ladder: Array.from({ length: scale.degrees.length * octaves + 1 }, (_, index) => scalePitchAt(scale, tonic, index)),
    size: scale.degrees.length,
    chords: chordSlots(spans ?? []),
    bars: options.progression?.bars ?? 0,
    ...(options.restOn === undefined ? {} : { restOn: oneOf(options.restOn, beats, "rest-on") }),
  };
};

const bottomTonic = (scale: Scale, octaves: number, { lowest, highest = pitch("C7") }: ExerciseOptions): Pitch => {
  const tonic = pitchAtOrAbove(scale.tonic, lowest ?? pitch("C4"));
  const over = Math.max(0, Math.ceil((tonic.semitones + 12 * octaves - highest.semitones) / 12));
  if (over === 0) return tonic;
  // An octave lower is C3 or higher.
  if (lowest === undefined && over === 1) return { ...tonic, steps: tonic.steps - 7, semitones: tonic.semitones - 12 };
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
const MOST_BARS_ADDED = 3;

const tile = (round: readonly DraftPhrase[], bars: number | undefined, grid: Grid): readonly DraftPhrase[] => {
  if (bars === undefined) return round;
  const length = round.reduce((sum, phrase) => sum + phrase.bars, 0);
  let added = 0;
  for (let more = 1; more <= MOST_BARS_ADDED; more++) {
    if (lcm(length + more, bars) < lcm(length + added, bars)) added = more;
  }
  const each = added % round.length === 0 ? added / round.length : 0;
  const padded = round.map((phrase, i) => lengthen(phrase, each === 0 && i === round.length - 1 ? added : each, grid));
  return Array.from({ length: lcm(length + added, bars) / (length + added) }, () => padded).flat();
};
