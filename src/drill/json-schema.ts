import { backingCatalogue } from "../backing/index.ts";
import { compingCatalogue, pickupCatalogue } from "../comping/index.ts";
import { levelCatalogue } from "./levels.ts";
import { rightHandCatalogue } from "./right-hand.ts";

const ids = (rows: readonly { readonly id: string }[]): readonly string[] => rows.map((row) => row.id);
const text = { type: "string", minLength: 1, maxLength: 20_000 } as const;

const list = (items: object, maxItems: number) => ({ type: "array", items, minItems: 1, maxItems }) as const;

const fields = {
  key: text,
  changes: text,
  chartKey: text,
  left: { enum: ["shell", "rootless"] },
  comping: { enum: ids(compingCatalogue) },
  pickup: { anyOf: [{ type: "boolean" }, { enum: ids(pickupCatalogue) }] },
  lowBass: { type: "boolean" },
  right: { enum: ids(rightHandCatalogue) },
  level: { enum: [1, 2, 3, 4, 5] },
  scale: text,
  values: { enum: ["eighths", "triplets"] },
  octaves: { enum: [1, 2, 3] },
  tempo: { type: "number", minimum: 20, maximum: 400 },
  feel: text,
  backing: { enum: ["none", ...ids(backingCatalogue)] },
  seed: { type: "integer", minimum: 0, maximum: 2 ** 31 - 1 },
  repeats: { type: "integer", minimum: 1, maximum: 100 },
} as const;

/**
 * The JSON Schema (draft 2020-12) of a drill recipe, for editors and other tools; it accepts what `parseDrillRecipe` accepts.
 *
 * @example
 * ```ts
 * import { drillRecipeJsonSchema } from "hands-together/drill";
 *
 * drillRecipeJsonSchema.required; // => ["key"]
 * ```
 */
export const drillRecipeJsonSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  type: "object",
  properties: {
    ...fields,
    changes: { ...fields.changes, default: "turnaround" },
    left: { ...fields.left, default: "shell" },
    pickup: { ...fields.pickup, default: false },
    lowBass: { ...fields.lowBass, default: false },
    right: { ...fields.right, default: "up-and-down" },
    tempo: { ...fields.tempo, default: 100 },
    feel: { ...fields.feel, default: "2:1" },
    backing: { ...fields.backing, default: "swing" },
    seed: { ...fields.seed, default: 1 },
    repeats: { ...fields.repeats, default: 1 },
  },
  required: ["key"],
  dependentSchemas: { level: { properties: { right: { const: "improvised" } }, required: ["right"] } },
  additionalProperties: false,
} as const;

const { key: _key, right, level: _level, ...drillFields } = fields;

/**
 * The JSON Schema (draft 2020-12) of a packet recipe, for editors and other tools; it accepts what `parsePacketRecipe` accepts.
 *
 * @example
 * ```ts
 * import { packetRecipeJsonSchema } from "hands-together/drill";
 *
 * packetRecipeJsonSchema.properties.levels.default; // => [1, 3]
 * ```
 */
export const packetRecipeJsonSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  type: "object",
  properties: {
    ...drillFields,
    title: { type: "string", minLength: 1, maxLength: 200, default: "Practice packet" },
    keys: { anyOf: [{ const: "all" }, list({ type: "string", pattern: "^[A-G][b#♭♯]?$" }, 30)], default: "all" },
    order: { enum: ["fourths", "fifths", "chromatic"], default: "fourths" },
    mode: { enum: ["major", "minor"] },
    levels: { ...list({ enum: levelCatalogue.map((row) => row.id) }, 5), default: [1, 3] },
    exercises: { anyOf: [{ type: "integer", minimum: 1, maximum: 12 }, list(right, 12)], default: 3 },
  },
  required: [],
  additionalProperties: false,
} as const;
