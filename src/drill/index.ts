/**
 * Drills: both hands put together from a recipe.
 *
 * @module drill
 */
export type { Drill } from "./make.ts";
export { makeDrill } from "./make.ts";
export type { DrillRecipe, FullDrillRecipe } from "./recipe.ts";
export { drillRecipeSchema, parseDrillRecipe } from "./recipe.ts";
export type { Level } from "./levels.ts";
export { levelCatalogue, levelOf } from "./levels.ts";
