/**
 * Drills: both hands put together from a recipe.
 *
 * @module drill
 */
export { CAUTION } from "../ground/caution.ts";
export type { DrillBarDifficulty, DrillDifficulty } from "./difficulty.ts";
export { drillDifficulty } from "./difficulty.ts";
export type { DrillKeyOrder, DrillKeysOptions } from "./keys.ts";
export { drillKeys } from "./keys.ts";
export type { Drill } from "./make.ts";
export { makeDrill } from "./make.ts";
export type { PacketDrill } from "./packet.ts";
export { packetDrills } from "./packet.ts";
