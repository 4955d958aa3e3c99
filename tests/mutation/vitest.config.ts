import { relative } from "node:path";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

const folder = (process.env.MUTATE ?? "pitch").split("/")[0];

/** What failed last time first, then the quickest: the first failure ends a run. */
class QuickestFirst extends BaseSequencer {
  override sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ project, moduleId }: TestSpecification): number => {
      const last = this.ctx.cache.getFileTestResults(`${project.name}:${relative(this.ctx.config.root, moduleId)}`);
      return last === undefined || last.failed ? 0 : last.duration;
    };
    return Promise.resolve([...files].sort((a, b) => rank(a) - rank(b)));
  }
}

// The guide's tables are our own figures: no fact from outside that a change could break. A grid against peers is slow and seldom the only test to notice.
const exclude = ["tests/assess/guide.test.ts", "tests/chord/peers.test.ts"];

export default defineConfig({
  test: {
    include: [`tests/${folder}/**/*.test.ts`],
    exclude,
    setupFiles: ["tests/mutation/setup.ts"],
    sequence: { sequencer: QuickestFirst },
    runner: "./tests/mutation/runner.ts",
    testTimeout: 0,
    hookTimeout: 0,
    env: { FUZZ_RUNS: "500" },
  },
});
