import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import fc from "fast-check";
import { afterAll, describe, expect, it } from "vitest";
import { JSON_SCHEMAS } from "../../src/cli/documents.ts";
import { run } from "../../src/cli/run.ts";
import {
  assessTake,
  beats,
  makeDrill,
  makeNotebook,
  makeScore,
  parsePitch,
  scoreToJson,
  simulateTake,
  writeMidi,
} from "../all.ts";

const folder = mkdtempSync(join(tmpdir(), "hands-together-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

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

const drill = makeDrill({ key: "Eb", values: "triplets", repeats: 2 });
const drillFile = join(folder, "drill.json");
writeFileSync(drillFile, JSON.stringify(scoreToJson(drill.score)));
const takeFile = join(folder, "take.mid");
writeFileSync(takeFile, writeMidi(drill.score, { tracks: { bass: false, drums: false }, spreadMs: 25 }));
const tuneFile = join(folder, "tune.json");
const tune = makeScore({
  key: "C",
  metre: "4/4",
  bars: 4,
  right: "C4 D4 E4 F4 G4 A4 B4 C5 C5 B4 A4 G4 F4 E4 D4 C4"
    .split(" ")
    .map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [parsePitch(name)] })),
});
writeFileSync(tuneFile, JSON.stringify(scoreToJson(tune)));
const wrongFile = join(folder, "wrong.mid");
const wrong = tune.right.map((event, i) => (i % 5 === 2 ? { ...event, pitches: [parsePitch("Eb4")] } : event));
writeFileSync(wrongFile, writeMidi({ ...tune, right: wrong }));

const solo = makeDrill({ key: "F", left: "rootless", changes: "blues", right: "improvised", seed: 3, backing: "none" });
const [soloFile, soloTake] = [join(folder, "solo.json"), join(folder, "solo.mid")];
writeFileSync(soloFile, JSON.stringify(scoreToJson(solo.score)));
// Struck otherwise here and there, so that there is something to say.
const lineAstray = solo.score.right.map((event, i) =>
  i % 7 === 3 ? { ...event, pitches: [parsePitch("B6")] } : event,
);
writeFileSync(soloTake, writeMidi({ ...solo.score, right: lineAstray }, { spreadMs: 10 }));

const bookFile = join(folder, "book.json");
writeFileSync(
  bookFile,
  JSON.stringify(makeNotebook({ alias: "Sparrow", at: "2026-01-01T12:00:00Z", level: 2, weak: ["Ab"] })),
);

const cases: readonly (readonly [name: string, words: readonly string[]])[] = [
  ["answer-chord", ["chord", "G7/B"]],
  ["answer-chord", ["chord", "Dm9", "--style", "rootless"]],
  ["answer-voice", ["voice", "Dm7 | G7/B | Cmaj7", "--style", "shell"]],
  ["answer-voice", ["voice", "turnaround", "--style", "rootless", "--loop"]],
  ["answer-finger", ["finger", "C4 D4 E4 F4 G4"]],
  ["answer-finger", ["finger", "C4 D4 E4 F4 G4 A4", "--why"]],
  ["answer-finger", ["finger", "--scale", "Eb major blues", "--octaves", "2"]],
  ["answer-files", ["drill", "--key", "Eb", "--out", join(folder, "a")]],
  ["answer-files", ["packet", "--keys", "Eb,Ab", "--out", join(folder, "b")]],
  ["answer-finger-alternatives", ["finger", "C4 D4 E4 F4 G4", "--alternatives", "2", "--why"]],
  ["answer-finger-difficulty", ["finger", "C4 D4 E4 F4 G4 A4", "--difficulty"]],
  ["answer-finger-keys", ["finger", "C4 D4 E4 F4 G4", "--keys", "C F Db"]],
  ["answer-finger-why-not", ["finger", "C4 D4 E4 F4 G4", "--why-not", "3=1"]],
  ["answer-analyse", ["analyse", "Dm7 | G7 | Cmaj7 | A7 | Dm7 Db7 | C6"]],
  ["answer-analyse", ["analyse", "C | F/C | G7/C | Am7 | F | C"]],
  ["answer-analyse", ["analyse", "minor-blues", "--key", "C minor"]],
  ["answer-reharmonise", ["reharmonise", "Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6"]],
  ["answer-chart", ["chart", "[A] Dm7 | G7 | Cmaj7 | (A7) | [B] Fm7 | Bb7 | Ebmaj7 | N.C."]],
  ["answer-chart", ["chart", "blues", "--key", "F"]],
  ["chart", ["chart", "Dm7 | G7 | Cmaj7", "--as", "document"]],
  ["answer-check", ["check", drillFile]],
  ["answer-check", ["check", wrongFile, "--key", "C", "--changes", "C | C | F | C"]],
  ["answer-plan", ["plan", "1"]],
  ["answer-plan", ["plan", "2", "--weak", "Ab", "--start", "2026-01-05", "--out", join(folder, "e")]],
  ["answer-notebook-next", ["notebook", "next", bookFile, "--start", "2026-01-05"]],
  [
    "answer-notebook-take",
    ["notebook", "take", bookFile, takeFile, "--drill", drillFile, "--at", "2026-01-06T17:00:00Z"],
  ],
  ["answer-notebook-show", ["notebook", "show", bookFile]],
  ["answer-assess-improvised", ["assess", soloFile, soloTake, "--improvised", "--out", join(folder, "f")]],
  ["answer-assess", ["assess", drillFile, takeFile]],
  [
    "answer-assess",
    ["assess", drillFile, takeFile, "--clock", "band", "--first-bar", "-0.2", "--out", join(folder, "c")],
  ],
  ["answer-assess", ["assess", tuneFile, wrongFile, "--out", join(folder, "d")]],
];

