import fc from "fast-check";
import * as v from "valibot";

type Schema = v.GenericSchema<unknown, unknown>;

/** Texts by the field that they stand in, for fields that any text could stand in as far as their type says. */
export type Texts = Readonly<Record<string, fc.Arbitrary<string>>>;

const part = (schema: Schema, name: string): unknown => Object.entries(schema).find(([key]) => key === name)?.[1];

interface Action {
  readonly type?: string;
  readonly requirement?: unknown;
}

// The first item of a pipe is the schema that it begins with, which may have a pipe of its own.
const actionsOf = (schema: object): readonly Action[] => {
  const pipe = "pipe" in schema ? schema.pipe : undefined;
  if (!Array.isArray(pipe)) return [];
  const [first, ...rest]: readonly (object & Action)[] = pipe;
  return first === undefined ? [] : [...actionsOf(first), ...rest];
};

const requirement = (schema: Schema, type: string): number | undefined => {
  const found = actionsOf(schema).find((action) => action.type === type)?.requirement;
  return typeof found === "number" ? found : undefined;
};

const has = (schema: Schema, type: string): boolean => actionsOf(schema).some((action) => action.type === type);

/** Values of a schema: whatever its types, choices and bounds allow. What its own checks ask beyond that is for the caller to filter. */
export const valuesOf = (schema: Schema, texts: Texts, path = ""): fc.Arbitrary<unknown> => {
  const name = path.split(".").at(-1) ?? "";
  switch (schema.type) {
    case "optional":
      return valuesOf(part(schema, "wrapped") as Schema, texts, path);
    case "string":
      return texts[name] ?? fc.string({ minLength: 1, maxLength: 40 });
    case "number": {
      const [min, max] = [requirement(schema, "min_value") ?? 0, requirement(schema, "max_value") ?? 1000];
      return has(schema, "integer") ? fc.integer({ min, max }) : fc.double({ min, max, noNaN: true });
    }
    case "boolean":
      return fc.boolean();
    case "literal":
      return fc.constant(part(schema, "literal"));
    case "picklist":
      return fc.constantFrom(...(part(schema, "options") as readonly unknown[]));
    case "union":
      return fc.oneof(...(part(schema, "options") as readonly Schema[]).map((option) => valuesOf(option, texts, path)));
    case "array":
      return fc.array(valuesOf(part(schema, "item") as Schema, texts, path), {
        minLength: requirement(schema, "min_length") ?? 0,
        maxLength: Math.min(4, requirement(schema, "max_length") ?? 4),
      });
    case "strict_tuple":
      return fc.tuple(...(part(schema, "items") as readonly Schema[]).map((item) => valuesOf(item, texts, path)));
    case "strict_object":
    case "object":
      return fieldsOf(schema, texts, path);
    default:
      // A row with functions can't be made from its schema; rows of that kind have tests of their own.
      return fc.constant(undefined);
  }
};

const fieldsOf = (schema: Schema, texts: Texts, path: string): fc.Arbitrary<unknown> => {
  const entries = Object.entries(part(schema, "entries") as Readonly<Record<string, Schema>>);
  return fc.record(Object.fromEntries(entries.map(([key, entry]) => [key, valuesOf(entry, texts, `${path}.${key}`)])), {
    requiredKeys: entries.filter(([, entry]) => entry.type !== "optional").map(([key]) => key),
  });
};

/** A document without what is wrong in it or doesn't go with the rest, so that most of those that are drawn are whole. */
export const withoutClashes = (
  schema: Schema,
  document: Readonly<Record<string, unknown>>,
): Readonly<Record<string, unknown>> => {
  const { issues } = v.safeParse(schema, document);
  const clashing = new Set(issues?.map((issue) => v.getDotPath(issue)?.split(".")[0] ?? ""));
  const rest = Object.fromEntries(Object.entries(document).filter(([name]) => name === "key" || !clashing.has(name)));
  return Object.keys(rest).length === Object.keys(document).length ? document : withoutClashes(schema, rest);
};
