import { configDefaults, defineConfig } from "vitest/config";

// A running mutation test holds copies of the tests. Nothing is timed in tests: the limit is for what hangs.
export default defineConfig({
  test: {
    setupFiles: ["tests/setup.ts"],
    exclude: [...configDefaults.exclude, ".stryker-tmp/**"],
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
