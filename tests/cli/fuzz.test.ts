import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { writeMidi } from "../../src/midi/index.ts";
import { scoreToJson } from "../../src/score/index.ts";
import type { Answer } from "./call.ts";
import { call } from "./call.ts";
import { realCommandLine } from "./real.ts";

const linesOf = (text: string): readonly string[] => text.split("\n").filter((line) => line !== "");

const ERROR = /^([a-z-]+\/[a-z0-9-]+: got .*, expected .+|error: .+)$/;
const LONGEST_LINE = 1200;
const STACK = /\n\s+at |RangeError|TypeError|Unhandled|node:internal/;

/**
 * The law of the command line: an answer, or one line that says what was expected and an exit code of 1 or 2. Warnings about a damaged
 * file may come before; a list on standard input is answered line by line.
 */
const lawful = ({ code, out, err }: Answer, { list = false }: { readonly list?: boolean } = {}): void => {
  expect([0, 1, 2]).toContain(code);
  expect(out + err).not.toMatch(STACK);
  for (const line of linesOf(err)) expect(line.length).toBeLessThan(LONGEST_LINE);
  if (code === 0) {
    expect(out).not.toBe("");
    return;
  }
  const errors = linesOf(err).filter((line) => ERROR.test(line));
  if (!list) {
    expect(errors).toHaveLength(1);
    expect(out).toBe("");
  }
  expect(linesOf(err).at(-1)).toMatch(/^([a-z-]+\/[a-z0-9-]+: |error: |\(Did you mean )/);
};

// Where a command writes that names no folder. The drill that the README makes first may lie there already, and stays as it is.
const defaultFolders = (): readonly unknown[] =>
  ["drill", "packet"].map(
    (name) =>
      existsSync(name) &&
      readdirSync(name, { recursive: true, encoding: "utf8" })
        .sort()
        .map((file) => [file, statSync(join(name, file)).mtimeMs]),
  );
const before = defaultFolders();

let folder = "";
let files = 0;
const file = (contents: string | Uint8Array): string => {
  const path = join(folder, `file-${++files}`);
  writeFileSync(path, contents);
  return path;
};
const out = (): readonly string[] => ["--out", join(folder, "out")];

let [drill, take] = ["", ""];
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "hands-together-fuzz-"));
  mkdirSync(join(folder, "out"));
  const { score } = makeDrill({ key: "C", changes: "I | V", backing: "none" });
  drill = file(JSON.stringify(scoreToJson(score)));
  take = file(writeMidi(score));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Every command that reads standard input. */
const READERS: readonly (readonly string[])[] = [
  ["chord", "-"],
  ["voice", "-"],
  ["finger", "-"],
  ["finger", "--scale", "-"],
  ["plan", "-"],
  ["drill", "-"],
  ["packet", "-"],
  ["check", "-"],
  ["assess", "DRILL", "-"],
  ["assess", "DRILL", "-", "--improvised"],
];
const reader = (args: readonly string[]): readonly string[] => [
  ...args.map((arg) => (arg === "DRILL" ? drill : arg)),
  ...(["drill", "packet"].includes(args[0] as string) ? [...out(), "--force"] : []),
];

/** Every command that reads a file. */
const FILE_READERS: readonly ((path: string) => readonly string[])[] = [
  (path) => ["check", path],
  (path) => ["assess", path, take],
  (path) => ["assess", drill, path],
  (path) => ["assess", drill, path, "--improvised"],
  (path) => ["packet", path, ...out(), "--force"],
];

const everyFileReader = async (path: string): Promise<readonly Answer[]> => {
  const results: Answer[] = [];
  for (const args of FILE_READERS) {
    const result = await call(args(path));
    lawful(result);
    results.push(result);
  }
  return results;
};

const NUMBERS = [
  "1e308",
  "1e9",
  "99999999999",
  "NaN",
  "Infinity",
  "-Infinity",
  "-0",
  "0x10",
  "1e400",
  "",
  " ",
  "1.5",
  "-1",
  "9007199254740993",
  "１２",
  "null",
  "5 5",
  "+5",
  "1_000",
  "\0",
];