type Step = string | number;

/** The places of all that lies in a document, one of each kind. */
const placesIn = (value: unknown, at: readonly Step[] = []): readonly (readonly Step[])[] => {
  const found = new Map<string, readonly Step[]>();
  const walk = (part: unknown, path: readonly Step[]): void => {
    const kind = path.map((step) => (typeof step === "number" ? "*" : step)).join(".");
    if (!found.has(kind)) found.set(kind, path);
    if (Array.isArray(part)) part.forEach((one, i) => walk(one, [...path, i]));
    else if (typeof part === "object" && part !== null)
      Object.entries(part).forEach(([key, one]) => walk(one, [...path, key]));
  };
  walk(value, at);
  return [...found.values()].slice(1);
};

/** The document with something else at one place. */
const spoilt = (value: unknown, [step, ...rest]: readonly Step[]): unknown => {
  if (step === undefined) return { spoilt: true };
  if (Array.isArray(value)) return value.map((one, i) => (i === step ? spoilt(one, rest) : (one as unknown)));
  return Object.fromEntries(
    Object.entries(Object(value) as object).map(([key, one]) => [
      key,
      key === step ? spoilt(one, rest) : (one as unknown),
    ]),
  );
};

// Recipes may have any other field beside, as far as an answer hands on a user's own.
const isOpen = (path: readonly Step[]): boolean => path.includes("recipe");

describe("the JSON Schemas of answers", () => {
  it.each(cases)(
    "%s holds what %s prints, and nothing with a field too many, too few or other",
    async (name, words) => {
      const isValid = validator(name);
      for (const answer of await answersOf(words)) {
        expect(isValid(answer), JSON.stringify(isValid.errors)).toBe(true);
        const fields = Object.entries(answer as object);
        expect(isValid({ ...(answer as object), other: 1 })).toBe(false);
        expect(isValid(Object.fromEntries(fields.slice(1)))).toBe(false);
        expect(placesIn(answer).filter((path) => !isOpen(path) && isValid(spoilt(answer, path)))).toEqual([]);
      }
    },
  );

  it("law: assessment holds whatever assessTake gives", () => {
    const isValid = validator("assessment");
    const scores = [
      drill.score,
      tune,
      makeDrill({ key: "G", left: "rootless", values: "eighths", repeats: 2 }).score,
      makeDrill({ key: "C minor", changes: "minor-blues" }).score,
    ];
    const seen = new Set<string>();
    fc.assert(
      fc.property(
        fc.constantFrom(...scores),
        fc.record({
          seed: fc.nat(1000),
          wrong: fc.constantFrom(0, 0.1),
          missed: fc.constantFrom(0, 0.1),
          extra: fc.constantFrom(0, 0.1),
          restarts: fc.constantFrom(0, 2),
          pauses: fc.constantFrom(0, 2),
          velocitySpread: fc.constantFrom(0, 20),
          jitterMs: fc.constantFrom(5, 60),
        }),
        fc.constantFrom("own" as const, "band" as const),
        (score, faults, clock) => {
          const { played } = simulateTake(score, faults);
          const heard: unknown = JSON.parse(JSON.stringify(assessTake(score, played, { clock })));
          for (const path of placesIn(heard)) seen.add(path.filter((step) => typeof step === "string").join("."));
          expect(isValid(heard), JSON.stringify(isValid.errors)).toBe(true);
        },
      ),
      { numRuns: 40 },
    );
    for (const path of [
      "band.elsewhere.bars",
      "troubleSpots.places.pitch",
      "alignment.runs.pauses.seconds",
      "practise.how",
    ])
      expect(seen).toContain(path);
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
