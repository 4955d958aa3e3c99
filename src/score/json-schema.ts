/**
 * JSON Schema (draft 2020-12) of a stored score, for editors and for programs in other languages.
 *
 * It states the shape; `scoreFromJson` also asks that names can be read and that the music can be played. It is what
 * `@valibot/to-json-schema` makes of the shape that `scoreFromJson` checks, and a test holds the two together.
 *
 * @example
 * ```ts
 * import { scoreJsonSchema } from "hands-together/score";
 *
 * scoreJsonSchema.required.includes("bars"); // => true
 * ```
 */
export const scoreJsonSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  title: "hands-together score",
  description:
    'Notes are names ("Eb4"), lowest first in an event; times are quarter notes from the first bar line as exact text ("7/3").',
  type: "object",
  properties: {
    kind: { const: "score" },
    version: { const: 1 },
    title: { type: "string" },
    key: { type: "string", pattern: "^[A-G](b|#)? (major|minor)$" },
    metre: { type: "string", pattern: "^[1-9][0-9]?\\/(2|4|8|16)$" },
    tempo: { type: "number", minimum: 10, maximum: 1000 },
    feel: {
      type: "object",
      properties: {
        id: { type: "string" },
        ratio: { $ref: "#/$defs/Ratio" },
        unit: { enum: ["eighth", "16th"], type: "string" },
        downbeatDelay: { $ref: "#/$defs/Length" },
        parts: {
          type: "object",
          properties: {
            right: { $ref: "#/$defs/PartFeel" },
            left: { $ref: "#/$defs/PartFeel" },
            bass: { $ref: "#/$defs/PartFeel" },
            drums: { $ref: "#/$defs/PartFeel" },
          },
          required: [],
          additionalProperties: false,
        },
      },
      required: ["id", "ratio", "unit"],
      additionalProperties: false,
    },
    pickup: { $ref: "#/$defs/Length" },
    bars: { type: "integer", minimum: 1, maximum: 10000 },
    chords: {
      type: "array",
      items: {
        type: "object",
        properties: {
          at: { $ref: "#/$defs/Moment" },
          duration: { $ref: "#/$defs/Length" },
          symbol: { anyOf: [{ type: "string" }, { type: "null" }] },
          numeral: { type: "string" },
        },
        required: ["at", "duration", "symbol"],
        additionalProperties: false,
      },
    },
    right: { type: "array", items: { $ref: "#/$defs/Note" } },
    left: { type: "array", items: { $ref: "#/$defs/Note" } },
    bass: { type: "array", items: { $ref: "#/$defs/Note" } },
    drums: {
      type: "array",
      items: {
        type: "object",
        properties: {
          at: { $ref: "#/$defs/Moment" },
          duration: { $ref: "#/$defs/Length" },
          midi: { type: "integer", minimum: 35, maximum: 81 },
          velocity: { type: "integer", minimum: 1, maximum: 127 },
        },
        required: ["at", "duration", "midi"],
        additionalProperties: false,
      },
    },
    phrases: {
      type: "array",
      items: {
        type: "object",
        properties: { at: { $ref: "#/$defs/Moment" }, duration: { $ref: "#/$defs/Length" } },
        required: ["at", "duration"],
        additionalProperties: false,
      },
    },
    recipe: { type: "object", propertyNames: { type: "string" }, additionalProperties: {} },
  },
  required: ["kind", "version", "title", "key", "metre", "tempo", "feel", "pickup", "bars", "chords", "right", "left"],
  additionalProperties: false,
  $defs: {
    Moment: { type: "string", pattern: "^-?[0-9]{1,15}(\\/[1-9][0-9]{0,14})?$" },
    Length: { type: "string", pattern: "^[0-9]{1,15}(\\/[1-9][0-9]{0,14})?$" },
    Pitch: { type: "string", pattern: "^[A-G](b{1,3}|#{1,3})?(-1|[0-9])$" },
    Note: {
      type: "object",
      properties: {
        at: { $ref: "#/$defs/Moment" },
        duration: { $ref: "#/$defs/Length" },
        pitches: { type: "array", items: { $ref: "#/$defs/Pitch" }, minItems: 1 },
        fingers: { type: "array", items: { enum: [1, 2, 3, 4, 5], type: "number" } },
        graces: {
          type: "array",
          items: {
            type: "object",
            properties: {
              pitch: { $ref: "#/$defs/Pitch" },
              style: { enum: ["slide", "crushed"], type: "string" },
              finger: { enum: [1, 2, 3, 4, 5], type: "number" },
            },
            required: ["pitch", "style"],
            additionalProperties: false,
          },
        },
        articulation: { enum: ["accent", "staccato"], type: "string" },
        velocity: { type: "integer", minimum: 1, maximum: 127 },
      },
      required: ["at", "duration", "pitches"],
      additionalProperties: false,
    },
    Ratio: {
      type: "object",
      properties: {
        first: { type: "integer", minimum: 1, maximum: 99990000 },
        second: { type: "integer", minimum: 1, maximum: 99990000 },
      },
      required: ["first", "second"],
      additionalProperties: false,
    },
    PartFeel: {
      type: "object",
      properties: { ratio: { $ref: "#/$defs/Ratio" }, downbeatDelay: { $ref: "#/$defs/Length" } },
      required: [],
      additionalProperties: false,
    },
  },
} as const;
