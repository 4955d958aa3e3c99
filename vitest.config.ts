import { configDefaults, defineConfig } from "vitest/config";

// A running mutation test holds copies of the tests. Nothing is timed in tests: the limit is for what hangs.
export default defineConfig({
  test: {
    // Vitest leaves one core idle otherwise: on two that is half the machine.
    maxWorkers: 2,
    // Values are never changed, so files may share what they load: a third of the time was loading.
    isolate: false,
    setupFiles: ["tests/setup.ts"],
    exclude: [...configDefaults.exclude, ".stryker-tmp/**"],
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
