import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import { JSON_SCHEMAS } from "../../src/cli/documents.ts";
import { run } from "../../src/cli/run.ts";

const answersOf = async (words: readonly string[], lines = ""): Promise<readonly unknown[]> => {
  let out = "";
  await run([...words, ...(lines === "" ? ["--json"] : [])], {
    write: (text) => {
      out += text;
    },
    complain: () => undefined,
    readStdin: () => lines,
    columns: undefined,
  });
  return out
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line) as unknown);
};
// ajv (npm): an independent reader of JSON Schema.
const validator = (name: string) => new Ajv2020({ strict: false }).compile(JSON_SCHEMAS[name]?.() ?? false);

const cases: readonly (readonly [name: string, words: readonly string[]])[] = [
  ["answer-chord", ["chord", "G7/B"]],
  ["answer-chord", ["chord", "Dm9", "--style", "rootless"]],
  ["answer-voice", ["voice", "Dm7 | G7/B | Cmaj7", "--style", "shell"]],
  ["answer-voice", ["voice", "turnaround", "--style", "rootless", "--loop"]],
  ["answer-finger", ["finger", "C4 D4 E4 F4 G4"]],
  ["answer-finger", ["finger", "C4 D4 E4 F4 G4 A4", "--why"]],
  ["answer-finger", ["finger", "--scale", "Eb major blues", "--octaves", "2"]],
  ["answer-files", ["drill", "--key", "Eb", "--out", join(mkdtempSync(join(tmpdir(), "hands-together-")), "a")]],
];

describe("the JSON Schemas of answers", () => {
  it.each(cases)("%s holds what %s prints, and nothing with a field too many or too few", async (name, words) => {
    const isValid = validator(name);
    for (const answer of await answersOf(words)) {
      expect(isValid(answer), JSON.stringify(isValid.errors)).toBe(true);
      const fields = Object.entries(answer as object);
      expect(isValid({ ...(answer as object), other: 1 })).toBe(false);
      expect(isValid(Object.fromEntries(fields.slice(1)))).toBe(false);
    }
  });

  it("answer-error holds what a refused line is answered with", async () => {
    const isError = validator("answer-error");
    const [good, bad] = await answersOf(["chord", "-"], "Dm7\nH7\n");
    expect(isError(bad), JSON.stringify(isError.errors)).toBe(true);
    expect(isError(good)).toBe(false);
  });

  it("law: the same answer is the same text", async () => {
    for (const [, words] of cases.slice(0, 6))
      expect(JSON.stringify(await answersOf(words))).toBe(JSON.stringify(await answersOf(words)));
  });
});
