import { describe, expect, it } from "vitest";
import type { Fingering } from "../../src/fingering/index.ts";
import { fingerChord, fingerPassage, fingerScale, formatFingering } from "../../src/fingering/index.ts";
import { formatPitch, parsePitch } from "../../src/pitch/index.ts";

const up = (names: string) => names.split(" ").map(parsePitch);
const FIVE = fingerPassage(up("C4 D4 E4 F4 G4"), { rules: "parncutt-1997", hand: "right", explain: true });

describe("a fingering in text", () => {
  it("breaks where the next note would pass the width, between blocks of lines an empty one", () => {
    // Every column is a note's name and two blanks: four characters here.
    expect(formatFingering(FIVE, { width: 20 })).toBe("C4  D4  E4  F4  G4\n1   2   3   4   5");
    expect(formatFingering(FIVE, { width: 19 })).toBe("C4  D4  E4  F4\n1   2   3   4\n\nG4\n5");
    expect(formatFingering(FIVE, { width: 8 })).toBe("C4  D4\n1   2\n\nE4  F4\n3   4\n\nG4\n5");
  });

  it("gives every note a line of its own rather than none where even one is too wide", () => {
    expect(formatFingering(FIVE, { width: 1 })).toBe(["C4\n1", "D4\n2", "E4\n3", "F4\n4", "G4\n5"].join("\n\n"));
  });

  it("breaks nowhere in a line without end", () => {
    expect(formatFingering(FIVE, { width: Number.POSITIVE_INFINITY })).toBe(formatFingering(FIVE));
  });

  it("holds 80 columns unless told otherwise", () => {
    const text = formatFingering(fingerScale("C major", { hand: "right", octaves: 4 }));
    expect(text).toBe(formatFingering(fingerScale("C major", { hand: "right", octaves: 4 }), { width: 80 }));
    expect(Math.max(...text.split("\n").map((row) => [...row].length))).toBeGreaterThan(74);
  });

  it("law: whatever the width, notes, fingers and turns are all there in order", () => {
    const scale = fingerScale("Bb major", { hand: "left", octaves: 2 });
    for (const width of [5, 17, 40, 200]) {
      const blocks = formatFingering(scale, { width })
        .split("\n\n")
        .map((block) => block.split("\n"));
      const words = (row: number): readonly string[] =>
        blocks.flatMap((block) => (block[row] ?? "").split(/ +/).filter((word) => word !== ""));
      expect(words(0)).toEqual(scale.pitches.map(formatPitch));
      expect(words(1)).toEqual(scale.fingers.map(String));
      expect(words(2)).toEqual(scale.crossings.map(({ kind }) => (kind === "thumb-under" ? "under" : "over")));
    }
  });

  it("adds remarks, one a line", () => {
    const remarks: Fingering["remarks"] = [
      { kind: "wide-span", message: "first" },
      { kind: "wide-span", message: "second" },
    ];
    expect(formatFingering({ ...FIVE, remarks })).toBe(`${formatFingering(FIVE)}\nfirst\nsecond`);
    expect(formatFingering({ ...FIVE, remarks }, { explain: false })).toBe(formatFingering({ ...FIVE, remarks }));
  });
});

describe("why, in text", () => {
  it("numbers every note's sentence, adds what is charged there, and ends with the sums", () => {
    const text = formatFingering(FIVE, { explain: true });
    // C D E F G with 1 to 5: a weak finger on F and on G, and 3 4 5 in a row; 4 after 3.
    const lines = text.slice(formatFingering(FIVE).length).split("\n");
    expect(lines.slice(0, 2)).toEqual(["", ""]);
    expect(lines.slice(2, 5)).toEqual(["  1  start with the thumb on C", "  2  2 on D", "  3  3 on E"]);
    expect(lines[5]).toMatch(
      /^ {2}4 {2}4 on F {2}\(.*weak-finger 1.*, .*\)$|^ {2}4 {2}4 on F {2}\(.*, weak-finger 1\)$/,
    );
    expect(lines[5]).toContain("three-to-four 1");
    expect(lines[7]).toBe(
      `cost ${FIVE.cost}: ${Object.entries(FIVE.costByRule)
        .map(([rule, cost]) => `${rule} ${cost}`)
        .join(", ")}`,
    );
    expect(lines).toHaveLength(8);
  });

  it("gives the sums alone where the steps were not asked for, and the cost alone where nothing is charged", () => {
    const plain = fingerPassage(up("C4 D4"), { hand: "right", rules: "parncutt-1997" });
    expect([plain.cost, plain.costByRule]).toEqual([0, {}]);
    expect(formatFingering(plain, { explain: true })).toBe("C4  D4\n1   2\n\ncost 0");
    const { steps, ...unexplained } = FIVE;
    expect(steps).toHaveLength(5);
    expect(formatFingering(unexplained, { explain: true })).toBe(
      `${formatFingering(FIVE)}\n\n${formatFingering(FIVE, { explain: true }).split("\n").at(-1) ?? ""}`,
    );
  });

  it("says nothing of it unless asked", () => {
    expect(formatFingering(FIVE)).not.toContain("cost");
    expect(fingerPassage(up("C4 D4"), { hand: "right" })).not.toHaveProperty("steps");
    expect(fingerScale("C major", { hand: "right" })).not.toHaveProperty("steps");
    expect(fingerScale("C major", { hand: "right", explain: true }).steps).toHaveLength(15);
    expect(fingerChord(up("C4 E4"), { hand: "right" })).not.toHaveProperty("steps");
  });
});
