/**
 * Motion between chords: the smallest voice leading, and the smoothest path through a progression.
 *
 * @module voice-leading
 */

export type { AimId, AimRow, AimSetId, AimWeights } from "./aims.ts";
export { aimCatalogue } from "./aims.ts";
export type { BlockChord, BlockChordOptions } from "./block.ts";
export { blockChords } from "./block.ts";
export type { VoicingCandidate } from "./candidate.ts";
export type { PitchClassLeading, PitchClassMove, VoiceLeading, VoiceLeadingOptions, VoiceMove } from "./leading.ts";
export { pitchClassLeading, voiceLeading } from "./leading.ts";
export type { VoiceLeadingMetric } from "./metric.ts";
export type { AimDecision, SmoothestPath, SmoothestPathOptions } from "./path.ts";
export { smoothestPath } from "./path.ts";
export type {
  ChordColour,
  GuideTone,
  StyleFallback,
  VoicedProgression,
  VoiceProgressionOptions,
} from "./progression.ts";
export { voiceProgression } from "./progression.ts";
export type { Reharmonisation, ReharmonisationId } from "./reharmonise.ts";
export { reharmonisations } from "./reharmonise.ts";
