import { declareValuePlugin, PluginKind } from "@stryker-mutator/api/plugin";

// tests/mutation/run.ts sets MUTATE: a folder, or one file of it such as "assess/clock.ts". Sources are run against the tests of their own
// folder, so a survivor names a test that this folder lacks.
const asked = process.env.MUTATE ?? "pitch";

// Sentences for people, which no test should pin word for word. Codes, ids and every text that the program reads are mutated.
const PROSE = new Set(["expected", "hint", "title", "source", "description"]);
const SENTENCE = /[a-z]{2,},? [a-z']+,? [a-z]{2,}/;

const prose = {
  shouldIgnore(path) {
    if (!path.isStringLiteral() && !path.isTemplateLiteral()) return undefined;
    const text = path.isStringLiteral() ? path.node.value : path.node.quasis.map(({ value }) => value.cooked).join(" ");
    const parent = path.findParent((above) => above.isObjectProperty() || above.isFunction());
    const name = parent?.isObjectProperty() ? (parent.node.key.name ?? parent.node.key.value) : undefined;
    return SENTENCE.test(text) || PROSE.has(name) ? "a sentence for people" : undefined;
  },
};

export const strykerPlugins = [declareValuePlugin(PluginKind.Ignore, "prose", prose)];

export default {
  testRunner: "vitest",
  plugins: ["@stryker-mutator/vitest-runner", import.meta.url],
  ignorers: ["prose"],
  mutate: [asked.endsWith(".ts") ? `src/${asked}` : `src/${asked}/**/*.ts`],
  vitest: { configFile: "tests/mutation/vitest.config.ts", related: false },
  reporters: ["json"],
  jsonReporter: { fileName: `reports/mutation/${asked.replaceAll("/", "-")}.json` },
  coverageAnalysis: "perTest",
  concurrency: Number(process.env.MUTATE_WORKERS ?? 2),
  timeoutMS: 20_000,
  timeoutFactor: 4,
  ignorePatterns: ["/.stryker-tmp", "/docs/api", "/reports", "/coverage", "/drill", "/packet", "/dist"],
  tempDirName: `.stryker-tmp/${asked.replaceAll("/", "-")}`,
  disableTypeChecks: false,
};
