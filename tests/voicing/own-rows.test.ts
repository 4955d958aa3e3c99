import { describe, expect, it } from "vitest";
import { pitchName } from "../../src/pitch/index.ts";
import { voiceProgression } from "../../src/voice-leading/index.ts";
import type { VoicingOptions, VoicingRow } from "../../src/voicing/index.ts";
import { voicingCatalogue, voicingsFor } from "../../src/voicing/index.ts";

const OPEN: VoicingRow = {
  id: "open-fourths",
  title: "3rd, 13th and 9th in fourths",
  degrees: ["3", "13", "9"],
  tensions: ["13", "9"],
  serves: [{ has: ["3"], not: ["b7"] }],
  source: "common practice, no source",
};

const names = (symbol: string, options: VoicingOptions): readonly string[] =>
  [...voicingsFor(symbol, options)].map(({ pitches }) => pitches.map(pitchName).join(" "));

describe("voicings of one's own", () => {
  it("are placed, shared out and named as those that ship", () => {
    const [voicing] = voicingsFor("Cmaj7", { style: OPEN });
    expect(voicing).toMatchObject({
      form: "open-fourths",
      style: "open-fourths",
      label: "open-fourths",
      degrees: ["3", "13", "9"],
      hands: ["left", "left", "left"],
      warnings: [],
    });
    // 3rd, 6th and 9th of C, the top from C4 to C5.
    expect(names("Cmaj7", { style: OPEN })).toEqual(["E3 A3 D4"]);
    expect(names("Cmaj7", { forms: [OPEN] })).toEqual(["E3 A3 D4"]);
  });

  it("step in, and others for them, in order of preference", () => {
    const { voicings, fallbacks } = voiceProgression("Dm7 | G7 | Cmaj7", { style: [OPEN, "rootless"] });
    expect(voicings.map(({ style }) => style)).toEqual(["rootless", "rootless", "open-fourths"]);
    expect(fallbacks.map(({ index, wanted, style }) => [index, wanted, style])).toEqual([
      [0, ["open-fourths"], "rootless"],
      [1, ["open-fourths"], "rootless"],
    ]);
    expect(fallbacks[0]?.message).toContain("Dm7");
    expect(voiceProgression("Dm7 | G7 | Cmaj7").fallbacks).toEqual([]);
  });

  it("of one style, side by side, are one choice", () => {
    const b: VoicingRow = { ...OPEN, id: "open-b", degrees: ["9", "3", "13"], style: "open" };
    const a: VoicingRow = { ...OPEN, style: "open" };
    expect([...voicingsFor("C6", { style: [a, b] })].map(({ form }) => form)).toEqual(["open-fourths", "open-b"]);
    expect([...voicingsFor("C6", { style: [a, "close", b] })].map(({ form }) => form)).toEqual(["open-fourths"]);
  });

  it("the next style plays what the first can't place, too", () => {
    const wide: VoicingRow = { ...OPEN, degrees: ["1", "5", "third"], tensions: [], serves: [{}] };
    expect(() => voiceProgression("C", { style: wide })).toThrowError(
      expect.objectContaining({ code: "voicing/out-of-reach" }),
    );
    expect(voiceProgression("C", { style: [wide, "close"] }).fallbacks).toMatchObject([{ style: "close" }]);
  });

  it("a row that ships may be given as a row", () => {
    for (const row of voicingCatalogue.slice(0, 40)) {
      const symbol = [
        "Cm9",
        "G13",
        "Cmaj9",
        "C6",
        "Cm6",
        "C7alt",
        "C",
        "C13#11",
        "C7b9",
        "C13b9",
        "Cmaj7",
        "Cm11",
      ].find((one) => {
        try {
          return [...voicingsFor(one, { forms: [row.id] })].length > 0;
        } catch {
          return false;
        }
      });
      if (symbol !== undefined) expect(names(symbol, { forms: [row] })).toEqual(names(symbol, { forms: [row.id] }));
    }
  });

  it.each<readonly [why: string, part: object, path: string]>([
    ["no degree", { degrees: ["3", "x"] }, "degrees.1"],
    ["no degrees", { degrees: [] }, "degrees"],
    ["a tension that is no degree of it", { tensions: ["b9"] }, "tensions"],
    ["a tone twice", { degrees: ["3", "9", "2"], tensions: [] }, "doubled"],
    ["a semitone at the bottom", { degrees: ["7", "1", "3"], tensions: [] }, "semitoneAtBottom"],
    ["hands that share out too few", { groups: [{ hand: "left", notes: 2 }] }, "groups"],
    [
      "the right hand below the left",
      {
        groups: [
          { hand: "right", notes: 1 },
          { hand: "left", notes: 2 },
        ],
      },
      "below",
    ],
    ["a register that falls", { register: { of: "top", from: "C5", to: "C4" } }, "rises"],
    ["a register of no pitch", { register: { of: "top", from: "H4", to: "C5" } }, "register.from"],
    ["a field that no row has", { degree: ["3"] }, "degree"],
    ["an id with a blank", { id: "my row" }, "id"],
    ["no source", { source: "" }, "source"],
  ])("are refused with %s", (_, part, path) => {
    const row = { ...OPEN, ...part } as VoicingRow;
    for (const options of [{ style: row }, { style: [row, "close"] }, { forms: [row] }] satisfies VoicingOptions[]) {
      expect(() => voicingsFor("Cmaj7", options)).toThrowError(
        expect.objectContaining({
          name: "MusicError",
          code: "forms" in options ? "voicing/form" : "voicing/style",
          message: expect.stringContaining(path) as string,
        }),
      );
    }
  });
});
