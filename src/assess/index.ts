/**
 * Assessment: a student's take read against the score, what went well, and what to practise next.
 *
 * @module assess
 */
export type { PlayedNote } from "./played.ts";
export type { AskedNote } from "./asked.ts";
export type { AlignedNote, Alignment, Run } from "./align.ts";
export { alignTake } from "./align.ts";
export type { SimulatedTake, TakeFaults } from "./simulate.ts";
export { simulateTake } from "./simulate.ts";
