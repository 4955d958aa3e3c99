import { backingCatalogue } from "../backing/index.ts";
import { compingCatalogue, pickupCatalogue } from "../comping/index.ts";
import { exerciseCatalogue } from "../line/index.ts";

const ids = (rows: readonly { readonly id: string }[]): readonly string[] => rows.map((row) => row.id);
const text = { type: "string", minLength: 1, maxLength: 20_000 } as const;

/**
 * The JSON Schema (draft-07) of a drill recipe, for editors and other tools; it accepts what `parseDrillRecipe` accepts.
 *
 * @example
 * ```ts
 * import { drillRecipeJsonSchema } from "hands-together";
 *
 * drillRecipeJsonSchema.required; // => ["key"]
 * ```
 */
export const drillRecipeJsonSchema = {
  $schema: "http://json-schema.org/draft-07/schema#",
  type: "object",
  properties: {
    key: text,
    changes: { ...text, default: "turnaround" },
    left: { enum: ["shell", "rootless"], default: "shell" },
    comping: { enum: ids(compingCatalogue) },
    pickup: { anyOf: [{ type: "boolean" }, { enum: ids(pickupCatalogue) }], default: false },
    lowBass: { type: "boolean", default: false },
    right: { enum: ids(exerciseCatalogue), default: "up-and-down" },
    scale: text,
    values: { enum: ["eighths", "triplets"], default: "eighths" },
    octaves: { enum: [1, 2, 3], default: 1 },
    tempo: { type: "number", minimum: 20, maximum: 400, default: 100 },
    feel: { ...text, default: "2:1" },
    backing: { enum: ["none", ...ids(backingCatalogue)], default: "swing" },
    seed: { type: "integer", minimum: 0, maximum: 2 ** 31 - 1, default: 1 },
    repeats: { type: "integer", minimum: 1, maximum: 100, default: 1 },
  },
  required: ["key"],
  additionalProperties: false,
} as const;
