import { defineConfig } from "vitest/config";

const folder = (process.env.MUTATE ?? "pitch").split("/")[0];

export default defineConfig({ test: { include: [`tests/${folder}/**/*.test.ts`], runner: "./tests/mutation/runner.ts", testTimeout: 0, hookTimeout: 0 } });
