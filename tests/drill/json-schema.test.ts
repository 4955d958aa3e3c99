import { toJsonSchema } from "@valibot/to-json-schema";
import { Ajv } from "ajv";
import { describe, expect, it } from "vitest";
import { drillRecipeJsonSchema, drillRecipeSchema, parseDrillRecipe } from "../../src/drill/index.ts";

const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value, (key, inner: unknown) => (key === "type" && inner === "string" ? "string" : inner)));
// valibot writes the type of an enumeration beside it or not; the values decide.
const withoutEnumTypes = (value: unknown): unknown =>
  Array.isArray(value) ? value.map(withoutEnumTypes)
  : typeof value === "object" && value !== null
    ? Object.fromEntries(Object.entries(value).filter(([key]) => !(key === "type" && "enum" in value)).map(([key, inner]) => [key, withoutEnumTypes(inner)]))
    : value;

describe("the JSON Schema of a recipe", () => {
  it("@valibot/to-json-schema: is what the recipe's own schema generates", () => {
    expect(withoutEnumTypes(plain(drillRecipeJsonSchema))).toEqual(withoutEnumTypes(plain(toJsonSchema(drillRecipeSchema))));
  });

  it.each([
    { key: "Eb" }, { key: "Eb", tempo: 20, pickup: "below", backing: "none" }, {}, { key: "" }, { key: "C", tempo: "fast" }, { key: "C", tempo: 10 },
    { key: "C", colour: 1 }, { key: "C", octaves: 4 }, { key: "C", right: "sideways" }, { key: "C", repeats: 1.5 }, { key: "C", pickup: 3 },
  ])("ajv: agrees with the reader of recipes on %j", (recipe) => {
    const accepted = (() => {
      try {
        parseDrillRecipe(recipe);
        return true;
      } catch {
        return false;
      }
    })();
    expect(new Ajv({ strict: false }).compile(drillRecipeJsonSchema)(recipe)).toBe(accepted);
  });
});
