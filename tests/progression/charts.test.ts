import { describe, expect, it } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import { likelyKeys, parseChart, playChart } from "../../src/progression/index.ts";
import { placeIn } from "../../src/progression/inner.ts";
import { generateLine, makeDrill, simulateTake } from "../all.ts";
import { HANDS, played, REFUSED } from "./hands.ts";

const refusal = (run: () => unknown): MusicError => {
  try {
    run();
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error("was read");
};

describe("charts in many hands", () => {
  it("are at least 120", () => {
    expect(new Set(HANDS.map(({ text, options }) => JSON.stringify([text, options]))).size).toBeGreaterThanOrEqual(120);
  });

  it.each(HANDS)("common practice, no source: $text", ({ text, played: expected, told, key, metre, options }) => {
    const chart = parseChart(text, options ?? {});
    expect(played(text, options ?? {})).toBe(expected);
    for (const words of told ?? []) expect(chart.guesses.join("\n")).toContain(words);
    if (key !== undefined) expect(chart.key).toBe(key);
    if (metre !== undefined) expect(chart.metre).toBe(metre);
    // Everything that is played is a chord that can be played.
    expect(playChart(chart).bars).toBeGreaterThan(0);
  });

  it("tells nothing where nothing was guessed", () => {
    expect(parseChart("Key: C\n|: Dm7 | G7 :|\n[B] Cmaj7 | C6 |").guesses).toEqual([]);
  });

  it.each(REFUSED)("%j is refused in one line with its place", (text, code, place, says) => {
    const { code: own, message } = refusal(() => parseChart(text));
    expect(own).toBe(code);
    expect(message).toContain(place);
    expect(message).toContain(says);
    expect(message).not.toContain("\n");
  });
});

describe("likely keys", () => {
  // Common practice, no source.
  it.each([
    ["Dm7 | G7 | Cmaj7 | A7", "C major"],
    ["Dm7 | G7 | Cmaj7 | Cmaj7", "C major"],
    ["Fmaj7 | D7 | Gm7 | C7", "F major"],
    ["Cm6 | Dø G7b9 | Cm6 | %", "C minor"],
    ["F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 | Gm7 | C7 | F7 D7 | Gm7 C7", "F major"],
    ["Am | F | C | E7", "A minor"],
    ["C | Am | F | G7", "C major"],
    ["Dm7 | Dm7 | Ebm7 | Dm7", "D minor"],
    ["C#m7 | F#7 | B | B", "B major"],
    ["Ebm7 | Ab7 | Dbmaj7 | %", "Db major"],
  ])("common practice, no source: %s is in %s", (text, key) => {
    expect(parseChart(text).key).toBe(key);
    expect(parseChart(text).guesses.at(-1)).toContain(`key taken as ${key}`);
  });

  it("are ranked with reasons, and none where no chord sounds", () => {
    const [first, second] = likelyKeys("Dm7 | G7 | Cmaj7 | A7");
    expect(first?.key.tonic).toBe("C");
    expect(first?.reasons).toContain("ii-V-I into C");
    expect(first?.share).toBeGreaterThan(second?.share ?? 1);
    expect(likelyKeys("N.C. | N.C.")).toEqual([]);
    expect(parseChart("N.C.").key).toBe("C major");
  });

  it("law: the shares of all keys add up to one", () => {
    for (const { text, options } of HANDS) {
      const keys = likelyKeys(parseChart(text, options ?? {}));
      if (keys.length > 0) expect(keys.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 1);
      expect([0, 24]).toContain(keys.length);
    }
  });
});

describe("metres that change", () => {
  const mixed = "C | [3/4] F | G | [4/4] Am F | C";

  it("are played in their own lengths, and places are counted by them", () => {
    const progression = playChart(mixed);
    expect(progression.chords.map(({ at }) => at.num / at.den)).toEqual([0, 4, 7, 10, 12, 14]);
    expect(
      progression.chords.map(({ at }) => placeIn(progression, at)).map(({ bar, beat }) => [bar, beat.num]),
    ).toEqual([
      [1, 1],
      [2, 1],
      [3, 1],
      [4, 1],
      [4, 3],
      [5, 1],
    ]);
  });

  it("are refused in one line by what counts bars of one length: phrases and takes", () => {
    expect(refusal(() => generateLine(mixed, { scale: "C major" })).message).toContain("one metre throughout");
    expect(refusal(() => makeDrill({ key: "C", changes: mixed, right: "improvised" })).message).toContain(
      "an exercise where the metre changes, as in bar 2",
    );
    const { score } = makeDrill({ key: "C", changes: mixed });
    expect(refusal(() => simulateTake(score)).message).toContain("one metre throughout");
  });
});
