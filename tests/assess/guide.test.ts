import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { reportTables, withTables } from "./proof.ts";

it("the guide to assessment reports what simulated takes show (npx tsx tests/assess/write-report.ts renews it)", () => {
  const guide = readFileSync(new URL("../../docs/assessment.md", import.meta.url), "utf8");
  expect(withTables(guide, reportTables())).toBe(guide);
});
