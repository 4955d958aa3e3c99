import { fileURLToPath } from "node:url";
import { runInNewContext } from "node:vm";
import { Worker } from "node:worker_threads";
import { build } from "esbuild";
import { beforeAll, describe, expect, it } from "vitest";
import { isMusicError, MusicError } from "../../src/ground/errors.ts";

const error = new MusicError({ code: "pitch/name", input: "H4", expected: "a pitch", hint: "did you mean B4?" });
const fields = { name: "MusicError", code: "pitch/name", input: "H4", expected: "a pitch", hint: "did you mean B4?" };

describe("the one error", () => {
  it("is an error, says all in one line, and has a stack", () => {
    expect(error).toBeInstanceOf(Error);
    expect(error).toBeInstanceOf(MusicError);
    expect(error).toMatchObject({ ...fields, reason: "bad-input" });
    expect(error.message).toBe('pitch/name: got "H4", expected a pitch (did you mean B4?)');
    expect(error.stack).toContain("errors.test");
    expect(String(error)).toContain(error.message);
  });

  it("keeps its fields through structuredClone, JSON and another thread", async () => {
    expect(structuredClone(error)).toMatchObject(fields);
    expect(JSON.parse(JSON.stringify(error))).toMatchObject(fields);
    const worker = new Worker(
      "require('worker_threads').parentPort.once('message', (m) => require('worker_threads').parentPort.postMessage(m))",
      { eval: true },
    );
    const echo = new Promise((resolve) => worker.once("message", resolve));
    worker.postMessage(error);
    expect(await echo).toMatchObject(fields);
    await worker.terminate();
    for (const copy of [structuredClone(error), JSON.parse(JSON.stringify(error))])
      expect(isMusicError(copy)).toBe(true);
  });

  it.each<readonly [string, unknown]>([
    ["a function", () => 1],
    ["a symbol", Symbol("x")],
    ["a function deep inside", { a: [{ b: () => 1 }] }],
    ["a bigint", 7n],
    ["no number", Number.NaN],
    ["undefined", undefined],
    [
      "a circle",
      (() => {
        const o: Record<string, unknown> = {};
        o.o = o;
        return o;
      })(),
    ],
    ["a map that can't be copied", new WeakMap()],
    [
      "nothing, four billion times",
      (() => {
        const list: unknown[] = [];
        list.length = 2 ** 32 - 1;
        return list;
      })(),
    ],
  ])("can be made, copied and written with %s for its input", (_, input) => {
    const made = new MusicError({ code: "time/beats", input, expected: "beats" });
    expect(made.input).toBe(input);
    expect(structuredClone(made)).toMatchObject({ code: "time/beats", expected: "beats" });
    expect(JSON.parse(JSON.stringify(made))).toMatchObject({ code: "time/beats", expected: "beats" });
    expect(made.message).not.toContain("\n");
    expect(made.message.length).toBeLessThan(200);
  });

  it("cuts what is long and puts it into one line", () => {
    const made = new MusicError({
      code: "chart/text",
      input: "a\nb".repeat(10_000),
      expected: "x ".repeat(5000),
      hint: "y\ny",
    });
    expect(made.message.length).toBeLessThan(1000);
    expect(made.message).not.toContain("\n");
  });

  it("is none of what only looks a little like it", () => {
    for (const other of [
      null,
      undefined,
      "MusicError",
      new Error("pitch/name"),
      { name: "MusicError" },
      { ...fields, code: 3 },
    ])
      expect(isMusicError(other)).toBe(false);
  });
});

describe("two copies of the library", () => {
  let others: { readonly isMusicError: (value: unknown) => boolean; readonly MusicError: typeof MusicError };
  beforeAll(async () => {
    const { outputFiles } = await build({
      entryPoints: [fileURLToPath(new URL("../../src/ground/errors.ts", import.meta.url))],
      bundle: true,
      format: "cjs",
      write: false,
    });
    const module = { exports: {} };
    runInNewContext(outputFiles[0]?.text ?? "", { module, exports: module.exports });
    others = module.exports as typeof others;
  });

  it("know each other's errors, though not by class", () => {
    const theirs = new others.MusicError({ code: "pitch/name", input: "H4", expected: "a pitch" });
    expect(theirs instanceof MusicError).toBe(false);
    expect(isMusicError(theirs)).toBe(true);
    expect(others.isMusicError(error)).toBe(true);
    expect(others.isMusicError(structuredClone(error))).toBe(true);
    expect(others.isMusicError(new Error("no"))).toBe(false);
  });
});
