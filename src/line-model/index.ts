/**
 * What lines are drawn from: counts learnt from a corpus of transcribed solos. A subpath of its own, for its weight.
 *
 * @module line-model
 */
export type { LineModel } from "./model.ts";
export { lineModel } from "./model.ts";
