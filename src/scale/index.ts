/**
 * Blues and other scales, spelled, in any key.
 *
 * @module scale
 */
export type { ScaleId, ScaleRow } from "./catalogue.ts";
export { scaleCatalogue } from "./catalogue.ts";
export type { KeyOrder, KeyOrderOptions, Scale, ScalePitchesOptions } from "./scale.ts";
export {
  bestTonic,
  parseScale,
  scale,
  scaleNames,
  scalePitchAt,
  scalePitches,
  scalePitchesBetween,
  transposeScale,
  twelveKeys,
} from "./scale.ts";
