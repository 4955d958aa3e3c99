import { Ajv2020 } from "ajv/dist/2020.js";
import fc from "fast-check";
import { parseMidi } from "midi-file";
import { safeParse } from "valibot";
import { describe, expect, it } from "vitest";
import { JSON_SCHEMAS } from "../../src/cli/documents.ts";
import { scoreDocumentSchema } from "../../src/score/shape.ts";
import {
  beats,
  CAUTION,
  MusicError,
  makeScore,
  metre,
  parseChord,
  parseKey,
  pitch,
  scoreFromJson,
  scoreToJson,
  writeMidi,
  writeMusicXml,
} from "../all.ts";
import { anyScore } from "./arbitrary.ts";

const refusal = (json: unknown): MusicError => {
  try {
    scoreFromJson(json);
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
};

const ajv = new Ajv2020({ allErrors: false });
const allowed = ajv.compile(JSON_SCHEMAS.score?.() ?? false);
const document = () =>
  structuredClone(
    scoreToJson(
      makeScore({
        key: parseKey("Eb"),
        metre: metre("4/4"),
        bars: 2,
        pickup: beats(1),
        title: "T",
        chords: [{ at: beats(0), duration: beats(8), chord: parseChord("Ebmaj7"), numeral: "I" }],
        right: [
          {
            at: beats(-1),
            duration: beats("1/3"),
            pitches: [pitch("Eb4")],
            fingers: [2],
            graces: [{ pitch: pitch("D4"), style: "crushed", finger: 1 }],
            velocity: 80,
          },
        ],
        drums: [{ at: beats(0), duration: beats(1), midi: 51 }],
        phrases: [{ at: beats(-1), duration: beats(2) }],
      }),
    ),
  ) as unknown as Record<string, unknown>;

describe("score as JSON", () => {
  it("law: a score read back from its JSON text is the same score", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        expect(scoreFromJson(JSON.stringify(scoreToJson(score)))).toEqual(score);
      }),
      { numRuns: 70 },
    );
  });

  it("law: every document passes the published schema, by another validator", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const json: unknown = JSON.parse(JSON.stringify(scoreToJson(score)));
        expect(allowed(json), JSON.stringify(allowed.errors)).toBe(true);
      }),
      { numRuns: 70 },
    );
  });

  it("names notes, writes beats as exact text, and keeps fingers as numbers", () => {
    expect(document()).toMatchObject({
      kind: "score",
      version: 1,
      key: "Eb major",
      metre: "4/4",
      pickup: "1",
      chords: [{ at: "0", duration: "8", symbol: "Ebmaj7", numeral: "I" }],
      right: [
        {
          at: "-1",
          duration: "1/3",
          pitches: ["Eb4"],
          fingers: [2],
          graces: [{ pitch: "D4", style: "crushed", finger: 1 }],
          velocity: 80,
        },
      ],
    });
  });

  it("reads past the address of its schema, which editors need", () => {
    const { $schema, ...plain } = { ...document(), $schema: "./score.json" };
    expect(allowed({ ...plain, $schema })).toBe(true);
    expect(scoreFromJson({ ...plain, $schema })).toEqual(scoreFromJson(plain));
  });

  it("law: every field of the published schema has a title and a description", () => {
    let fields = 0;
    const walk = (part: unknown): void => {
      if (typeof part !== "object" || part === null) return;
      const { properties = {}, ...rest } = part as { properties?: Record<string, object> };
      for (const [name, field] of Object.entries(properties)) {
        fields += 1;
        if (!("$ref" in field))
          expect(field, name).toMatchObject({ title: expect.any(String), description: expect.any(String) });
        walk(field);
      }
      Object.values(rest).forEach(walk);
    };
    walk(JSON_SCHEMAS.score?.());
    expect(fields).toBeGreaterThan(40);
  });

  it("law: our check and the published schema refuse the same broken documents", () => {
    const paths: string[][] = [
      ["kind"],
      ["version"],
      ["title"],
      ["key"],
      ["metre"],
      ["tempo"],
      ["feel"],
      ["feel", "ratio"],
      ["feel", "unit"],
      ["pickup"],
      ["bars"],
      ["chords"],
      ["chords", "0", "at"],
      ["chords", "0", "symbol"],
      ["right", "0", "pitches"],
      ["right", "0", "pitches", "0"],
      ["right", "0", "fingers", "0"],
      ["right", "0", "graces", "0", "style"],
      ["right", "0", "velocity"],
      ["right", "0", "extra"],
      ["drums", "0", "midi"],
      ["phrases", "0", "duration"],
      ["extra"],
    ];
    const value = fc.oneof(
      fc.constantFrom(
        undefined,
        null,
        "",
        "1",
        "7/3",
        "1/0",
        "-1",
        "Eb4",
        "H4",
        "Eb minor",
        "3/4",
        0,
        1,
        2,
        5,
        6,
        51,
        1.5,
        1e6,
        -1,
        true,
        [],
        {},
        ["C4"],
        [1],
        "straight",
      ),
      fc.jsonValue({ maxDepth: 2 }),
    );
    let broken = 0;
    fc.assert(
      fc.property(fc.constantFrom(...paths), value, (path, put) => {
        const json = document();
        let at: Record<string, unknown> = json;
        for (const step of path.slice(0, -1)) at = at[step] as Record<string, unknown>;
        const last = path.at(-1) as string;
        if (put === undefined) delete at[last];
        else at[last] = put;
        const ours = safeParse(scoreDocumentSchema, json).success;
        if (!ours) broken += 1;
        expect(allowed(JSON.parse(JSON.stringify(json)))).toBe(ours);
      }),
      { numRuns: 600 },
    );
    expect(broken).toBeGreaterThan(100);
  });

  it.each<[string, unknown, string, string]>([
    ["text that is no JSON", "{", "score/json", "JSON document"],
    ["another version", { ...document(), version: 2 }, "score/json", "version"],
    ["a missing field", (({ bars: _, ...rest }) => rest)(document()), "score/json", "bars"],
    ["an unknown field", { ...document(), colour: "red" }, "score/json", "colour"],
    [
      "a pitch that is no name",
      { ...document(), right: [{ at: "0", duration: "1", pitches: ["H4"] }] },
      "score/json",
      "right.0.pitches.0",
    ],
    [
      "a float for beats",
      { ...document(), right: [{ at: 0.5, duration: "1", pitches: ["C4"] }] },
      "score/json",
      "right.0.at",
    ],
    [
      "a chord that can't be read",
      { ...document(), chords: [{ at: "0", duration: "1", symbol: "Cmaj8" }] },
      "chord/symbol",
      "",
    ],
    ["a key without a signature", { ...document(), key: "G# major" }, "pitch/key", ""],
    ["a note past the end", { ...document(), right: [{ at: "8", duration: "1", pitches: ["C4"] }] }, "score/span", ""],
    ["nothing", undefined, "score/json", "an object"],
  ])("refuses %s, with the path", (_, json, code, mention) => {
    const error = refusal(json);
    expect(error.code).toBe(code);
    expect(error.message).toContain(mention);
  });

  it("a chord is stored as its symbol, so no score holds one whose symbol stands for another", () => {
    const chord = { ...parseChord("Cm7"), symbol: "C7" };
    const given = {
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 1,
      chords: [{ at: beats(0), duration: beats(4), chord }],
    };
    expect(() => makeScore(given)).toThrowError(expect.objectContaining({ code: "score/argument" }));
    const score = makeScore({ ...given, chords: [] });
    expect(() => scoreToJson({ ...score, chords: given.chords })).toThrowError(
      expect.objectContaining({ code: "score/argument" }),
    );
  });
});

describe("the caution", () => {
  it("travels as data in JSON, MusicXML and MIDI, and is no part of the score that is read", () => {
    const score = makeScore({ key: "C", metre: "4/4", bars: 1 });
    expect(scoreToJson(score).caution).toBe(CAUTION);
    expect(scoreFromJson(JSON.stringify(scoreToJson(score)))).toEqual(score);
    expect(writeMusicXml(score)).toContain(`<miscellaneous-field name="caution">${CAUTION}</miscellaneous-field>`);
    const [conductor = []] = parseMidi(writeMidi(score)).tracks;
    expect(conductor.filter(({ type }) => type === "text")).toMatchObject([{ text: CAUTION }]);
  });
});
