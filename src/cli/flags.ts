import type { Command } from "commander";
import { Option } from "commander";
import type { ObjectEntries } from "valibot";
import type { Flag } from "../recipe/inner.ts";
import { flagsOf } from "../recipe/inner.ts";
import { changesText } from "./changes.ts";

/** A document whose fields a command takes as flags. */
export interface DocumentSchema {
  readonly entries: ObjectEntries;
}

const helpOf = ({ description, otherwise }: Flag): string =>
  `${description.replace(/\.$/, "")}${otherwise === undefined ? "" : ` (${otherwise} unless given)`}`;

/** Adds the fields of a document to a command as flags; what they are, their choices and defaults are those of the schema. */
export const addFlags = (command: Command, schema: DocumentSchema): Command => {
  for (const flag of flagsOf(schema)) command.addOption(new Option(flag.flags, helpOf(flag)));
  return command;
};

/** The fields that were given as flags, read as the schema takes them. */
export const givenFields = (
  options: Readonly<Record<string, unknown>>,
  schema: DocumentSchema,
): Readonly<Record<string, unknown>> =>
  Object.fromEntries(
    flagsOf(schema).flatMap((flag) => {
      const given = options[new Option(flag.flags).attributeName()];
      return typeof given === "string" || given === true
        ? [[flag.field, flag.read(flag.field === "changes" ? changesText(String(given)) : given)]]
        : [];
    }),
  );
