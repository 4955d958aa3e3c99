/**
 * Left-hand patterns over voicings: what is struck when.
 *
 * @module comping
 */
export type { CompAlongOptions, CompingReason, DrawnComping } from "./along.ts";
export { compAlong } from "./along.ts";
export type { CompingBar, CompingHit, CompingId, CompingPart, CompingRow } from "./catalogue.ts";
export { compingCatalogue } from "./catalogue.ts";
export type { CompOptions } from "./comp.ts";
export { comp, compingPattern, fitsMetre } from "./comp.ts";
export type { LaidOutChord } from "./lay-out.ts";
export { layOutChord } from "./lay-out.ts";
export type { CompingCell, CompingMannerId, CompingMannerRow } from "./manner-catalogue.ts";
export { compingMannerCatalogue } from "./manner-catalogue.ts";
export type { PickupId, PickupPart, PickupRow } from "./pickups.ts";
export { pickupCatalogue } from "./pickups.ts";
