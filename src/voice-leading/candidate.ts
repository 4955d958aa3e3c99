import type { NoteName, Pitch } from "../pitch/index.ts";

/** One way to play a chord, among which a path chooses; a `Voicing` is one. */
export interface VoicingCandidate {
  readonly pitches: readonly Pitch[];
  /**
   * The notes whose motion counts, where a bass note moves by a rule of its own.
   *
   * @defaultValue `pitches`
   */
  readonly upper?: readonly Pitch[] | undefined;
  /** Name of its form, for `first`, `last` and `forbid`. */
  readonly form?: string | undefined;
  /** `"A"`, `"B"` or another layout, for `alternate`. */
  readonly label?: string | undefined;
  /**
   * Semitones from the middle of its register, counted by halves.
   *
   * @defaultValue `0`
   */
  readonly offMiddle?: number | undefined;
  /** Semitones beyond the comfortable part of its register. @defaultValue `0` */
  readonly outside?: number | undefined;
  /** How many of its intervals lie below their low-interval limit. @defaultValue `0` */
  readonly mud?: number | undefined;
  /** The chord it plays: its symbol for messages, its bass for contrary motion. */
  readonly chord?: { readonly symbol: string; readonly bass?: NoteName | undefined } | undefined;
}

/** The notes of a candidate whose motion counts. */
export const moving = (candidate: VoicingCandidate): readonly Pitch[] => candidate.upper ?? candidate.pitches;

/** A candidate in numbers, as the search sees it. */
export interface Laid {
  readonly form: string | undefined;
  readonly label: string | undefined;
  /** Semitones of the notes whose motion counts, from low to high, above `base`. */
  readonly stack: readonly number[];
  readonly base: number;
  /** A note below them that is struck by itself. */
  readonly bass: Pitch | undefined;
  readonly offMiddle: number;
  readonly outside: number;
  readonly mud: number;
  readonly chord: VoicingCandidate["chord"];
  /** All notes in semitones, where they are others than stack and bass. */
  readonly whole?: readonly number[];
  /** What is sung or played over it. */
  readonly sung?: readonly Pitch[];
}

/** A candidate with what it was read from. */
export interface LaidCandidate<C> extends Laid {
  readonly candidate: C;
}

export const laidOf = <C extends VoicingCandidate>(candidate: C): LaidCandidate<C> => {
  const stack: number[] = [];
  let rising = true;
  for (const { semitones } of moving(candidate)) {
    if (stack.length > 0 && semitones < (stack[stack.length - 1] ?? 0)) rising = false;
    stack.push(semitones);
  }
  if (!rising) stack.sort((a, b) => a - b);
  const { form, label, offMiddle = 0, outside = 0, mud = 0, chord, upper, pitches } = candidate;
  return {
    candidate,
    form,
    label,
    stack,
    base: 0,
    bass: undefined,
    offMiddle,
    outside,
    mud,
    chord,
    ...(upper !== undefined && { whole: pitches.map(({ semitones }) => semitones) }),
  };
};

/** All its notes in semitones. */
export const wholeOf = ({ stack, base, bass, whole }: Laid): readonly number[] => {
  if (whole !== undefined) return whole;
  const notes = stack.map((note) => base + note);
  return bass === undefined ? notes : [bass.semitones, ...notes];
};

/** Its highest note whose motion counts. */
export const topOf = ({ stack, base }: Laid): number => base + (stack[stack.length - 1] ?? 0);
