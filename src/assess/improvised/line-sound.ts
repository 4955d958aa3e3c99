import { attempt } from "../../ground/attempt.ts";
import type { Score } from "../../score/index.ts";
import { partFeel } from "../../swing/index.ts";
import { mean } from "../align/align.ts";
import type { PlayedNote } from "../align/played.ts";
import { rounded, spreadOf } from "../measure/model.ts";
import type { SwingMeasurement } from "../measure/swing-measure.ts";
import { measureSwing } from "../measure/swing-measure.ts";

/** How a line is swung and touched. */
export interface LineSound {
  /** Absent where fewer than eight beats hold a pair, or in compound metres. */
  readonly swing?: { readonly asked: number; readonly measured: SwingMeasurement };
  /** Absent for fewer than eight notes, or an instrument without touch. */
  readonly touch?: {
    /** Mean velocity, and its spread. */
    readonly mean: number;
    readonly spread: number;
    /** How much louder notes off the beat are; absent where there are fewer than eight of either. */
    readonly offbeats?: number;
  };
}

const FEWEST = 8;
// A note this near to a beat is on it.
const ON = 0.12;

/**
 * @param beats - quarter notes by the clock of the take, lag taken off, note by note
 */
export const lineSound = (
  score: Score,
  own: readonly PlayedNote[],
  beats: readonly number[],
  step: number,
): LineSound => {
  const { ratio, unit } = partFeel(score.feel, "right");
  const measured = step === 1 ? attempt(() => measureSwing(beats, { unit })) : undefined;
  const flat = own.every(({ velocity }) => velocity === own[0]?.velocity);
  const velocities = own.map(({ velocity }) => velocity);
  const isOn = (_: unknown, i: number): boolean => Math.abs((beats[i] ?? 0) - Math.round(beats[i] ?? 0)) <= ON;
  const [on, off] = [velocities.filter(isOn), velocities.filter((v, i) => !isOn(v, i))];
  return {
    ...(measured === undefined || measured.pairs < FEWEST
      ? {}
      : { swing: { asked: rounded(ratio.first / ratio.second, 3), measured } }),
    ...(flat || own.length < FEWEST
      ? {}
      : {
          touch: {
            mean: rounded(mean(velocities)),
            spread: rounded(spreadOf(velocities)),
            ...(Math.min(on.length, off.length) < FEWEST ? {} : { offbeats: rounded(mean(off) - mean(on)) }),
          },
        }),
  };
};
