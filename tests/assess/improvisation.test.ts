import { describe, expect, it } from "vitest";
import type { LineFinding, NoteEvent, Score } from "../../src/index.ts";
import { assessImprovisation, beatsOf, checkLine, formatBeats, makeDrill, makeScore, metre, midiNumber, parseKey, pitchFromMidi, simulateTake, swungFeel } from "../../src/index.ts";

const told = (line: readonly NoteEvent[]): readonly string[] => line.map((event) => `${formatBeats(event.at)} ${event.pitches.map(midiNumber).join(" ")}`);

const handsOf = (score: Score): Score => {
  const { bass: _bass, drums: _drums, ...hands } = score;
  return hands;
};

describe("improvised lines", () => {
  it.each(["eighths", "triplets"] as const)("law: a line of %s played over the written left hand is written down as it was meant", (values) => {
    const score = handsOf(makeDrill({ key: "F", values, octaves: 2 }).score);
    for (const seed of [1, 2, 3]) {
      const { played } = simulateTake(score, { seed, jitterMs: 8, tempo: 90 });
      const heard = assessImprovisation({ ...score, right: [] }, played.map((note) => ({ ...note, onsetSeconds: note.onsetSeconds + 3 })), { from: 60 });
      const meant = score.right.filter((event) => event.pitches.every((p) => midiNumber(p) >= 60));
      expect(meant.length).toBe(score.right.length);
      // Notes of the left hand above the split are heard with the line.
      const own = heard.line.filter((event) => meant.some((other) => formatBeats(other.at) === formatBeats(event.at)));
      expect(own.map((event) => formatBeats(event.at))).toEqual(meant.map((event) => formatBeats(event.at)));
      expect(heard.offMs).toBeLessThan(25);
    }
  });

  it("tells the hands apart where the take does, and keeps the time by the score without a left hand", () => {
    const keys = [60, 62, 64, 65, 67, 69, 71, 72];
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 120, feel: swungFeel("2:1") });
    const at = [0, 2 / 3, 1, 4 / 3, 5 / 3, 2, 2 + 2 / 3, 4];
    const played = keys.map((midi, i) => ({ midi, onsetSeconds: 1 + (at[i] as number) / 2, durationSeconds: 0.2, velocity: 80, hand: "right" as const }));
    const heard = assessImprovisation(score, [...played, { ...(played[0] as (typeof played)[number]), midi: 84, hand: "left" as const }], { startSeconds: 1 });
    // A swung pair, a triplet, a swung pair, and a note on the next bar line.
    expect(told(heard.line)).toEqual(["0 60", "1/2 62", "1 64", "4/3 65", "5/3 67", "2 69", "5/2 71", "4 72"]);
    expect(heard.offMs).toBe(0);
  });

  it("law: what is found is what the rules of phrasing find in the written line, and three things at most are said", () => {
    const right = Array.from({ length: 32 }, (_, i): NoteEvent => ({ at: beatsOf(i, 2), duration: beatsOf(1, 2), pitches: [pitchFromMidi(i % 2 === 0 ? 60 : 83, "flats")] }));
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 120, right });
    const heard = assessImprovisation({ ...score, right: [] }, simulateTake(score, { held: 1 }).played);
    expect(told(heard.line)).toEqual(told(right));
    const ids = (findings: readonly LineFinding[]): readonly string[] => findings.map((finding) => `${finding.rule} ${finding.bar}`);
    expect(ids(heard.findings)).toEqual(ids(checkLine(heard.line, { metre: score.metre, chords: [], voicings: [], tempo: 120 }).findings));
    expect(heard.findings.length).toBeGreaterThan(3);
    expect(heard.say.length).toBe(3);
    expect(new Set(heard.say).size).toBe(3);
  });

  it("refuses a take without a line", () => {
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1 });
    expect(() => assessImprovisation(score, [{ midi: 40, onsetSeconds: 0, durationSeconds: 1, velocity: 70 }])).toThrowError(expect.objectContaining({ code: "assess/line" }));
  });
});
