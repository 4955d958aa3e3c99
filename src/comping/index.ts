/**
 * Left-hand patterns over voicings: what is struck when.
 *
 * @module comping
 */
export type { CompingHit, CompingId, CompingPart, CompingRow } from "./catalogue.ts";
export { compingCatalogue } from "./catalogue.ts";
export type { CompOptions, LaidOutChord } from "./comp.ts";
export { comp, compingPattern } from "./comp.ts";
export { layOutChord } from "./lay-out.ts";
