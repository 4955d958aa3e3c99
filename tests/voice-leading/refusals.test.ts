import { describe, expect, it } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import type { NoteName } from "../../src/pitch/index.ts";
import { parsePitch, pitchFromMidi } from "../../src/pitch/index.ts";
import type { VoiceLeadingMetric, VoicingCandidate } from "../../src/voice-leading/index.ts";
import { pitchClassLeading, smoothestPath, voiceLeading } from "../../src/voice-leading/index.ts";

const refusal = (work: () => unknown): MusicError => {
  try {
    work();
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
};
const at = (midi: number, rest: Partial<VoicingCandidate> = {}): VoicingCandidate => ({
  pitches: [pitchFromMidi(midi, "flats")],
  ...rest,
});
const named = (midi: number, symbol: string, form: string): VoicingCandidate => at(midi, { form, chord: { symbol } });

describe("refusals of a path say where and what", () => {
  it("no chords, no candidates, no notes", () => {
    for (const sets of [
      [],
      [[]],
      [[at(60)], []],
      [[at(60), { pitches: [] }]],
      [[{ pitches: [parsePitch("C4")], upper: [] }]],
    ]) {
      expect(refusal(() => smoothestPath(sets))).toMatchObject({
        code: "voice-leading/empty",
        input: sets.length,
        reason: "bad-input",
      });
    }
  });

  it("metrics and largest moves that are none", () => {
    expect(refusal(() => smoothestPath([[at(60)]], { metric: "l2" as VoiceLeadingMetric }))).toMatchObject({
      code: "voice-leading/metric",
      input: "l2",
    });
    expect(refusal(() => smoothestPath([[at(60)]], { maxTopMove: -1 })).expected).toContain("0 or more");
    for (const word of ["sum", "largest", "euclidean"])
      expect(
        refusal(() => voiceLeading([parsePitch("C4")], [parsePitch("C4")], { metric: "l2" as VoiceLeadingMetric }))
          .expected,
      ).toContain(word);
    for (const maxTopMove of [-1, -0.5, Number.NaN])
      expect(refusal(() => smoothestPath([[at(60)]], { maxTopMove }))).toMatchObject({
        code: "voice-leading/top-move",
        input: maxTopMove,
      });
    expect(smoothestPath([[at(60)], [at(60)]], { maxTopMove: 0 }).totalMotion).toBe(0);
  });

  it("forbidden forms by name, with the chord that has no other", () => {
    const sets = [[named(60, "C", "a"), named(62, "C", "b")], [named(60, "Dm", "b")]];
    const error = refusal(() => smoothestPath(sets, { without: ["b", "c"] }));
    expect(error).toMatchObject({ code: "voice-leading/forbidden", input: "b, c", reason: "cannot-be-done" });
    expect(error.expected).toContain("Dm");
    expect(refusal(() => smoothestPath([[at(60, { form: "b" })]], { without: ["b"] })).expected).toContain(
      "each chord",
    );
    // What has no form can't be forbidden.
    expect(smoothestPath([[at(60)]], { without: ["b"] }).voicings).toEqual([at(60)]);
    expect(smoothestPath([[named(60, "C", "a")]], { without: [] }).voicings[0]?.form).toBe("a");
  });

  it("a first or last form that the chord lacks, with those it has, once each", () => {
    const sets = [[named(60, "C", "a"), named(62, "C", "b"), named(64, "C", "a")], [named(60, "Dm", "d")]];
    const error = refusal(() => smoothestPath(sets, { first: "d" }));
    expect(error).toMatchObject({ code: "voice-leading/fixed", input: "d", hint: "a, b", reason: "cannot-be-done" });
    expect(error.expected).toContain("C");
    const last = refusal(() => smoothestPath(sets, { last: "a" }));
    expect([last.hint, last.expected.includes("Dm")]).toEqual(["d", true]);
    expect(refusal(() => smoothestPath([[at(60)]], { first: "a" })).expected).toContain("the chord");
    expect(smoothestPath(sets, { last: "d", first: "b" }).voicings.map((c) => c.form)).toEqual(["b", "d"]);
  });

  it("the step that blocks, round the corner of a loop too", () => {
    const sets = [[named(60, "C", "a")], [named(64, "F", "a")], [named(68, "G", "a")]];
    expect(smoothestPath(sets, { maxTopMove: 4 }).motion).toEqual([4, 4]);
    expect(refusal(() => smoothestPath(sets, { maxTopMove: 4, loop: true }))).toMatchObject({
      code: "voice-leading/blocked",
      input: "G (chord 3) to C (chord 1)",
      reason: "cannot-be-done",
    });
    expect(refusal(() => smoothestPath(sets, { maxTopMove: 3 }))).toMatchObject({
      input: "C (chord 1) to F (chord 2)",
    });
    const unnamed = refusal(() => smoothestPath([[at(60)], [at(61)], [at(72)]], { maxTopMove: 1 }));
    expect([unnamed.input, unnamed.hint !== undefined]).toEqual(["chord 2 to chord 3", true]);
    expect(
      refusal(() => smoothestPath([[at(60, { label: "A" })], [at(60, { label: "A" })]], { alternate: true })).code,
    ).toBe("voice-leading/blocked");
  });
});

describe("refusals of a leading", () => {
  it("name what was given", () => {
    const c = [parsePitch("C4")];
    expect(refusal(() => voiceLeading([], c))).toMatchObject({ code: "voice-leading/empty", input: [] });
    expect(refusal(() => voiceLeading(c, []))).toMatchObject({ code: "voice-leading/empty", input: [] });
    expect(refusal(() => voiceLeading(c, c, { metric: "l1" as VoiceLeadingMetric }))).toMatchObject({
      code: "voice-leading/metric",
      input: "l1",
    });
    const many = Array<NoteName>(13).fill("C");
    expect(refusal(() => pitchClassLeading(["C"], many))).toMatchObject({ code: "voice-leading/size", input: many });
    expect(refusal(() => pitchClassLeading(["C"], []))).toMatchObject({ code: "voice-leading/empty", input: [] });
    expect(pitchClassLeading(Array<NoteName>(12).fill("C"), ["C"]).total).toBe(0);
  });
});

describe("defaults", () => {
  it("the sum of all moves, open, any label after any", () => {
    const sets = [
      [at(60, { label: "A" }), at(61, { label: "B" })],
      [at(60, { label: "A" }), at(63, { label: "B" })],
    ];
    const path = smoothestPath(sets);
    expect(path).toMatchObject({ kind: "smoothest-path", motion: [0], totalMotion: 0, largestMove: 0, topLeaps: 0 });
    expect(path).toEqual(
      smoothestPath(sets, { metric: "sum", loop: false, alternate: false, maxTopMove: Number.POSITIVE_INFINITY }),
    );
    expect(smoothestPath(sets, { alternate: true }).motion).toEqual([1]);
    expect(voiceLeading([parsePitch("C4"), parsePitch("E4")], [parsePitch("D4"), parsePitch("F4")])).toMatchObject({
      kind: "voice-leading",
      metric: "sum",
      distance: 3,
    });
    expect(pitchClassLeading(["C", "E"], ["D", "F"])).toMatchObject({
      kind: "pitch-class-leading",
      metric: "sum",
      distance: 3,
    });
  });

  it("a leap of the top note is more than a minor third", () => {
    const leaps = (by: number) => smoothestPath([[at(60)], [at(60 + by)]]).topLeaps;
    expect([leaps(2), leaps(3), leaps(4), leaps(-3), leaps(-4)]).toEqual([0, 0, 1, 0, 1]);
  });
});
