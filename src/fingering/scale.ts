import type { Finger, Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, keyColour, noteName, parsePitch, pitchAtOrAbove } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import { END_RULES, withEnds } from "./ends.ts";
import type { Fingering, FingeringRemark } from "./fingering.ts";
import { describe } from "./fingering.ts";
import { roleOf } from "./model.ts";
import { ALL_FINGERS, allowedOf, oneByOne, passageOf } from "./passage.ts";
import { octaveOf, octavePattern, scaleOf } from "./pattern.ts";
import type { FingeringRuleOptions } from "./rule-set.ts";
import { modelFor } from "./rule-set.ts";
import { isPitchList, isScale, requireHand, requireOptions, scaleOptions } from "./shape.ts";

/** What {@link fingerScale} is asked. */
export interface ScaleFingeringOptions extends FingeringRuleOptions {
  /** Which hand plays. @defaultValue `"right"` */
  readonly hand?: Hand | undefined;
  /** How many octaves, 1 to 7. @defaultValue 1 */
  readonly octaves?: number | undefined;
  /** Which way. Up and down plays the top note once. @defaultValue `"up-and-down"` */
  readonly direction?: "up" | "down" | "up-and-down" | undefined;
  /** The lowest tonic is the first at or above this. @defaultValue C4 for the right hand, C3 for the left; pitches given as such stay where they are */
  readonly floor?: Pitch | undefined;
  /** Fingers that are settled in every octave, by step from the tonic, as in `{ 0: 1 }` for "thumb on every tonic". @defaultValue none */
  readonly fixed?: Readonly<Record<number, Finger>> | undefined;
  /** Whether every note is explained. @defaultValue `false` */
  readonly explain?: boolean | undefined;
}

/** The fingering of a scale or arpeggio. */
export interface ScaleFingering extends Fingering {
  /** The notes of one octave, rising, without the octave. */
  readonly octave: readonly Pitch[];
  /** The fingers that they have in every octave; only the ends of the scale may differ. */
  readonly octaveFingers: readonly Finger[];
}

/**
 * The fingering of a scale or of an arpeggio, as conservatories teach it, over any number of octaves.
 *
 * The fingers of one octave are the exact optimum of the rules of scales over all fingerings that repeat at the octave;
 * then the ends give way to the outer fingers. No scale is looked up. Where every fingering puts the thumb on a black key,
 * a remark says so. `cost` is that of the notes as listed, by the same rules.
 *
 * Source: the rules name theirs; they reproduce the 24 major-scale rows and the minor scales of the University of
 * Evansville's Scale and Arpeggio Fingerings.
 *
 * @param scale - a scale, its name, or the rising notes of one octave (an arpeggio in any inversion, say) without the octave
 * @throws MusicError `fingering/scale` when the notes do not rise within an octave, `fingering/octaves`, `fingering/direction`,
 *   `fingering/hand`, `fingering/fixed`, `fingering/rule`, and what `parseScale` throws
 *
 * @example
 * ```ts
 * import { fingerScale } from "hands-together";
 *
 * fingerScale("Bb major", { hand: "right", octaves: 2, direction: "up" }).fingers; // => [4, 1, 2, 3, 1, 2, 3, 4, 1, 2, 3, 1, 2, 3, 4]
 * fingerScale("C major blues", { hand: "right" }).fingers; // => [1, 2, 3, 1, 2, 3, 1, 3, 2, 1, 3, 2, 1]
 * ```
 */
