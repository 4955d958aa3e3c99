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
  // Whole drills, and few repeats: how long a drill may be is a bound of its own.
  const { bars: _, ...recipe } = value as DrillRecipe;
  return withoutClashes(drillRecipeSchema, {
    ...recipe,
    ...(recipe.repeats !== undefined && { repeats: (recipe.repeats % 3) + 1 }),
  });
});

describe("recipes", () => {
  it("law: each recipe that the schema accepts is made", () => {
    const refused = new Map<string, unknown>();
    let made = 0;
    let seen = 0;
    fc.assert(
      fc.property(recipes, (recipe) => {
        seen++;
        if (!v.is(drillRecipeSchema, recipe)) return;
        try {
          const { score } = makeDrill(recipe);
          expect(score.bars).toBeGreaterThan(0);
          made++;
        } catch (error) {
          if (!isMusicError(error)) throw error;
          refused.set(`${error.code}: ${error.expected}`, recipe);
        }
      }),
      { numRuns: Number(process.env.RECIPES ?? 600) },
    );
    expect(Object.fromEntries(refused)).toEqual({});
    expect(made / seen).toBeGreaterThan(0.7);
    if (process.env.RECIPES !== undefined) console.log({ made, seen });
  }, 600_000);
});
