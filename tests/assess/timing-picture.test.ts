import { XMLParser, XMLValidator } from "fast-xml-parser";
import { describe, expect, it } from "vitest";
import { assessTake, beatsOf, makeDrill, makeScore, metre, parseKey, pitch, simulateTake, timingPicture } from "../../src/index.ts";

const score = makeDrill({ key: "Eb", repeats: 2, pickup: true }).score;
const assess = () => assessTake(score, simulateTake(score, { seed: 4, jitterMs: 20, wrong: 0.1, missed: 0.1, extra: 0.1, restarts: 1 }).played);

interface Circle {
  readonly "@_cx": string;
  readonly "@_cy": string;
}

describe("timing picture", () => {
  it("is well-formed, with a title and a description in words", () => {
    const assessment = assess();
    const svg = timingPicture(assessment);
    expect(XMLValidator.validate(svg)).toBe(true);
    const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(svg);
    expect(root.title["#text"]).toBe("Timing of a take: Turnaround in E♭");
    expect(root.desc["#text"]).toContain(`${assessment.accuracy.right} of ${assessment.accuracy.asked} notes are right.`);
    expect(root["@_aria-labelledby"]).toBe("timing-title timing-desc");
  });

  it("law: every note is one mark, and nothing is told by colour", () => {
    const assessment = assess();
    const svg = timingPicture(assessment);
    const count = (pattern: RegExp): number => [...svg.matchAll(pattern)].length;
    const { right, wrong, missed, extra } = assessment.accuracy;
    // The legend shows each mark once, and a right note of an earlier run.
    expect(count(/<circle /g)).toBe(right + 2);
    expect(count(/<rect x=/g)).toBe(wrong + 1);
    expect(count(/<path /g)).toBe(missed + extra + 2);
    expect(svg).not.toMatch(/#(?!000|fff|777|999)[0-9a-f]{3}/i);
  });

  it("law: a late note lies below an early one, and every mark inside the picture", () => {
    const right = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => ({ at: beatsOf(i, 1), duration: beatsOf(1, 1), pitches: [pitch("C4")] }));
    const plain = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, right });
    const off = [0, 0, 40, 0, -40, 0, 900, 0];
    const { played } = simulateTake(plain);
    const late = assessTake(plain, played.map((note, i) => ({ ...note, onsetSeconds: note.onsetSeconds + (off[i] as number) / 1000 })).slice(0, 6));
    const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(timingPicture(late, { width: 500, barsInRow: 2 }));
    const circles = root.circle as readonly Circle[];
    expect(Number(circles[2]?.["@_cy"])).toBeGreaterThan(Number(circles[4]?.["@_cy"]));
    for (const circle of circles) {
      expect(Number(circle["@_cx"])).toBeGreaterThan(0);
      expect(Number(circle["@_cx"])).toBeLessThan(500);
      expect(Number(circle["@_cy"])).toBeLessThan(Number(root["@_height"]));
    }
  });

  it("writes titles as text, whatever is in them, and refuses sizes out of range", () => {
    const assessment = assess();
    const odd = timingPicture({ ...assessment, title: '<b> & "c"' });
    expect(XMLValidator.validate(odd)).toBe(true);
    expect(odd).toContain("&lt;b&gt; &amp; &quot;c&quot;");
    for (const options of [{ width: 1 }, { barsInRow: 0 }, { edgeMs: Number.NaN }]) {
      expect(() => timingPicture(assessment, options)).toThrowError(expect.objectContaining({ code: "assess/picture" }));
    }
  });
});
