import type { Finger } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import type { Fingering } from "./fingering.ts";
import { describe } from "./fingering.ts";
import type { Model } from "./model.ts";
import { roleOf } from "./model.ts";
import type { FingeringOptions } from "./options.ts";
import type { Passage } from "./passage.ts";
import { ALL_FINGERS, allowedOf, oneByOne, passageOf } from "./passage.ts";
import { giveScale } from "./pattern.ts";
import { recogniseScale } from "./recognise.ts";
import { modelFor } from "./rule-set.ts";
import { giveSequences } from "./sequence.ts";
import { openings } from "./strain.ts";

/** Pitches made ready for the solver. */
export interface PitchesTask {
  readonly model: Model;
  readonly passage: Passage;
}

/** Pitches made ready for the solver. */
export const pitchesTask = (
  pitches: readonly Pitch[],
  { hand, fixed, scale, ...options }: FingeringOptions,
): PitchesTask => {
  const model = modelFor(options);
  const allowed = allowedOf(pitches.length, fixed, options.resting);
  const passage = passageOf(pitches, hand, oneByOne(pitches.length), model.spans, allowed, ALL_FINGERS);
  if (scale !== undefined && scale !== false) giveScale(pitches, passage, scale, hand);
  if (scale === undefined)
    recogniseScale(pitches, hand)?.forEach((finger, i) => (passage.role[i] = roleOf(false, finger)));
  if (options.sequences !== false && options.loop !== true) giveSequences(model, passage);
  return { model, passage };
};

/** How a way through pitches is told. */
export const pitchesAnswer = (
  pitches: readonly Pitch[],
  options: FingeringOptions,
  { model, passage }: PitchesTask,
  way: Uint8Array,
): Fingering => {
  const played = { hand: options.hand, pitches, passage, way, twins: [], cyclic: options.loop === true };
  const remarks = (fingers: readonly Finger[]) => openings(options.hand, pitches, fingers, model.spans);
  return describe(model, played, options.explain === true, remarks);
};
