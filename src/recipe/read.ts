import * as v from "valibot";
import type { Fault } from "../ground/check.ts";
import { faultsOf, isRecord, refusal } from "../ground/check.ts";
import type { MusicErrorCode } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";

type DocumentSchema = v.GenericSchema<object, object> & { readonly entries: v.ObjectEntries };

/** A document with every default filled in, or one error that tells all that is wrong with it. */
export const readDocument = <S extends DocumentSchema>(
  schema: S,
  document: unknown,
  code: MusicErrorCode,
): v.InferOutput<S> => {
  // valibot takes a list for an object and its methods for fields.
  if (!isRecord(document)) throw refusal(code, document, [{ path: "", input: document, expected: "an object" }]);
  const first = v.safeParse(schema, document, { abortEarly: true });
  if (first.success) return first.output;
  // All that is wrong is told of what a person could have written.
  const { issues } = isShort(document) ? v.safeParse(schema, document) : first;
  const fields = Object.keys(schema.entries);
  // valibot stops at the first field that it does not know.
  const unknown = Object.keys(document).filter((name) => !fields.includes(name));
  throw refusal(code, document, [
    ...faultsOf(issues ?? first.issues).filter(
      ({ path, expected }) => expected !== "no such field" || !unknown.includes(path),
    ),
    ...unknown.map((name): Fault => {
      const near = nearestName(name, fields);
      return { path: name, input: name, expected: "no such field", hint: near && `did you mean ${near}?` };
    }),
  ]);
};

const MOST_VALUES = 10_000;

const isShort = (document: unknown): boolean => {
  const open: unknown[] = [document];
  for (let left = MOST_VALUES; open.length > 0; left--) {
    const value = open.pop();
    if (typeof value !== "object" || value === null) continue;
    const size = Array.isArray(value) ? value.length : Object.keys(value).length;
    if (size > left || open.length > left) return false;
    open.push(...Object.values(value));
  }
  return true;
};
