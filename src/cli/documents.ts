import { toJsonSchema } from "@valibot/to-json-schema";
import type { GenericSchema } from "valibot";
import { notebookSchema } from "../notebook/inner.ts";
import { chartSchema } from "../progression/inner.ts";
import { drillRecipeSchema, packetRecipeSchema, planRecipeSchema } from "../recipe/inner.ts";
import { SHAPES, scoreDocumentSchema } from "../score/inner.ts";
import { assessAnswerSchema, assessmentSchema, improvisedAnswerSchema } from "./answer-assess.ts";
import { analyseAnswerSchema, chartAnswerSchema, checkAnswerSchema, reharmoniseAnswerSchema } from "./answer-music.ts";
import { planAnswerSchema, showAnswerSchema, takeAnswerSchema, weekAnswerSchema } from "./answer-practice.ts";
import {
  alternativesAnswerSchema,
  chordAnswerSchema,
  difficultyAnswerSchema,
  errorAnswerSchema,
  filesAnswerSchema,
  fingerAnswerSchema,
  keysAnswerSchema,
  priceAnswerSchema,
  voiceAnswerSchema,
} from "./answers.ts";

type Part = NonNullable<ReturnType<typeof toJsonSchema>["allOf"]>[number];
type JsonSchema = Readonly<Record<string, unknown>>;

// A name, not a place: documents are read without a network. Source: RFC 8141, Uniform Resource Names.
const ADDRESS = "urn:hands-together:schema";

const schemaOf = (name: string, schema: GenericSchema, definitions: Record<string, GenericSchema> = {}): JsonSchema => {
  const { $schema, ...rest } = toJsonSchema(schema, {
    definitions,
    target: "draft-2020-12",
    typeMode: "input",
    // What a schema of JSON has no word for, the description says; rows in functions of a user's own are for programs.
    errorMode: "ignore",
    overrideAction: ({ valibotAction, jsonSchema }) => {
      const rules = "jsonSchema" in valibotAction ? (valibotAction.jsonSchema as readonly Part[]) : [];
      return rules.length === 0 ? undefined : { ...jsonSchema, allOf: [...(jsonSchema.allOf ?? []), ...rules] };
    },
  });
  return { $schema, $id: `${ADDRESS}:${name}`, ...rest };
};

/** The JSON Schema (draft 2020-12) of each document, by its name. */
export const JSON_SCHEMAS: Readonly<Record<string, () => JsonSchema>> = {
  "answer-analyse": () => schemaOf("answer-analyse", analyseAnswerSchema),
  "answer-assess": () => schemaOf("answer-assess", assessAnswerSchema),
  "answer-assess-improvised": () => schemaOf("answer-assess-improvised", improvisedAnswerSchema),
  "answer-chart": () => schemaOf("answer-chart", chartAnswerSchema),
  "answer-check": () => schemaOf("answer-check", checkAnswerSchema),
  "answer-chord": () => schemaOf("answer-chord", chordAnswerSchema),
  "answer-error": () => schemaOf("answer-error", errorAnswerSchema),
  "answer-files": () => schemaOf("answer-files", filesAnswerSchema),
  "answer-finger": () => schemaOf("answer-finger", fingerAnswerSchema),
  "answer-finger-alternatives": () => schemaOf("answer-finger-alternatives", alternativesAnswerSchema),
  "answer-finger-difficulty": () => schemaOf("answer-finger-difficulty", difficultyAnswerSchema),
  "answer-finger-keys": () => schemaOf("answer-finger-keys", keysAnswerSchema),
  "answer-finger-why-not": () => schemaOf("answer-finger-why-not", priceAnswerSchema),
  "answer-notebook-next": () => schemaOf("answer-notebook-next", weekAnswerSchema),
  "answer-notebook-show": () => schemaOf("answer-notebook-show", showAnswerSchema),
  "answer-notebook-take": () => schemaOf("answer-notebook-take", takeAnswerSchema),
  "answer-plan": () => schemaOf("answer-plan", planAnswerSchema),
  "answer-reharmonise": () => schemaOf("answer-reharmonise", reharmoniseAnswerSchema),
  "answer-voice": () => schemaOf("answer-voice", voiceAnswerSchema),
  assessment: () => schemaOf("assessment", assessmentSchema),
  chart: () => schemaOf("chart", chartSchema),
  drill: () => schemaOf("drill", drillRecipeSchema),
  notebook: () => schemaOf("notebook", notebookSchema),
  packet: () => schemaOf("packet", packetRecipeSchema),
  plan: () => schemaOf("plan", planRecipeSchema),
  score: () => schemaOf("score", scoreDocumentSchema, SHAPES),
};