describe("law: the command line ends with an answer or one clear line, whatever it is given", () => {
  it.each([
    ["drill", "--key", "C", "--tempo"],
    ["drill", "--key", "C", "--octaves"],
    ["drill", "--key", "C", "--repeats"],
    ["drill", "--key", "C", "--seed"],
    ["drill", "--key", "C", "--feel"],
    ["finger", "--scale", "C major", "--octaves"],
    ["voice", "C", "--span"],
    ["plan", "--weeks"],
    ["plan", "--days"],
    ["plan", "--minutes"],
    ["plan", "--tempo"],
    ["plan", "--target"],
    ["plan", "--level"],
    ["plan", "--start"],
    ["plan", "--start", "2027-01-04", "--time"],
    ["packet", "--keys", "C", "--levels"],
    ["packet", "--keys", "C", "--tempo"],
    ["check", "x", "--track"],
    ["assess", "x", "y", "--improvised", "--first-bar"],
  ])("numbers: %j", async (...args) => {
    const folderOf = ["drill", "packet"].includes(args[0] as string) ? [...out(), "--force"] : [];
    for (const number of NUMBERS) {
      const result = await call([...args, number, ...folderOf]);
      lawful(result);
      if (number !== "1e9" && number !== "5 5" && number !== "1.5")
        expect([args, number, result.code]).toEqual([args, number, args.includes("--seed") && number === "-0" ? 0 : 2]);
    }
  });

  it("numbers in a recipe", async () => {
    const recipes = ["tempo", "octaves", "repeats", "seed"].flatMap((field) =>
      ["1e308", "1e400", "-1", "1e9", '"NaN"', "null", "[]"].map((value) => `{"key":"C","${field}":${value}}`),
    );
    const result = await call(["drill", "-", ...out(), "--force"], recipes.join("\n"));
    lawful(result, { list: true });
    const codes = linesOf(result.out).map((line) => (JSON.parse(line) as { error?: { code: string } }).error?.code);
    expect(codes.filter((code) => code === "recipe/drill")).toHaveLength(recipes.length - 1); // 1e9 is a seed
  });

  it("bytes of any kind on standard input", async () => {
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...READERS), fc.uint8Array({ maxLength: 400 }), async (args, bytes) => {
        lawful(await call(reader(args), new TextDecoder().decode(bytes)), { list: true });
      }),
      { numRuns: 150 },
    );
  });

  it("bytes of any kind as a file, and as the inside of a MIDI file", async () => {
    const header = [0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 1, 0, 1, 1, 0xe0, 0x4d, 0x54, 0x72, 0x6b, 0, 0, 2, 0];
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom([], header.slice(0, 4), header),
        fc.uint8Array({ maxLength: 600 }),
        async (start, bytes) => {
          await everyFileReader(file(new Uint8Array([...start, ...bytes])));
        },
      ),
      { numRuns: 40 },
    );
  });

  it("a take with bytes changed", async () => {
    const { score } = makeDrill({ key: "C", changes: "I | V", backing: "none" });
    const whole = writeMidi(score);
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(whole.length - 1), fc.nat(255)), { minLength: 1, maxLength: 6 }),
        async (changes) => {
          const bytes = whole.slice();
          for (const [at, value] of changes) bytes[at] = value;
          const path = file(bytes);
          for (const args of [
            ["check", path],
            ["assess", drill, path],
            ["assess", drill, path, "--improvised"],
          ])
            lawful(await call(args));
          // The example: a run of notes whose clock would have none of them.
        },
      ),
      {
        numRuns: 40,
        examples: [
          [
            [
              [73, 107],
              [182, 0],
            ],
          ],
        ],
      },
    );
  });

  it.each([
    ["letters", "a".repeat(1e6)],
    ["chords", "C ".repeat(5e5)],
    ["bars", "C | ".repeat(2e5)],
    ["numerals", "I | ".repeat(2e5)],
    ["digits", "9".repeat(1e6)],
    ["brackets", "(".repeat(1e6)],
    ["alterations", `C(${"b9,".repeat(3e5)})`],
    ["notes", "C4 ".repeat(3e5)],
    ["slashes", "C/".repeat(5e5)],
    ["NUL", "\0"],
    ["half a surrogate pair", "\ud800"],
  ])("very long and very odd lines: %s", async (_, text) => {
    for (const args of READERS) {
      const result = await call(reader(args), text);
      lawful(result, { list: true });
      if (text.length > 20_000)
        expect([args, result.code, result.err]).toEqual([
          args,
          2,
          expect.stringMatching(/^cli\/long: got .*, expected at most 20000 characters/),
        ]);
      expect(result.out.length).toBeLessThan(5000);
    }
    const arg = text.slice(0, 100_000);
    for (const args of [
      ["chord"],
      ["voice"],
      ["finger"],
      ["finger", "--scale"],
      ["drill", "--key"],
      ["drill", "--key", "C", "--changes"],
      ["drill", "--key", "C", "--scale"],
      ["voice", "C", "--style"],
      ["plan", "--keys"],
      ["packet", "--keys"],
      ["check"],
      ["drill", "--key", "C", "--feel"],
    ]) {
      const result = await call([...args, arg, ...(["drill", "packet"].includes(args[0] as string) ? out() : [])]);
      expect([args, result.code]).toEqual([args, 2]);
      lawful(result);
    }
  });

  it("a drill is bounded: at most 2,000 bars and 8,000 chords, repeats counted", async () => {
    const recipes = [
      { changes: "C | ".repeat(4980) },
      { changes: "I | ".repeat(2100) },
      { changes: "C | ".repeat(64), repeats: 100 },
      { changes: "C C C C | ".repeat(200), repeats: 11 },
    ];
    const { code, err } = await call(
      ["drill", "-", ...out()],
      recipes.map((recipe) => JSON.stringify({ key: "C", ...recipe })).join("\n"),
    );
    expect(code).toBe(2);
    expect(linesOf(err).map((line) => line.split(":")[0])).toEqual(recipes.map(() => "recipe/drill"));
  });

  it("takes of enormous length, and of thousands of keys at once", async () => {
    const vlq = (value: number): readonly number[] =>
      value < 128 ? [value] : [...vlq(Math.floor(value / 128)).map((byte) => byte | 128), value % 128];
    const midi = (division: number, events: readonly (readonly number[])[]): Uint8Array => {
      const data = events.flat();
      return new Uint8Array([
        0x4d,
        0x54,
        0x68,
        0x64,
        0,
        0,
        0,
        6,
        0,
        0,
        0,
        1,
        0,
        division,
        0x4d,
        0x54,
        0x72,
        0x6b,
        0,
        data.length >> 16,
        (data.length >> 8) & 255,
        data.length & 255,
        ...data,
      ]);
    };
    const far = Array.from({ length: 100 }, (_, i) => [
      ...vlq(0x0fffffff),
      0x90,
      60 + (i % 12),
      90,
      10,
      0x80,
      60 + (i % 12),
      0,
    ]);
    const at = Array.from({ length: 8000 }, (_, i) => [0, 0x90, 60 + (i % 20), 90, 0, 0x80, 60 + (i % 20), 0]);
    for (const bytes of [
      midi(1, far),
      midi(96, at),
      midi(
        96,
        Array.from({ length: 128 }, (_, i) => [0, 0x90, i, 90]),
      ),
    ]) {
      for (const args of [["check"], ["assess", drill], ["assess", drill, "--improvised"]])
        lawful(await call([args[0] as string, ...args.slice(1, 2), file(bytes), ...args.slice(2)]));
    }
  });

  it.each([
    ["lists in JSON", `{"a":${"[".repeat(1e5)}${"]".repeat(1e5)}}`],
    ["objects in JSON", `${'{"a":'.repeat(1e5)}1${"}".repeat(1e5)}`],
    ["elements", `${"<a>".repeat(1e5)}${"</a>".repeat(1e5)}`],
    ["elements in a score", `<score-partwise>${"<a>".repeat(1e5)}${"</a>".repeat(1e5)}</score-partwise>`],
    ["open elements", "<a>".repeat(1e5)],
    ["comments", "<!--".repeat(1e5)],
    ["document types", "<!DOCTYPE ".repeat(1e5)],
    ["angles in a document type", `<!DOCTYPE a ${"<".repeat(2e5)}`],
    ["instructions", "<?".repeat(1e5)],
    ["literal text", "<![CDATA[".repeat(1e5)],
    ["attributes", `<a ${Array.from({ length: 2e4 }, (_, i) => `b${i}="c"`).join(" ")}/>`],
    ["a long name", `<${"a".repeat(1e6)}/>`],
    ["spaces", `<${" ".repeat(1e6)}`],
  ])("nesting a hundred thousand deep, and nothing but openings: %s", async (_, text) => {
    for (const { code } of await everyFileReader(file(text))) expect(code).not.toBe(0);
    const key = await call(
      ["drill", "-", ...out()],
      text.startsWith("{") ? `{"key":${text.slice(0, 19_000)}` : text.slice(0, 19_000),
    );
    expect(key.code).toBe(2);
    lawful(key, { list: true });
  });

  it("a recipe whose key is a list of nine thousand lists", async () => {
    const result = await call(["drill", "-", ...out()], `{"key":${"[".repeat(9000)}${"]".repeat(9000)}}`);
    lawful(result, { list: true });
    expect(linesOf(result.out)).toHaveLength(1);
  });

  it("what a calendar needs is not passed over without one", async () => {
    expect((await call(["plan", "--start", "2027-01-04", "--time", "17:30"])).err).toMatch(/^cli\/plan: .*--out/);
  });

  it.each(["__proto__", "constructor", "toString", "hasOwnProperty"])(
    "names that objects have by themselves: %s",
    async (name) => {
      for (const args of [
        ["chord", name],
        ["voice", name],
        ["voice", "turnaround", "--key", name],
        ["voice", "C", "--style", name],
        ["finger", name],
        ["finger", "--scale", `C ${name}`],
        ["finger", "--scale", name],
        [name],
        ["help", name],
        ["plan", "--keys", name],
        ["check", join(folder, name)],
        ...["--key", "--changes", "--scale", "--feel", "--backing", "--right", "--comping", "--values"].map(
          (option) => ["drill", ...(option === "--key" ? [] : ["--key", "C"]), option, name, ...out()],
        ),
      ]) {
        const result = await call(args);
        expect([args, result.code === 0 && args[0] !== "help"]).toEqual([args, false]);
        if (args[0] !== "help") lawful(result);
      }
      const score = JSON.stringify(scoreToJson(makeDrill({ key: "C", changes: "I | V", backing: "none" }).score));
      for (const text of [
        score.replace("{", `{"${name}":{"title":"x"},`),
        score.replace('"right":[{', `"right":[{"${name}":1,`),
      ]) {
        expect((await everyFileReader(file(text))).map(({ code }) => code)).toEqual([2, 2, 2, 2, 2]);
      }
      const { code, out: printed } = await call(
        ["drill", "-", ...out()],
        `{"key":"C","${name}":{"tempo":50}}\n{"${name}":{"key":"C"}}`,
      );
      expect([
        code,
        linesOf(printed).map((line) => (JSON.parse(line) as { error: { code: string } }).error.code),
      ]).toEqual([2, ["recipe/drill", "recipe/drill"]]);
      expect(Object.hasOwn(Object.prototype, "tempo") || Object.hasOwn(Object.prototype, "title")).toBe(false);
    },
  );

  it("entities are neither expanded nor fetched: the canary is never heard", async () => {
    let asked = 0;
    const server = createServer((_, response) => {
      asked++;
      response.end('<!ENTITY x "CANARY">');
    });
    await new Promise<void>((ready) => {
      server.listen(0, "127.0.0.1", ready);
    });
    const address = `http://127.0.0.1:${(server.address() as AddressInfo).port}/x.dtd`;
    const canary = file("CANARY");
    const laughs = `<!ENTITY l0 "lol">${Array.from({ length: 9 }, (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`).join("")}`;
    const score = (title: string): string =>
      `<score-partwise><movement-title>${title}</movement-title><part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes><note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note></measure></part></score-partwise>`;
    const types = [
      `<!DOCTYPE a [${laughs}]>`,
      `<!DOCTYPE a [<!ENTITY x SYSTEM "file://${canary}">]>`,
      `<!DOCTYPE a [<!ENTITY x SYSTEM "${address}">]>`,
      `<!DOCTYPE a SYSTEM "${address}">`,
      `<!DOCTYPE a SYSTEM "file://${canary}">`,
      `<!DOCTYPE a PUBLIC "x>" "file://${canary}" [<!ENTITY % x SYSTEM "${address}"> %x;]>`,
      `<!doctype a\n[<!entity x SYSTEM "file://${canary}">]>`,
      `<!DOCTYPE a SYSTEM "file://${canary}"><!DOCTYPE b []>`,
    ];
    for (const type of types) {
      const path = file(`<?xml version="1.0"?>\n${type}\n${score("&x;&l9;")}`);
      for (const args of [
        ["check", path, "--json"],
        ["assess", path, take, "--json"],
        ["assess", path, take, "--improvised", "--json"],
      ]) {
        const result = await call(args);
        expect(result.out + result.err).not.toContain("CANARY");
        expect(result.out + result.err).not.toContain("lollol");
        if (type.includes("["))
          expect([type, result.code, result.err]).toEqual([type, 2, expect.stringMatching(/^musicxml\/entities: /)]);
        else expect([0, 1, 2]).toContain(result.code); // an external subset that is not looked at
      }
    }
    expect(asked).toBe(0);
    server.close();
  });

  it("options twice, unknown, empty; no arguments; paths that are none", async () => {
    for (const args of [
      ["chord", "C", "--json", "--json"],
      ["chord", "C", "--nope"],
      ["chord", "C", "D"],
      ["nope"],
      [""],
      ["chord", ""],
      ["voice", ""],
      ["finger", ""],
      ["finger", "--scale", ""],
      ["drill", "--key", ""],
      ["plan", "--keys", ""],
      ["packet", "--keys", "", ...out()],
      ["drill", "--key", "C", "--tempo", "100", "--tempo", "x"],
      ["check", ""],
      ["check", "a\0b"],
      ["check", folder],
      ["check", join(folder, "none")],
      ["check", "x".repeat(5000)],
      ["assess", folder, take],
      ["assess", drill, folder],
      ["assess", "", ""],
      ["drill", "--key", "C", "--out", "a\0b"],
      ["drill", "--key", "C", "--out", join(drill, "below")],
      ["drill", "--key", "C", "--out", ""],
      ["drill", "-", "x"],
    ]) {
      if (args.at(-2) === "--out" && args.at(-1) === "") continue;
      const result = await call(args);
      lawful(result);
      expect([args, result.code]).toEqual([args, args.includes("--json") ? 0 : 2]);
    }
    for (const args of READERS) {
      for (const nothing of ["", "\n \n"])
        expect((await call(reader(args), nothing)).err).toBe(
          'cli/stdin: got "", expected at least one line on standard input\n',
        );
    }
    expect((await call([])).code).toBe(2);
    const twice = JSON.parse(
      (await call(["drill", "--key", "D", "--key", "Eb", ...out(), "--force", "--json"])).out,
    ) as { files: string[] };
    expect(twice.files[0]).toContain("E-flat");
  });

  it("nothing is written outside the folder that was named", () => {
    expect(readdirSync(folder).filter((name) => name !== "out" && !/^file-\d+$/.test(name))).toEqual([]);
    expect(defaultFolders()).toEqual(before);
  });
});

describe("the same as a process of its own", () => {
  let real = { folder: "", script: "" };
  beforeAll(async () => {
    real = await realCommandLine();
  }, 30_000);
  afterAll(() => rmSync(real.folder, { recursive: true, force: true }));

  const start = (args: readonly string[], input: string | Uint8Array = ""): Answer => {
    const { status, signal, stdout, stderr } = spawnSync(
      process.execPath,
      ["--max-old-space-size=400", real.script, ...args],
      { input, cwd: real.folder, timeout: 50_000, maxBuffer: 2 ** 26 },
    );
    expect(signal).toBe(null);
    return { code: status as number, out: stdout.toString(), err: stderr.toString() };
  };

  it("bytes that are no UTF-8, a flood, and a device that never ends", () => {
    lawful(start(["chord", "-"], new Uint8Array([0xff, 0xfe, 0x43, 0xc3, 0x28, 0x0a, 0x43])), { list: true });
    const flood = start(["chord", "-"], "C\n".repeat(35 * 2 ** 20));
    lawful(flood);
    expect(flood.err).toBe('cli/file: got "standard input", expected at most 64 MB\n');
    if (existsSync("/dev/zero")) {
      const endless = start(["check", "/dev/zero"]);
      lawful(endless);
      expect(endless.err).toBe('cli/file: got "/dev/zero", expected at most 64 MB\n');
    }
  }, 60_000);

  it("lists deep in a score, elements deep in a score, a recipe that would fill the memory", () => {
    lawful(start(["check", file(`{"a":${"[".repeat(1e5)}${"]".repeat(1e5)}}`)]));
    lawful(start(["check", file(`<score-partwise>${"<a>".repeat(1e5)}${"</a>".repeat(1e5)}</score-partwise>`)]));
    const result = start(
      ["drill", "-", "--out", "out"],
      `${JSON.stringify({ key: "C", changes: "I ".repeat(9900), repeats: 100 })}\n`,
    );
    lawful(result, { list: true });
    expect(result.code).toBe(2);
    expect(readdirSync(real.folder).sort()).toEqual(["bin", "node_modules"]);
  }, 60_000);
});
