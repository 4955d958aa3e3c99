import { blueThird } from "./blue-third.ts";
import { breath } from "./breath.ts";
import { chromaticResolves } from "./chromatic-resolves.ts";
import { clearEnd } from "./clear-end.ts";
import { clearStart } from "./clear-start.ts";
import { contour } from "./contour.ts";
import { density } from "./density.ts";
import { graceNeighbour } from "./grace-neighbour.ts";
import { heldClash } from "./held-clash.ts";
import { leapRecovery } from "./leap-recovery.ts";
import { leapSize } from "./leap-size.ts";
import { motifAnswered } from "./motif-answered.ts";
import { oneVoice } from "./one-voice.ts";
import { phraseLength } from "./phrase-length.ts";
import { range } from "./range.ts";
import { repeats } from "./repeats.ts";
import { restingNote } from "./resting-note.ts";
import type { PhraseRule } from "./rule.ts";
import { strongBeats } from "./strong-beats.ts";

/** The rules in the order in which findings of one moment are told. */
export const RULES: readonly PhraseRule[] = [
  oneVoice,
  range,
  clearStart,
  clearEnd,
  restingNote,
  breath,
  blueThird,
  chromaticResolves,
  heldClash,
  graceNeighbour,
  phraseLength,
  strongBeats,
  leapRecovery,
  leapSize,
  repeats,
  contour,
  motifAnswered,
  density,
];
