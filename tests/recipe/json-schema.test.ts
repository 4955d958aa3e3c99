import { Ajv2020 as Ajv } from "ajv/dist/2020.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { JSON_SCHEMAS } from "../../src/cli/documents.ts";
import { isMusicError } from "../../src/ground/errors.ts";
import { parseDrillRecipe, parsePacketRecipe, parsePlanRecipe } from "../../src/recipe/index.ts";
import { drillRecipeSchema, packetRecipeSchema, planRecipeSchema } from "../../src/recipe/inner.ts";
import { valuesOf, withoutClashes } from "./arbitrary.ts";
import { TEXTS } from "./texts.ts";

const DOCUMENTS = {
  drill: { read: parseDrillRecipe, schema: drillRecipeSchema },
  packet: { read: parsePacketRecipe, schema: packetRecipeSchema },
  plan: { read: parsePlanRecipe, schema: planRecipeSchema },
} as const;
const NAMES = ["drill", "packet", "plan"] as const;

const jsonSchema = (name: string): Readonly<Record<string, unknown>> => JSON_SCHEMAS[name]?.() ?? {};
// ajv (npm): an independent reader of JSON Schema.
const ajvOf = (name: string): ((value: unknown) => boolean) => new Ajv({ strict: false }).compile(jsonSchema(name));

const accepts = (read: (recipe: unknown) => unknown, recipe: unknown): boolean => {
  try {
    read(recipe);
    return true;
  } catch (error) {
    if (!isMusicError(error)) throw error;
    return false;
  }
};

describe("the JSON Schema of a recipe", () => {
  it.each(NAMES)("%s: every field has a title and a description", (name) => {
    const bare: string[] = [];
    const walk = (schema: unknown, path: string): void => {
      if (typeof schema !== "object" || schema === null || !("properties" in schema)) return;
      for (const [key, field] of Object.entries(schema.properties as Readonly<Record<string, object>>)) {
        if (!("title" in field) || !("description" in field)) bare.push(`${path}${key}`);
        walk(field, `${path}${key}.`);
      }
    };
    walk(jsonSchema(name), "");
    expect(bare).toEqual([]);
    expect(jsonSchema(name)).toMatchObject({
      title: expect.any(String) as string,
      description: expect.any(String) as string,
    });
  });

  it.each(NAMES)("%s, law: ajv accepts what the reader accepts", (name) => {
    const { read, schema } = DOCUMENTS[name];
    const valid = ajvOf(name);
    let accepted = 0;
    fc.assert(
      fc.property(valuesOf(schema, TEXTS), (drawn) => {
        const recipe = withoutClashes(schema, drawn as Readonly<Record<string, unknown>>);
        if (!accepts(read, recipe)) return;
        accepted++;
        expect(valid(recipe)).toBe(true);
      }),
      { numRuns: 300 },
    );
    expect(accepted).toBeGreaterThan(150);
  });

  it.each(NAMES)("%s, law: a whole document says its kind, its version and where its schema lies", (name) => {
    const { read } = DOCUMENTS[name];
    const least = name === "drill" ? { key: "C" } : {};
    const whole = { $schema: "https://example.org/x.json", kind: name, version: 1, ...least };
    expect(read(whole)).toEqual(read(least));
    expect(ajvOf(name)(whole)).toBe(true);
    for (const wrong of [{ kind: "sonata" }, { version: 2 }]) {
      expect(accepts(read, { ...whole, ...wrong })).toBe(false);
      expect(ajvOf(name)({ ...whole, ...wrong })).toBe(false);
    }
  });

  it.each([
    { key: "Eb" },
    { key: "Eb", tempo: 20, pickup: "below", backing: "none" },
    { key: "C", left: ["rootless", "shell"] },
    { key: "C", left: [] },
    { key: "C", left: ["rootless", 3] },
    { key: "C", bars: [1, 2], hands: "left" },
    { key: "C", bars: [1] },
    { key: "C", bars: [1, 2, 3] },
    {},
    { key: "" },
    { key: "C", tempo: "fast" },
    { key: "C", tempo: 10 },
    { key: "C", colour: 1 },
    { key: "C", octaves: 4 },
    { key: "C", right: "sideways" },
    { key: "C", right: "octave-shifts" },
    { key: "C", right: "octave-shifts", octaves: 1 },
    { key: "C", right: "octave-shifts", octaves: 2 },
    { key: "C", repeats: 1.5 },
    { key: "C", pickup: 3 },
    { key: "C", chartKey: "F" },
    { key: "C", level: 2 },
    { key: "C", level: 2, right: "turns" },
    { key: "C", level: 2, right: "improvised" },
    { key: "C", level: 6, right: "improvised" },
    { key: "C", right: "improvised", octaves: 2 },
  ])("ajv: agrees with the reader of drills on %j", (recipe) => {
    expect(ajvOf("drill")(recipe)).toBe(accepts(parseDrillRecipe, recipe));
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
    expect(ajvOf("packet")(recipe)).toBe(accepts(parsePacketRecipe, recipe));
  });

  it.each([
    {},
    { level: 5, weeks: 52, startDate: "2027-01-04" },
    { weeks: 0 },
    { startDate: "tomorrow" },
    { drills: [{ right: "turns" }] },
    { drills: [{ key: "C" }] },
    { drills: [] },
    { weakKeys: [] },
  ])("ajv: agrees with the reader of plans on %j", (recipe) => {
    expect(ajvOf("plan")(recipe)).toBe(accepts(parsePlanRecipe, recipe));
  });
});

describe("the reader of a recipe", () => {
  it.each([
    [{ key: "H", tempo: 9, octave: 2, colour: 1 }, ["key", "tempo", "octave", "colour"]],
    [{ key: "C", left: ["rootles", "shell", "x"] }, ["left.0", "left.2"]],
    [{ key: "C", level: 2, right: "octave-shifts", octaves: 1, bars: [4, 2] }, ["level", "octaves", "bars"]],
    [{ key: "C", metre: "5/4", comping: "stride", backing: "shuffle" }, ["comping", "backing"]],
  ])("tells every fault of %j with its path", (recipe, paths) => {
    try {
      parseDrillRecipe(recipe);
    } catch (error) {
      if (!isMusicError(error)) throw error;
      for (const path of paths) expect(error.expected).toMatch(new RegExp(` at ${path.replace(".", "\\.")}(;|$)`));
      expect(error.expected.match(/ at [\w.]+(?=;|$)/g)).toHaveLength(paths.length);
      return;
    }
    expect.unreachable();
  });
});
