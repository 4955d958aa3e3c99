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

describe("reharmonise", () => {
  it("offers other chords with reasons and motion, and changes nothing", async () => {
    const { code, out } = await typed("reharmonise", "Dm7 | G7 | Cmaj7", "--json");
    expect(code).toBe(0);
    const { offers } = JSON.parse(out) as { readonly offers: readonly object[] };
    expect(offers).toMatchObject([
      { bar: 2, beat: "1", way: "tritone-substitute", from: "G7", to: ["Db7"], durations: ["4"] },
      { bar: 2, beat: "1", way: "backdoor", from: "G7", to: ["Fm7", "Bb7"], durations: ["2", "2"] },
    ]);
    expect((await typed("reharmonise", "Dm7 | G7 | Cmaj7")).out).toMatch(
      /^ +2 +1 +G7 +D♭7 +\S+ +tritone substitute: has the 3rd/m,
    );
  });

  it("says where no chord allows one, and refuses what has no chord", async () => {
    expect((await typed("reharmonise", "Cmaj7")).out).toBe("no chord here allows one\n");
    expect((await typed("reharmonise", "N.C.")).code).toBe(2);
    expect((await typed("reharmonise", "-")).out.trim().split("\n")).toHaveLength(2);
  });
});

describe("chord --style", () => {
  it("prints the voicings of a style hand by hand", async () => {
    const { code, out } = await typed("chord", "C13#11", "--style", "upper-structure", "--json");
    expect(code).toBe(0);
    const { voicings } = JSON.parse(out) as { readonly voicings: readonly { readonly form: string }[] };
    expect(voicings.find(({ form }) => form === "upper-structure-ii-a")).toMatchObject({
      left: ["E3", "Bb3"],
      right: ["D4", "F#4", "A4"],
    });
    expect((await typed("chord", "C13#11", "--style", "upper-structure")).out).toContain("left hand");
    expect((await typed("chord", "C5", "--style", "upper-structure")).code).toBe(1);
  });
});
