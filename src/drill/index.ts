/**
 * Drills: both hands put together from a recipe.
 *
 * @module drill
 */
export { CAUTION } from "../ground/caution.ts";
export { drillRecipeJsonSchema, packetRecipeJsonSchema } from "./json-schema.ts";
export { drillKeys } from "./keys.ts";
export type { DrillsOfLevelOptions, LevelId, LevelRow, RecipeForAnyKey } from "./levels.ts";
export { drillsOfLevel, levelCatalogue } from "./levels.ts";
export type { Drill } from "./make.ts";
export { makeDrill } from "./make.ts";
export type { FullPacketRecipe, PacketDrill, PacketRecipe } from "./packet.ts";
export { packetDrills, parsePacketRecipe } from "./packet.ts";
export type { DrillRecipe, FullDrillRecipe } from "./recipe.ts";
export { parseDrillRecipe } from "./recipe.ts";
export type { RightHandId, RightHandRow } from "./right-hand.ts";
export { rightHandCatalogue } from "./right-hand.ts";
