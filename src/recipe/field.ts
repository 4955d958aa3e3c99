import * as v from "valibot";
import { isMusicError } from "../ground/errors.ts";

/** A schema that can stand in a document. */
export type Field = v.GenericSchema<unknown, unknown>;

/** How a field is given on the command line, where that doesn't follow from its name and schema. */
export interface FlagInfo {
  /** Without its hyphens; the field's name in small letters otherwise. */
  readonly flag?: string;
  /** What stands for its value in the help. */
  readonly argument?: string;
  /** It is not given by flag. */
  readonly never?: true;
}

/** A schema with what people are told of it, in the JSON Schema and in the help of commands. */
export const field = <S extends Field>(schema: S, title: string, description: string, flag: FlagInfo = {}) =>
  Object.assign(v.pipe(schema, v.title(title), v.description(description)), { flag });

/** Fields that every document may have; they say what it is and are not part of what it says. */
export const documentFields = <const Kind extends string>(kind: Kind) => ({
  $schema: v.optional(
    field(
      v.pipe(v.string(), v.maxLength(2000)),
      "Schema",
      "Where the JSON Schema of this document lies, for editors.",
      {
        never: true,
      },
    ),
  ),
  kind: v.optional(field(v.literal(kind), "Kind", "What sort of document this is.", { never: true })),
  version: v.optional(field(v.literal(1), "Version", "Version of the shape of this document.", { never: true })),
});

/** A document without the fields that say what it is. */
export const plainDocument = <T extends { $schema?: unknown; kind?: unknown; version?: unknown }>({
  $schema: _schema,
  kind: _kind,
  version: _version,
  ...rest
}: T): Omit<T, "$schema" | "kind" | "version"> => rest;

/** Text that some reader understands; where it refuses, its own words are the fault. */
export const readBy = (read: (text: string) => unknown, most = 20_000) =>
  v.pipe(
    v.string(),
    v.minLength(1),
    v.maxLength(most),
    v.rawCheck(({ dataset, addIssue }) => {
      if (!dataset.typed || dataset.issues !== undefined) return;
      const refused = refusedBy(() => read(dataset.value));
      if (refused !== undefined) addIssue({ message: refused });
    }),
  );

/** What a function answers, or what it expected instead, in words. */
export const answerOf = <T>(attempt: () => T): T | { readonly refused: string } => {
  try {
    return attempt();
  } catch (error) {
    if (!isMusicError(error)) throw error;
    return { refused: error.hint === undefined ? error.expected : `${error.expected} (${error.hint})` };
  }
};

/** What a function expected instead, in words; `undefined` where it was content. */
export const refusedBy = (attempt: () => unknown): string | undefined => {
  const answer = answerOf(() => {
    attempt();
    return undefined;
  });
  return answer?.refused;
};

/** An id of a catalogue, or a row of the user's own. */
export const idOrRow = <const Id extends string, Row extends object>(
  catalogue: readonly { readonly id: Id }[],
  row: v.GenericSchema<Row>,
) => v.union([idOf(catalogue), row]);

/** An id of a catalogue. */
export const idOf = <const Id extends string>(catalogue: readonly { readonly id: Id }[]) =>
  v.picklist(catalogue.map(({ id }) => id));

/** A whole number between two bounds. */
export const whole = (from: number, to: number) => v.pipe(v.number(), v.integer(), v.minValue(from), v.maxValue(to));

/** A list of at least one. */
export const listOf = <S extends Field>(item: S, most: number) =>
  v.pipe(v.array(item), v.minLength(1), v.maxLength(most));

/** Something that is wrong with several fields together: the field that is to be changed, and what it should be. */
export interface Clash<T> {
  readonly field: keyof T & string;
  readonly expected: string;
}

/** A rule about several fields; where the JSON Schema can say it too, how. */
export interface Rule<T> {
  readonly clashes: (document: T) => readonly Clash<T>[];
  readonly jsonSchema?: Readonly<Record<string, unknown>>;
}

/** A rule from its parts. */
export const rule = <T>(clashes: Rule<T>["clashes"], jsonSchema?: Rule<T>["jsonSchema"]): Rule<T> => ({
  clashes,
  ...(jsonSchema && { jsonSchema }),
});

/** Rules about several fields, which are asked once each field by itself is right. */
export const together = <T extends Record<string, unknown>>(...rules: readonly Rule<T>[]) =>
  Object.assign(
    v.rawCheck<T>(({ dataset, addIssue }) => {
      if (!dataset.typed || dataset.issues !== undefined) return;
      const { value: input } = dataset;
      for (const { field: key, expected } of rules.flatMap(({ clashes }) => clashes(input))) {
        const value = input[key];
        addIssue({ message: expected, input: value, path: [{ type: "object", origin: "value", input, key, value }] });
      }
    }),
    { jsonSchema: rules.flatMap((rule) => rule.jsonSchema ?? []) },
  );

/** What a document's fields are made of: lists that may not be changed. */
export type Given<Fields> = {
  readonly [Name in keyof Fields]: Fields[Name] extends infer Value
    ? Value extends readonly (infer Item)[]
      ? Value extends readonly [unknown, unknown]
        ? Readonly<Value>
        : readonly Item[]
      : Value
    : never;
};
