import { execFileSync } from "node:child_process";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "tsup";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { pictures } from "../docs/pictures.ts";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const GUIDES = readdirSync(join(ROOT, "docs"))
  .filter((name) => name.endsWith(".md"))
  .map((name) => `docs/${name}`);

const SUBPATHS = Object.fromEntries(
  readdirSync(join(ROOT, "src"))
    .filter((name) => existsSync(join(ROOT, "src", name, "index.ts")))
    .map((name) => [name, join(ROOT, "src", name, "index.ts")]),
);

interface Block {
  readonly language: string;
  readonly body: string;
  /** What the page shows as its output: a `text` block with nothing but blank lines between. */
  readonly output: string | undefined;
}

const textOf = (file: string): string => readFileSync(join(ROOT, file), "utf8");

const blocksOf = (file: string): readonly Block[] =>
  [...textOf(file).matchAll(/^```(\w+)\n([\s\S]*?)^```$(?=(?:\n\s*^```text\n([\s\S]*?)^```$)?)/gm)].map(
    ([, language, body, output]) => ({
      language: language as string,
      body: body as string,
      output,
    }),
  );

// What a page tells to be typed is typed: its `sh` blocks run in order in an empty folder, those that begin with npm aside. A `js` block
// whose first line is a file name in a comment is that file. `npx hands-together` is the command line as it stands in the sources.
describe("guides", () => {
  const place = mkdtempSync(join(tmpdir(), "hands-together-guides-"));
  const installed = join(place, "folders/node_modules/hands-together");
  beforeAll(async () => {
    await build({
      config: false,
      silent: true,
      dts: false,
      format: "esm",
      entry: { cli: join(ROOT, "src/cli/main.ts"), index: join(ROOT, "src/index.ts"), ...SUBPATHS },
      outDir: join(installed, "dist"),
    });
    writeFileSync(
      join(installed, "package.json"),
      '{ "type": "module", "exports": { ".": "./dist/index.js", "./*": "./dist/*.js" } }',
    );
    symlinkSync(join(ROOT, "node_modules"), join(place, "node_modules"));
    mkdirSync(join(place, "bin"));
    writeFileSync(
      join(place, "bin/npx"),
      `#!/bin/sh\n[ "$1" = hands-together ] || exit 127\nshift\nexec "${process.execPath}" "${join(installed, "dist/cli.js")}" "$@"\n`,
    );
    chmodSync(join(place, "bin/npx"), 0o755);
  });
  afterAll(() => rmSync(place, { recursive: true, force: true }));

  it.each([...GUIDES, "README.md"])("%s: what it says to type runs and prints what it shows", (file) => {
    const folder = join(place, "folders", file.replace(/\W/g, "-"));
    mkdirSync(folder);
    const env = { ...process.env, PATH: `${join(place, "bin")}:${process.env.PATH ?? ""}` };
    for (const { language, body, output } of blocksOf(file)) {
      const name = /^\/\/ (\S+\.mjs)\n/.exec(body)?.[1];
      if (language === "js" && name !== undefined) writeFileSync(join(folder, name), body);
      if (language !== "sh" || body.startsWith("npm ")) continue;
      const printed = execFileSync("bash", ["-c", `set -o pipefail\n${body}`], {
        cwd: folder,
        env,
        encoding: "utf8",
        stdio: ["ignore", "pipe", "pipe"],
      });
      if (output !== undefined) expect(printed).toBe(output);
    }
  });

  it("every link between pages leads somewhere, and the README leads to every guide", () => {
    const links = (file: string): string[] =>
      [...textOf(file).matchAll(/\]\(([^)#:\s]+)(?:#[^)]*)?\)/g)].map(([, target]) =>
        join(dirname(file), target as string),
      );
    expect([...GUIDES, "README.md"].flatMap(links).filter((path) => !existsSync(join(ROOT, path)))).toEqual([]);
    expect(GUIDES.filter((guide) => !links("README.md").includes(guide))).toEqual([]);
  });

  it("the pictures are what `npm run pictures` makes", async () => {
    for (const [name, svg] of Object.entries(await pictures()))
      expect(textOf(`docs/pictures/${name}`) === svg, name).toBe(true);
  });
});
