import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { HUMAN, reportTables, scores, swingErrors, tryOut, withTables } from "./proof.ts";

const seeds = [11, 12, 13, 14, 15];

describe("assessment on simulated takes", () => {
  it("says what the guide reports (npx tsx tests/assess/write-report.ts renews it)", () => {
    const guide = readFileSync(new URL("../../docs/assessment.md", import.meta.url), "utf8");
    expect(withTables(guide, reportTables())).toBe(guide);
  }, 120_000);

  it("law: a clean take gets no complaint", () => {
    expect(tryOut({ title: "clean", faults: {} }, scores(), seeds)).toMatchObject({ takes: 15, wronglyTold: 0 });
    expect(tryOut({ title: "without any unevenness", faults: { jitterMs: 0, velocitySpread: 0, chordSpreadMs: 0, lateLeftMs: 0 } }, scores(), [1])).toMatchObject({ wronglyTold: 0 });
  }, 60_000);

  it("law: a clean take at half speed gets tempo remarks alone", () => {
    expect(tryOut({ title: "half speed", faults: { tempo: 50 }, expected: "other-tempo" }, scores(), seeds)).toMatchObject({ takes: 15, recalled: 15, wronglyTold: 0 });
  }, 60_000);

  it("law: the swing ratio comes back within 2 % (root mean square) from 64 pairs with 10 ms of jitter", () => {
    for (const ratio of ["1.3:1", "2:1"]) {
      const errors = swingErrors(ratio, 120, [21, 22, 23, 24, 25, 26, 27, 28, 29, 30]);
      expect(Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length)).toBeLessThan(0.02);
    }
    expect(HUMAN.jitterMs).toBe(10);
  }, 60_000);
});
