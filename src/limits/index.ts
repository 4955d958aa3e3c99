/**
 * Limits for servers: how much an answer may hold and how long it may take, and what a drill will come to.
 *
 * @module limits
 */

export type { Limits } from "../ground/watch.ts";
export type { DrillEstimate } from "./estimate.ts";
export { estimateDrill } from "./estimate.ts";
export { within } from "./within.ts";
