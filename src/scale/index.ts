/**
 * Blues and other scales, spelled, in any key.
 *
 * @module scale
 */
export type { ScaleId, ScaleRow } from "./catalogue.ts";
export { scaleCatalogue } from "./catalogue.ts";
export { parseScale, scaleNames } from "./parse.ts";
export type { KeyOrder, KeyOrderOptions, Scale, ScalePitchesOptions, TwelveKeysOptions } from "./scale.ts";
export {
  bestTonic,
  scale,
  scalePitchAt,
  scalePitches,
  scalePitchesBetween,
  transposeScale,
  twelveKeys,
} from "./scale.ts";
