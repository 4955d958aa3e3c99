import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { isDeepStrictEqual } from "node:util";
import { createContext, Script } from "node:vm";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { isMusicError } from "../src/ground/errors.ts";
import type { Interval, Key, Pitch } from "../src/pitch/index.ts";
import { intervalName, keyName, pitchName } from "../src/pitch/index.ts";
import type { Metre } from "../src/time/index.ts";
import { formatMetre } from "../src/time/index.ts";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
// A call that takes longer hangs.
const LONGEST = 2000;
// Processor milliseconds for one function: enough for all places and values of nearly every one; `npm run nightly` gives them all they take.
const PATIENCE = Number(process.env.LAW_SECONDS ?? 0) * 1000 || 3_000;

// Milliseconds of the processor: other work on the machine makes nothing hang.
const busy = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

type Call = (...given: readonly unknown[]) => unknown;
type Path = readonly (string | number)[];

const filesIn = (folder: string): string[] =>
  readdirSync(join(ROOT, folder)).flatMap((name) => {
    const path = `${folder}/${name}`;
    return statSync(join(ROOT, path)).isDirectory() ? filesIn(path) : path.endsWith(".ts") ? [path] : [];
  });

const SOURCES = filesIn("src");
// What ground makes public is exported by the root.
const FOLDERS = [
  "ground",
  ...readdirSync(join(ROOT, "src")).filter((name) => SOURCES.includes(`src/${name}/index.ts`)),
];

interface Exported {
  readonly folder: string;
  readonly name: string;
  readonly call: Call;
  /** Argument lists of the examples in doc comments. */
  readonly given: (readonly unknown[])[];
}

// The whole public surface; what several subpaths export is tried with the first folder whose own it is.
const everything = async (): Promise<{
  readonly api: Readonly<Record<string, unknown>>;
  readonly list: Exported[];
}> => {
  const api: Record<string, unknown> = {};
  const list: Exported[] = [];
  const known = new Map<unknown, Call>();
  for (const folder of FOLDERS) {
    const file = folder === "ground" ? "errors.ts" : "index.ts";
    const module: Readonly<Record<string, unknown>> = await import(/* @vite-ignore */ join(ROOT, "src", folder, file));
    for (const [name, value] of Object.entries(module)) {
      if (typeof value !== "function" || /^class\b/.test(Function.prototype.toString.call(value))) {
        api[name] = value;
        continue;
      }
      const recorded = known.get(value);
      if (recorded !== undefined) {
        api[name] = recorded;
        continue;
      }
      const given: (readonly unknown[])[] = [];
      const call: Call = (...args) => Reflect.apply(value, undefined, args);
      const recorder: Call = (...args) => {
        // As a callback of `map` a function is also told the place and the list.
        const own = Array.isArray(args[2]) && args[2][Number(args[1])] === args[0] ? args.slice(0, 1) : args;
        if (given.length < 3) given.push(own);
        return call(...args);
      };
      known.set(value, recorder);
      api[name] = recorder;
      list.push({ folder, name, call, given });
    }
  }
  return { api, list };
};

const runExamples = (api: Readonly<Record<string, unknown>>): void => {
  for (const file of SOURCES) {
    for (const [, block = ""] of readFileSync(join(ROOT, file), "utf8").matchAll(/\* ```ts\n([\s\S]*?)\s*\* ```/g)) {
      const code = block
        .replace(/^\s*\* ?/gm, "")
        .replace(/^(\s*)(?!(?:const|let|import)\b)(.+?);\s*\/\/ throws .+$/gm, "$1try { $2; } catch {}")
        .replace(/^import \{([^}]*)\} from "hands-together(?:\/[a-z-]+)?";$/gm, "const {$1} = __api;")
        .replace(/^import type .*$/gm, "");
      const options = { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext };
      try {
        new Function("__api", ts.transpile(code, options))(api);
      } catch {
        // That an example tells the truth is tests/docs.test.ts's business.
      }
    }
  }
};

const sparse = (): unknown[] => {
  const list: unknown[] = [];
  // Longer ones stop the machine inside of `map`, where no time limit reaches.
  list.length = 2 ** 25;
  return list;
};
const circle = (): object => {
  const round: Record<string, unknown> = { kind: "pitch" };
  round.self = round;
  return round;
};