export function fingerScale(
  scale: Scale | string | readonly Pitch[],
  options: ScaleFingeringOptions = {},
): ScaleFingering {
  requireOptions(scaleOptions, options);
  const hand = options.hand ?? "right";
  requireHand(hand);
  const octaves = options.octaves ?? 1;
  if (!Number.isInteger(octaves) || octaves < 1 || octaves > 7) {
    throw new MusicError({
      code: "fingering/octaves",
      input: octaves,
      expected: "a whole number of octaves from 1 to 7",
    });
  }
  const direction = options.direction ?? "up-and-down";
  if (!["up", "down", "up-and-down"].includes(direction)) {
    throw new MusicError({ code: "fingering/direction", input: direction, expected: "up, down or up-and-down" });
  }
  const octave = notesOfOctave(scale, hand, options.floor);
  const fixed = options.fixed ?? {};
  requireFixed(fixed, octave.length);
  const octaveFingers = octavePattern(octave, hand, options, fixed);
  const size = octave.length;
  const rising = Array.from({ length: size * octaves + 1 }, (_, i) =>
    raise(nth(octave, i % size), Math.floor(i / size)),
  );
  const risingFingers = withEnds(
    rising,
    octaveFingers,
    hand,
    fixed[0] === undefined ? (options.without ?? []) : END_RULES.map(({ id }) => id),
  );
  const order = playingOrder(rising.length, direction);
  const pitches = order.map((i) => nth(rising, i));
  const fingers = order.map((i) => nth(risingFingers, i));
  const model = modelFor({ ...options, rules: options.rules ?? "scale" });
  const settled = Object.fromEntries(fingers.map((finger, i) => [i, finger]));
  const allowed = allowedOf(pitches.length, settled, undefined);
  const passage = passageOf(pitches, hand, oneByOne(pitches.length), model.spans, allowed, ALL_FINGERS);
  if (size < 12) order.forEach((step, i) => (passage.role[i] = roleOf(step % size === 0, 0)));
  const way = new Uint8Array(pitches.length);
  const played = { hand, pitches, passage, way, twins: [], cyclic: false };
  return {
    ...describe(model, played, options.explain === true, thumbRemarks(octave, octaveFingers)),
    octave,
    octaveFingers: [...octaveFingers],
  };
}

const notesOfOctave = (
  scale: Scale | string | readonly Pitch[],
  hand: Hand,
  floor: Pitch | undefined,
): readonly Pitch[] => {
  if (isPitchList(scale)) return [...scale];
  if (typeof scale !== "string" && !isScale(scale)) {
    throw new MusicError({
      code: "fingering/scale",
      input: scale,
      expected: "a scale, its name, or the rising pitches of one octave",
    });
  }
  const read = scaleOf(scale);
  return octaveOf(read, pitchAtOrAbove(read.tonic, floor ?? parsePitch(hand === "right" ? "C4" : "C3")));
};

const requireFixed = (fixed: Readonly<Record<number, Finger>>, size: number): void => {
  for (const [step, finger] of Object.entries(fixed)) {
    if (!/^\d+$/.test(step) || Number(step) >= size || ![1, 2, 3, 4, 5].includes(finger)) {
      throw new MusicError({
        code: "fingering/fixed",
        input: { [step]: finger },
        expected: `fingers 1 to 5 by step from the tonic, 0 to ${size - 1}`,
      });
    }
  }
};

const raise = (p: Pitch, octaves: number): Pitch => ({
  kind: "pitch",
  steps: p.steps + 7 * octaves,
  semitones: p.semitones + 12 * octaves,
});

const playingOrder = (length: number, direction: "up" | "down" | "up-and-down"): readonly number[] => {
  const up = Array.from({ length }, (_, i) => i);
  const down = [...up].reverse();
  return direction === "up" ? up : direction === "down" ? down : [...up, ...down.slice(1)];
};

const thumbRemarks = (octave: readonly Pitch[], fingers: readonly Finger[]): readonly FingeringRemark[] => {
  const blacks = octave
    .filter((p, step) => fingers[step] === 1 && keyColour(p) === "black")
    .map((p) => formatPitch(noteName(p)));
  if (blacks.length === 0) return [];
  return [
    {
      kind: "thumb-on-black",
      message: `no fingering with the 5th finger at the ends only keeps the thumb off the black keys: it takes ${blacks.join(" and ")}, the least awkward`,
    },
  ];
};
