import { toJsonSchema } from "@valibot/to-json-schema";
import { Ajv2020 as Ajv } from "ajv/dist/2020.js";
import type * as v from "valibot";
import { describe, expect, expectTypeOf, it } from "vitest";
import type { DrillRecipe, FullDrillRecipe, FullPacketRecipe, PacketRecipe } from "../../src/drill/index.ts";
import {
  drillRecipeJsonSchema,
  packetRecipeJsonSchema,
  parseDrillRecipe,
  parsePacketRecipe,
} from "../../src/drill/index.ts";
import { packetRecipeSchema } from "../../src/drill/packet.ts";
import { drillRecipeSchema } from "../../src/drill/recipe.ts";

const plain = (value: unknown): unknown =>
  JSON.parse(JSON.stringify(value, (key, inner: unknown) => (key === "type" && inner === "string" ? "string" : inner)));
// valibot writes the type of an enumeration beside it or not; the values decide.
const withoutEnumTypes = (value: unknown): unknown =>
  Array.isArray(value)
    ? value.map(withoutEnumTypes)
    : typeof value === "object" && value !== null
      ? Object.fromEntries(
          Object.entries(value)
            .filter(([key]) => !(key === "type" && "enum" in value))
            .map(([key, inner]) => [key, withoutEnumTypes(inner)]),
        )
      : value;

const accepts = (read: (recipe: unknown) => unknown, recipe: unknown): boolean => {
  try {
    read(recipe);
    return true;
  } catch {
    return false;
  }
};

type Lists<Fields> = {
  readonly [Name in keyof Fields]: Fields[Name] extends infer Value
    ? Value extends readonly (infer Item)[]
      ? readonly Item[]
      : Value
    : never;
};
type Plain<Fields> = { readonly [Name in keyof Fields]: Fields[Name] };

describe("the JSON Schema of a recipe", () => {
  it("the types of recipes say what their readers take and give", () => {
    expectTypeOf<Plain<DrillRecipe>>().toEqualTypeOf<Lists<v.InferInput<typeof drillRecipeSchema>>>();
    expectTypeOf<Plain<FullDrillRecipe>>().toEqualTypeOf<Lists<v.InferOutput<typeof drillRecipeSchema>>>();
    expectTypeOf<Plain<PacketRecipe>>().toEqualTypeOf<Lists<v.InferInput<typeof packetRecipeSchema>>>();
    expectTypeOf<Plain<FullPacketRecipe>>().toEqualTypeOf<Lists<v.InferOutput<typeof packetRecipeSchema>>>();
  });

  // What depends on another field is said beside valibot's schema, by the reader itself.
  const { dependentSchemas: _, ...drillSchema } = drillRecipeJsonSchema;
  it.each([
    ["drill", drillSchema, drillRecipeSchema],
    ["packet", packetRecipeJsonSchema, packetRecipeSchema],
  ] as const)(
    "@valibot/to-json-schema: that of a %s is what the recipe's own schema generates",
    (_, published, schema) => {
      expect(withoutEnumTypes(plain(published))).toEqual(
        withoutEnumTypes(plain(toJsonSchema(schema, { target: "draft-2020-12" }))),
      );
    },
  );

  it.each([
    { key: "Eb" },
    { key: "Eb", tempo: 20, pickup: "below", backing: "none" },
    {},
    { key: "" },
    { key: "C", tempo: "fast" },
    { key: "C", tempo: 10 },
    { key: "C", colour: 1 },
    { key: "C", octaves: 4 },
    { key: "C", right: "sideways" },
    { key: "C", repeats: 1.5 },
    { key: "C", pickup: 3 },
    { key: "C", chartKey: "F" },
    { key: "C", level: 2 },
    { key: "C", level: 2, right: "turns" },
    { key: "C", level: 2, right: "improvised" },
    { key: "C", level: 6, right: "improvised" },
    { key: "C", right: "improvised", octaves: 2 },
  ])("ajv: agrees with the reader of drills on %j", (recipe) => {
    expect(new Ajv({ strict: false }).compile(drillRecipeJsonSchema)(recipe)).toBe(accepts(parseDrillRecipe, recipe));
  });

  it.each([
    {},
    { keys: "all" },
    { keys: "some" },
    { keys: ["Eb", "F#"] },
    { keys: ["Eb", "H"] },
    { keys: [] },
    { keys: ["E♭"] },
    { keys: ["C minor"] },
    { levels: [1, 5] },
    { levels: [6] },
    { levels: [] },
    { exercises: 12 },
    { exercises: 13 },
    { exercises: ["turns"] },
    { exercises: ["turn"] },
    { exercises: ["improvised", "turns"] },
    { level: 2 },
    { exercises: [] },
    { key: "C" },
    { right: "turns" },
    { mode: "minor" },
    { title: "" },
    { title: "Thursday", tempo: 400, octaves: 2, pickup: "below", backing: "none" },
    { tempo: 401 },
    { chartKey: "F", changes: "Dm7 | G7" },
  ])("ajv: agrees with the reader of packets on %j", (recipe) => {
    expect(new Ajv({ strict: false }).compile(packetRecipeJsonSchema)(recipe)).toBe(accepts(parsePacketRecipe, recipe));
  });
});
