/**
 * Feel: how written time becomes sounding time.
 *
 * @module swing
 */
export type { FeelId, FeelRow } from "./catalogue.ts";
export { feelCatalogue, parseFeel } from "./catalogue.ts";
export type { Feel, PartFeel, ScorePart, SwingRatio, SwungFeelOptions } from "./feel.ts";
export { parseSwingRatio, partFeel, straight, swungFeel } from "./feel.ts";
export { soundingSpan, soundingTime, writtenTime } from "./sounding.ts";
export type { TempoFeelId, TempoFeelRow } from "./tempo.ts";
export {
  downbeatDelayAtTempo,
  feelAtTempo,
  feelFor,
  graceLength,
  soloistRatioAtTempo,
  swingRatioAtTempo,
  tempoFeelCatalogue,
} from "./tempo.ts";