const JUNK: readonly (readonly [name: string, value: unknown])[] = [
  ["undefined", undefined],
  ["null", null],
  ["NaN", Number.NaN],
  ["Infinity", Number.POSITIVE_INFINITY],
  ["-Infinity", Number.NEGATIVE_INFINITY],
  ["-1", -1],
  ["0", 0],
  ["1.5", 1.5],
  ["2**53", 2 ** 53],
  ["2**31", 2 ** 31],
  ["1e308", 1e308],
  ['""', ""],
  ['"junk"', "junk"],
  ['"C4"', "C4"],
  ['"7"', "7"],
  ["a long text", "x".repeat(100_000)],
  ["a long name", "C".repeat(100_000)],
  ["[]", []],
  ["{}", {}],
  ["[null]", [null]],
  ["[[]]", [[]]],
  ["[undefined]", [undefined]],
  ["{ kind: undefined }", { kind: undefined }],
  ["true", true],
  ["a function", () => 1],
  ["a symbol", Symbol("junk")],
  ["a bigint", 7n],
  ["no date", new Date(Number.NaN)],
  ["no prototype", Object.create(null)],
  ["a long list", { length: 2 ** 53 - 1 }],
  ["a sparse list", sparse()],
  ["a circle", circle()],
];

const isObject = (value: unknown): value is Record<string | number, unknown> =>
  typeof value === "object" && value !== null;

// Every argument, every field in it and every field of those; of a list the first two items stand for the rest.
const placesIn = (args: readonly unknown[]): readonly Path[] => {
  const inside = (value: unknown, path: Path, depth: number): Path[] => {
    if (depth === 0 || !isObject(value)) return [];
    const keys = Array.isArray(value) ? [...value.keys()].slice(0, 2) : Object.keys(value).slice(0, 24);
    return keys.flatMap((key) => [[...path, key], ...inside(value[key], [...path, key], depth - 1)]);
  };
  return args.flatMap((arg, i) => [[i], ...inside(arg, [i], 2)]);
};

const replaced = (value: unknown, [key, ...rest]: Path, by: unknown): unknown => {
  if (key === undefined) return by;
  if (Array.isArray(value)) return value.map((item, i) => (i === key ? replaced(item, rest, by) : item));
  return isObject(value) ? { ...value, [key]: replaced(value[key], rest, by) } : value;
};

// A hundred thousand values tell enough of an answer.
const faultIn = (answer: unknown): string | undefined => {
  const seen = new Set<unknown>();
  const open: unknown[] = [answer];
  while (open.length > 0 && seen.size < 100_000) {
    const value = open.pop();
    if (value === undefined) return "undefined inside";
    if (typeof value === "number" && Number.isNaN(value)) return "NaN inside";
    if (typeof value === "string" && /\bNaN\b|\bundefined\b|\[object Object\]/.test(value)) return "NaN in a text";
    if (!isObject(value) || seen.has(value)) continue;
    seen.add(value);
    if (value instanceof Map || value instanceof Set) for (const part of value.values()) open.push(part);
    else for (const part of Array.isArray(value) ? value : Object.values(value)) open.push(part);
  }
  return undefined;
};

const verdict = (run: () => unknown): string | undefined => {
  try {
    return faultIn(run());
  } catch (error) {
    return isMusicError(error) ? undefined : String(error).slice(0, 80);
  }
};

// Spreads the cases over places and values alike, the same on every machine.
const shuffled = <T>(list: readonly T[]): readonly T[] =>
  list
    .map((item, i) => ({ item, key: Math.imul(i + 1, 0x9e3779b1) >>> 0 }))
    .sort((a, b) => a.key - b.key)
    .map(({ item }) => item);

// The name of what has one, as people write it.
const nameOf = (value: unknown): string | undefined => {
  if (!isObject(value)) return undefined;
  if (value.kind === "pitch") return pitchName(value as unknown as Pitch);
  if (value.kind === "interval") return intervalName(value as unknown as Interval);
  if (value.kind === "key") return keyName(value as unknown as Key);
  if (value.kind === "metre") return formatMetre(value as unknown as Metre);
  if (value.kind === "chord") return String(value.symbol);
  if (value.kind === "scale") return `${String(value.tonic)} ${String(value.type)}`;
  return undefined;
};

type Named = readonly [path: Path, text: unknown];

