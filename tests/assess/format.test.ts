import { describe, expect, it } from "vitest";
import type { Assessment, Improvisation, PracticeStep } from "../all.ts";
import { formatAssessment, formatImprovisation } from "../all.ts";

const hand = (name: "right" | "left") => ({
  hand: name,
  asked: 8,
  right: 8,
  wrong: 0,
  missed: 0,
  extra: 0,
  accuracy: 1,
});
const clean = {
  title: "",
  praise: "Well done.",
  say: [],
  practise: [],
  hands: [hand("right"), hand("left")],
  tempo: { asked: 119.6, played: 100.4, start: 98.7, end: 103.2, sway: 0 },
} as unknown as Assessment;
const finding = (message: string): Assessment["say"][number] => ({
  id: "pauses",
  weight: 1,
  bars: [],
  message,
  figures: {},
});
const step = (fields: Partial<PracticeStep>): PracticeStep => ({
  kind: "practice-step",
  finding: "pauses",
  hands: "both",
  bars: [],
  of: "drill",
  recipe: { key: "C", tempo: 84, repeats: 4 },
  how: "Slowly.",
  caution: "Stop at pain.",
  ...fields,
});
const lines = (fields: Partial<Assessment> = {}): readonly string[] =>
  formatAssessment({ ...clean, ...fields }).split("\n");

describe("an assessment in words", () => {
  it("without findings: the praise first, each hand, whole numbers for the tempo, no caution", () => {
    expect(lines()).toEqual([
      "Well done.",
      expect.stringMatching(/^Nothing to fix/),
      "",
      "Right hand: 8 of 8 right.",
      "Left hand: 8 of 8 right.",
      "Tempo: about 100 (written 120), 99 at the start, 103 at the end.",
      "",
    ]);
  });

  it("a title stands over it", () => {
    expect(lines({ title: "Etude" }).slice(0, 3)).toEqual(["Etude", "", "Well done."]);
  });

  it("findings are numbered, each with how to practise it: bars, hands, tempo, times; and a caution at the end", () => {
    const text = lines({
      say: [finding("First."), finding("Second."), finding("Third.")],
      practise: [
        step({}),
        step({ hands: "left", bars: [2, 3], how: "Tap it.", recipe: { key: "C", tempo: 60, repeats: 2 } }),
        step({ hands: "right", bars: [5] }),
      ],
    });
    expect(text.slice(0, 11)).toEqual([
      "Well done.",
      "",
      "1. First.",
      "   Try: Slowly.",
      expect.stringMatching(/^ {3}The whole, both hands, at 84, about 4 times/),
      "2. Second.",
      "   Try: Tap it.",
      expect.stringMatching(/^ {3}Bars 2 and 3, left hand, at 60, about 2 times/),
      "3. Third.",
      "   Try: Slowly.",
      expect.stringMatching(/^ {3}Bar 5, right hand, at 84/),
    ]);
    expect(text.slice(11)).toEqual([
      "",
      "Right hand: 8 of 8 right.",
      "Left hand: 8 of 8 right.",
      expect.stringMatching(/^Tempo: /),
      "",
      expect.stringMatching(/stop at any pain/),
      "",
    ]);
    expect(text.join()).not.toContain("Nothing to fix");
  });

  it("a finding without a step is told without one", () => {
    expect(lines({ say: [finding("Only.")] }).slice(0, 5)).toEqual([
      "Well done.",
      "",
      "1. Only.",
      "",
      "Right hand: 8 of 8 right.",
    ]);
  });
});

describe("an improvised take in words", () => {
  const take = {
    title: "",
    praise: "Well done.",
    say: [],
    heard: ["Right hand.", "Left hand."],
  } as unknown as Improvisation;
  const told = (fields: Partial<Improvisation> = {}): readonly string[] =>
    formatImprovisation({ ...take, ...fields }).split("\n");

  it("without remarks: the praise first, then what was heard, no caution", () => {
    expect(told()).toEqual([
      "Well done.",
      expect.stringMatching(/^Nothing to mend/),
      "",
      "Right hand.",
      "Left hand.",
      "",
    ]);
    expect(told({ title: "Etude" }).slice(0, 3)).toEqual([
      expect.stringMatching(/^Etude, improvised/),
      "",
      "Well done.",
    ]);
  });

  it("remarks are numbered, each with what to try, and a caution at the end", () => {
    const say = ["Long.", "High."].map(
      (text, i) => ({ about: "line", id: "range", places: [], text, how: `Way ${i + 1}.` }) as const,
    );
    expect(told({ say })).toEqual([
      "Well done.",
      "",
      "1. Long.",
      "   Try: Way 1.",
      "2. High.",
      "   Try: Way 2.",
      "",
      "Right hand.",
      "Left hand.",
      "",
      expect.stringMatching(/stop at any pain/),
      "",
    ]);
  });
});
