import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { writeMusicXml } from "../all.ts";
import { anyScore } from "../score/arbitrary.ts";

interface Toolkit {
  setOptions(options: Readonly<Record<string, unknown>>): void;
  loadData(data: string): number;
  getPageCount(): number;
  renderToSVG(page: number): string;
}

/** Lines that the engraver complained with. */
const complaints: string[] = [];
let toolkit: Toolkit;

beforeAll(async () => {
  // verovio ships no types.
  const load = async (name: string): Promise<Record<string, unknown>> =>
    (await import(name)) as Record<string, unknown>;
  const wasm = (await load("verovio/wasm")).default as (options: object) => Promise<unknown>;
  const Toolkit = (await load("verovio/esm")).VerovioToolkit as new (module: unknown) => Toolkit;
  for (const level of ["log", "info", "warn", "error"] as const)
    vi.spyOn(console, level).mockImplementation((line) => void complaints.push(String(line)));
  toolkit = new Toolkit(await wasm({}));
});

afterAll(() => vi.restoreAllMocks());

describe("engraving", () => {
  it("is told of what an engraver finds wrong", () => {
    complaints.length = 0;
    toolkit.loadData(
      '<score-partwise><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1"><measure number="1"><note><pitch><step>H</step></pitch></note></measure></part></score-partwise>',
    );
    expect(complaints.join("\n")).toMatch(/Warning|Error/);
  });

  it("law: verovio loads every score without a warning and prints every note and rest of it", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        complaints.length = 0;
        // Wide enough for the densest bar, which would be pressed together on a sheet, and said so.
        toolkit.setOptions({ breaks: "auto", pageWidth: 20_000 });
        const xml = writeMusicXml(score);
        expect(toolkit.loadData(xml)).toBe(1);
        const pages = Array.from({ length: toolkit.getPageCount() }, (_, i) => toolkit.renderToSVG(i + 1)).join("");
        expect(complaints).toEqual([]);
        const heads = (xml.match(/<pitch>/g) ?? []).length;
        expect((pages.match(/class="note"/g) ?? []).length).toBe(heads);
        expect((pages.match(/class="(?:m|)[rR]est"/g) ?? []).length).toBe((xml.match(/<rest/g) ?? []).length);
        expect((pages.match(/class="fing/g) ?? []).length).toBe((xml.match(/<fingering/g) ?? []).length);
      }),
      { numRuns: 25, seed: 7 },
    );
  });
});
