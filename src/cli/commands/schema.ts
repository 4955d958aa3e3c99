import { MusicError } from "../../ground/errors.ts";
import { nearestName } from "../../ground/text.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { JSON_SCHEMAS } from "../documents.ts";
import type { Terminal } from "../io.ts";
import { writeFiles } from "../io.ts";

interface Options {
  readonly out?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

const NAMES = Object.keys(JSON_SCHEMAS);

export const addSchemaCommand: AddCommand = (program, terminal, done) => {
  program
    .command("schema")
    .description("the JSON Schema (draft 2020-12) of a document, for editors and other tools")
    .argument("[name]", `${NAMES.join(", ")}; - reads one a line from standard input`)
    .option("--out <folder>", "writes the schemas of all documents into a folder instead")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .action(async (name: string | undefined, { out, force, json }: Options) => {
      if ((name === undefined) === (out === undefined))
        throw new MusicError({
          code: "cli/schema",
          input: name ?? "",
          expected: `the name of a document (${NAMES.join(", ")}), or --out and a folder for all`,
        });
      done(
        await answerEach(name ?? "all", json === true, terminal, (item) =>
          out === undefined ? schemaNamed(item) : writeAll(out, force === true, terminal),
        ),
      );
    });
};

const textOf = (schema: unknown): string => JSON.stringify(schema, null, 2);

const schemaNamed = (name: string): Answer => {
  const make = Object.hasOwn(JSON_SCHEMAS, name) ? JSON_SCHEMAS[name] : undefined;
  if (make === undefined) {
    const near = nearestName(name, NAMES);
    throw new MusicError({
      code: "cli/schema",
      input: name,
      expected: `the name of a document: ${NAMES.join(", ")}`,
      hint: near && `did you mean ${near}?`,
    });
  }
  const schema = make();
  return { json: schema, text: textOf(schema) };
};

const writeAll = (folder: string, force: boolean, terminal: Terminal): Answer => {
  const files = writeFiles(
    folder,
    Object.entries(JSON_SCHEMAS).map(([name, make]) => ({ name: `${name}.json`, contents: `${textOf(make())}\n` })),
    force,
    terminal,
  );
  return { json: { files }, text: files.join("\n") };
};
