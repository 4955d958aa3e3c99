import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

// npm run nightly: the laws on 10,000 cases each. tests/nightly/fast-check.ts stands in for fast-check, so no test knows of it.
const TESTS = fileURLToPath(new URL("..", import.meta.url));
const STAND_IN = fileURLToPath(new URL("fast-check.ts", import.meta.url));

const laws = readdirSync(TESTS, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".test.ts") && readFileSync(`${TESTS}${name}`, "utf8").includes('from "fast-check"'))
  .map((name) => `tests/${name}`);

export default defineConfig({
  plugins: [
    {
      name: "laws-at-night",
      enforce: "pre",
      resolveId: (id, importer) => (id === "fast-check" && importer !== STAND_IN ? STAND_IN : undefined),
    },
  ],
  test: { include: laws, testTimeout: 0, hookTimeout: 0, server: { deps: { inline: ["fast-check"] } } },
});