// Arguments, lists and options; not what lies in a document such as a score.
const namesIn = (args: readonly unknown[]): readonly Named[] => {
  const named = (value: unknown): unknown => {
    if (!Array.isArray(value)) return nameOf(value);
    const names = value.map(named);
    return names.length > 0 && !names.includes(undefined) ? names : undefined;
  };
  return args.flatMap((arg, i): readonly Named[] => {
    const own = named(arg);
    if (own !== undefined) return [[[i], own]];
    if (!isObject(arg) || "kind" in arg || Array.isArray(arg)) return [];
    return Object.entries(arg).flatMap(([key, value]) => {
      const text = named(value);
      return text === undefined ? [] : [[[i, key], text]];
    });
  });
};

const answerOf = (run: () => unknown): unknown => {
  try {
    return run();
  } catch (error) {
    return isMusicError(error) ? error.message : error;
  }
};

const LOOP = new Script("loop()");

const faultsOf = ({ name, call, given }: Exported): { readonly faults: readonly string[]; readonly calls: number } => {
  const cases = shuffled(
    given.flatMap((args) => placesIn(args).flatMap((path) => JUNK.map((junk) => ({ args, path, junk })))),
  );
  const faults: string[] = [];
  let next = 0;
  let since = 0;
  const started = busy();
  const loop = (): void => {
    while (next < cases.length && busy() - started < PATIENCE) {
      const { args, path, junk } = cases[next++] ?? expect.fail("no case");
      since = busy();
      const mixed = args.map((arg, i) => (i === path[0] ? replaced(arg, path.slice(1), junk[1]) : arg));
      const fault = verdict(() => call(...mixed));
      if (busy() - since > LONGEST) faults.push(`${name} with ${junk[0]} at ${path.join(".")}: hangs`);
      if (fault !== undefined) faults.push(`${name} with ${junk[0]} at ${path.join(".")}: ${fault}`);
    }
  };
  // What runs inside of a context can be stopped from outside, whatever it does.
  while (next < cases.length && busy() - started < PATIENCE) {
    try {
      LOOP.runInContext(createContext({ loop }), { timeout: PATIENCE + LONGEST });
    } catch (error) {
      if (!String(error).includes("timed out")) throw error;
      const { path, junk } = cases[next - 1] ?? expect.fail("no case");
      const long = Math.round(busy() - since);
      if (long >= LONGEST) faults.push(`${name} with ${junk[0]} at ${path.join(".")}: hangs`);
    }
  }
  return { faults, calls: next };
};

describe("junk", async () => {
  const { api, list } = await everything();
  runExamples(api);

  it("law: every exported function is called in an example", () => {
    expect(list.filter(({ given }) => given.length === 0).map(({ folder, name }) => `${folder} ${name}`)).toEqual([]);
  });

  // `JUNK=pitch npx vitest run tests/junk.test.ts` counts what is left to do in one folder, `JUNK=all` in every one.
  const asked = process.env.JUNK;
  const held = FOLDERS.filter((folder) => asked === undefined || [folder, "all"].includes(asked));

  it.each(held)(
    "law: %s answers whatever it is given with a MusicError, or with neither NaN nor undefined inside, and in time",
    (folder) => {
      const results = list.filter((one) => one.folder === folder).map((one) => ({ name: one.name, ...faultsOf(one) }));
      const counts = results.map(({ name, calls, faults }) => `${name} ${faults.length} of ${calls}`);
      if (asked !== undefined) console.log(`${folder}: ${counts.join(", ")}`);
      expect(results.filter(({ calls, name }) => calls === 0 && name !== "scaleNames")).toEqual([]);
      expect(results.flatMap(({ faults }) => faults.slice(0, 12))).toEqual([]);
    },
  );

  it("law: where a value of the field is wanted, its name does as well", () => {
    const told = list.flatMap(({ name, call, given }) =>
      given.flatMap((args) =>
        namesIn(args).map(([path, text]) => {
          const [first = 0, ...rest] = path;
          const mixed = args.map((arg, i) => (i === first ? replaced(arg, rest, text) : arg));
          const answer = answerOf(() => call(...mixed));
          const same = isDeepStrictEqual(
            answer,
            answerOf(() => call(...args)),
          );
          return { told: `${name} with ${String(text)} at ${path.join(".")}: ${String(answer).slice(0, 120)}`, same };
        }),
      ),
    );
    expect(told.length).toBeGreaterThan(70);
    expect(told.filter(({ same }) => !same).map((one) => one.told)).toEqual([]);
  });
});
