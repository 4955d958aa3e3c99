import { describe, expect, it } from "vitest";
import type { Terminal } from "../../src/cli/io.ts";
import { run } from "../../src/cli/run.ts";

const typed = async (
  ...args: readonly string[]
): Promise<{ readonly code: number; readonly out: string; readonly err: string }> => {
  let [out, err] = ["", ""];
  const terminal = {
    write: (text: string) => {
      out += text;
    },
    complain: (text: string) => {
      err += text;
    },
    readStdin: () => "Dm7 | G7 | C6\nnonsense here\n",
  } as unknown as Terminal;
  const code = await run(args, terminal);
  return { code, out, err };
};

describe("analyse", () => {
  it("prints one JSON document of the shape that the readme shows", async () => {
    const { code, out } = await typed("analyse", "Dm7 Db7 | N.C. | Cmaj7", "--json");
    expect(code).toBe(0);
    const { chords, key } = JSON.parse(out) as { readonly chords: readonly object[]; readonly key: string };
    expect(key).toBe("C major");
    expect(chords.map(({ ...one }) => one)).toMatchObject([
      { bar: 1, beat: "1", symbol: "Dm7", key: "C major", numeral: "ii7", function: "subdominant" },
      { bar: 1, beat: "3", symbol: "Db7", numeral: "bII7", home: "subV7/I", function: "substitute-dominant" },
      { bar: 3, beat: "1", symbol: "Cmaj7", numeral: "Imaj7", function: "tonic", cadence: "tritone" },
    ]);
  });

  it("prints a table, and sentences when asked why", async () => {
    const { out } = await typed("analyse", "Dm7b5 | G7 | Cm6", "--why");
    expect(out).toContain("iiø7");
    expect(out).toContain("mixolydian ♭9 ♭13");
    expect(out).toMatch(/G7 is V7 of C minor: the dominant, before Cm6\./);
  });

  it("answers a line each, and what can't be read", async () => {
    const { code, out, err } = await typed("analyse", "-");
    expect(out.trim().split("\n")).toHaveLength(2);
    expect(code).toBe(2);
    expect(err).toContain("nonsense");
    expect((await typed("analyse", "N.C.")).code).toBe(2);
  });
});
