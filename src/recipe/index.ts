/**
 * Recipes: drills, packets and plans in words and figures, as JSON; one schema a document.
 *
 * @module recipe
 */
export type { DrillRecipe, FullDrillRecipe } from "./drill.ts";
export { parseDrillRecipe } from "./drill.ts";
export { recipeHash } from "./identity.ts";
export type { DrillsOfLevelOptions, LevelId, LevelRow, RecipeForAnyKey } from "./levels.ts";
export { drillsOfLevel, levelCatalogue } from "./levels.ts";
export type { FullPacketRecipe, PacketRecipe } from "./packet.ts";
export { parsePacketRecipe } from "./packet.ts";
export type { FullPlanRecipe, PlanRecipe } from "./plan.ts";
export { parsePlanRecipe } from "./plan.ts";
export type { RightHandId, RightHandRow } from "./right-hand.ts";
export { rightHandCatalogue } from "./right-hand.ts";
