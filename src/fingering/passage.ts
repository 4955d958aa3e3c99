import type { Finger, Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { Pitch } from "../pitch/index.ts";
import { keyColour } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import { handInterval } from "./crossings.ts";
import type { Fingering } from "./fingering.ts";
import { describe } from "./fingering.ts";
import { LARGEST_INTERVAL, roleOf } from "./model.ts";
import { scalePatternByClass } from "./pattern.ts";
import { recogniseScale } from "./recognise.ts";
import type { FingeringRuleOptions } from "./rule-set.ts";
import { modelFor } from "./rule-set.ts";
import { alternativesOptions, pitchesOf, requireHand, requireOptions } from "./shape.ts";
import type { Passage } from "./solve.ts";
import { solveOpen, solveRanked } from "./solve.ts";

/** What {@link fingerPassage} is asked. */
export interface FingeringOptions extends FingeringRuleOptions {
  /** Which hand plays. */
  readonly hand: Hand;
  /** Fingers that are settled, by index of the note, as in `{ 0: 2 }` for "start on 2". @defaultValue none */
  readonly fixed?: Readonly<Record<number, Finger>> | undefined;
  /** Whether the passage repeats without end, its last note leading to its first. @defaultValue `false` */
  readonly loop?: boolean | undefined;
  /**
   * The scale that the passage is an exercise on: its notes keep the fingers that the scale has by itself, unless the hand would
   * have to leap. `false` for none. @defaultValue recognised, where the notes are nothing but whole octaves of a scale or arpeggio
   */
  readonly scale?: Scale | string | false | undefined;
  /** Whether every note is explained. @defaultValue `false` */
  readonly explain?: boolean | undefined;
}

/** The arrays that the solver reads. */
export const passageOf = (
  pitches: readonly Pitch[],
  options: Pick<FingeringOptions, "hand" | "fixed" | "scale">,
): Passage => {
  const length = pitches.length;
  const passage = {
    length,
    black: new Uint8Array(length),
    moves: new Int8Array(length),
    kinds: new Uint8Array(length),
    role: new Uint8Array(length),
    allowed: new Uint8Array(length).fill(31),
  };
  const pattern =
    options.scale === undefined || options.scale === false
      ? undefined
      : scalePatternByClass(options.scale, options.hand);
  for (let i = 0; i < length; i++) {
    const from = pitches[i === 0 ? length - 1 : i - 1] as Pitch;
    const to = pitches[i] as Pitch;
    passage.black[i] = keyColour(to) === "black" ? 1 : 0;
    passage.moves[i] = Math.max(-LARGEST_INTERVAL, Math.min(LARGEST_INTERVAL, handInterval(options.hand, from, to)));
    if (pattern !== undefined) passage.role[i] = roleOf(false, pattern.get(((to.semitones % 12) + 12) % 12) ?? 0);
  }
  for (const [index, finger] of Object.entries(options.fixed ?? {})) {
    const i = Number(index);
    if (!Number.isInteger(i) || i < 0 || i >= length || ![1, 2, 3, 4, 5].includes(finger)) {
      throw new MusicError({
        code: "fingering/fixed",
        input: { [index]: finger },
        expected: `fingers 1 to 5 by the index of a note, 0 to ${length - 1}`,
      });
    }
    passage.allowed[i] = 1 << (finger - 1);
  }
  return passage;
};

/** Gives the notes of a recognised scale their fingers in it. */
export const recogniseIn = (
  pitches: readonly Pitch[],
  passage: Passage,
  from: number,
  options: Pick<FingeringOptions, "hand" | "scale">,
): void => {
  if (options.scale !== undefined) return;
  recogniseScale(pitches, options.hand)?.forEach((finger, i) => (passage.role[from + i] = roleOf(false, finger)));
};

/** Fingers pitches that follow each other without a rest. */
export const fingerPitches = (pitches: readonly Pitch[], options: FingeringOptions): Fingering => {
  const model = modelFor(options);
  const passage = passageOf(pitches, options);
  recogniseIn(pitches, passage, 0, options);
  const cyclic = options.loop === true;
  const best = cyclic ? (solveRanked(model, passage, 1, true)[0] as Uint8Array) : solveOpen(model, passage);
  const fingers = Array.from(best) as Finger[];
  return describe(
    model,
    { hand: options.hand, pitches, passage, fingers, breaks: [], chords: [], cyclic },
    options.explain === true,
  );
};

/** What {@link fingerAlternatives} is asked. */
export interface FingeringAlternativesOptions extends FingeringOptions {
  /** How many fingerings at most. @defaultValue 3 */
  readonly count?: number | undefined;
}

const MOST_ALTERNATIVES = 100;
const MOST_KEPT = 20_000;

/**
 * The best fingerings of notes played one after the other, all different, best first; the first is that of
 * `fingerPassage`.
 *
 * Among fingerings of equal cost the one with the lower finger at the first note where they differ comes first.
 *
 * @param notes - the notes in the order in which they are played, or their names
 * @returns as many as were asked, or all there are
 * @throws MusicError as `fingerPassage`, and `fingering/count` when the count is no whole number from 1 to 100, or
 *   (cannot be done) when alternatives times notes are more than 20,000
 *
 * @example
 * ```ts
 * import { fingerAlternatives } from "hands-together";
 *
 * const [first, second] = fingerAlternatives("C4 D4 E4 F4 G4", { hand: "right", count: 2 });
 * first?.fingers; // => [1, 2, 3, 4, 5]
 * (second?.cost ?? 0) >= (first?.cost ?? 0); // => true
 * ```
 */
export function fingerAlternatives(
  notes: readonly Pitch[] | string,
  options: FingeringAlternativesOptions,
): readonly Fingering[] {
  requireOptions(alternativesOptions, options);
  const pitches = pitchesOf(notes);
  requireHand(options.hand);
  const count = options.count ?? 3;
  if (!Number.isInteger(count) || count < 1 || count > MOST_ALTERNATIVES) {
    throw new MusicError({
      code: "fingering/count",
      input: count,
      expected: `a whole number from 1 to ${MOST_ALTERNATIVES}`,
    });
  }
  // Every note keeps as many continuations for each pair of fingers.
  if (count * pitches.length > MOST_KEPT) {
    throw new MusicError({
      code: "fingering/count",
      input: { count, notes: pitches.length },
      expected: `at most ${MOST_KEPT} alternatives times notes`,
      hint: "ask for fewer, or for a part of the passage",
      reason: "cannot-be-done",
    });
  }
  const model = modelFor(options);
  const passage = passageOf(pitches, options);
  recogniseIn(pitches, passage, 0, options);
  const cyclic = options.loop === true;
  return solveRanked(model, passage, count, cyclic).map((best) =>
    describe(
      model,
      { hand: options.hand, pitches, passage, fingers: Array.from(best) as Finger[], breaks: [], chords: [], cyclic },
      options.explain === true,
    ),
  );
}
