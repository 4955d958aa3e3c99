import fc from "fast-check";
import * as v from "valibot";
import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { isMusicError } from "../../src/ground/errors.ts";
import type { DrillRecipe } from "../../src/recipe/index.ts";
import { drillRecipeSchema } from "../../src/recipe/inner.ts";
import { valuesOf, withoutClashes } from "./arbitrary.ts";
import { TEXTS } from "./texts.ts";

const recipes = valuesOf(drillRecipeSchema, TEXTS).map((value) => {
  const recipe = value as DrillRecipe;
  // Few repeats and small bar numbers, so that most drills are short and most bars are in them.
  return withoutClashes(drillRecipeSchema, {
    ...recipe,
    ...(recipe.repeats !== undefined && { repeats: (recipe.repeats % 3) + 1 }),
    ...(recipe.bars !== undefined && { bars: recipe.bars.map((bar) => (bar % 2) + 1) }),
  });
});

/** Whether a drill ends, once through, before the bars that are asked of it: how long an exercise is shows when it is made, and no schema can say it. */
const endsEarlier = ({ bars, repeats: _, ...recipe }: DrillRecipe): boolean =>
  bars !== undefined && makeDrill(recipe as DrillRecipe).score.bars < bars[1];

const RUNS = Number(process.env.RECIPES ?? 1300);

describe("recipes", () => {
  it("law: each recipe that the schema accepts is made", () => {
    const refused = new Map<string, unknown>();
    let made = 0;
    let parts = 0;
    fc.assert(
      fc.property(recipes, (recipe) => {
        if (!v.is(drillRecipeSchema, recipe)) return;
        try {
          const { score } = makeDrill(recipe as DrillRecipe);
          expect(score.bars).toBeGreaterThan(0);
          made++;
          if ("bars" in recipe) parts++;
        } catch (error) {
          if (!isMusicError(error)) throw error;
          if (error.code === "drill/bars" && endsEarlier(recipe as DrillRecipe)) return;
          refused.set(`${error.code}: ${error.expected}`, recipe);
        }
      }),
      { numRuns: RUNS },
    );
    expect(Object.fromEntries(refused)).toEqual({});
    expect(made).toBeGreaterThanOrEqual(RUNS / 1.3);
    expect(parts).toBeGreaterThan(RUNS / 10);
  }, 600_000);
});
