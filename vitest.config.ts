import { configDefaults, defineConfig } from "vitest/config";

// A running mutation test holds copies of the tests.
export default defineConfig({ test: { exclude: [...configDefaults.exclude, ".stryker-tmp/**"] } });
