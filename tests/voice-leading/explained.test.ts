import { describe, expect, it } from "vitest";
import { parseChord, transposeChord } from "../../src/chord/index.ts";
import { formatPitch, parseInterval, pitchName, transpose } from "../../src/pitch/index.ts";
import type { VoiceProgressionOptions } from "../../src/voice-leading/index.ts";
import { voiceProgression } from "../../src/voice-leading/index.ts";
import type { Voicing, VoicingOptions } from "../../src/voicing/index.ts";
import { voicingsFor } from "../../src/voicing/index.ts";

const placed = (symbol: string, options: VoicingOptions): Voicing => [...voicingsFor(symbol, options)][0] as Voicing;
const between = (from: Voicing, to: Voicing, options: VoiceProgressionOptions = {}): string =>
  voiceProgression([from.chord, to.chord], { ...options, first: from, last: to }).explanation[0] as string;

describe("the sentence of a step", () => {
  const low = placed("Cmaj9", { forms: ["rootless-maj9-a"], register: { from: "C4", to: "E4" } });
  const raised = (by: string): Voicing => {
    const pitches = low.pitches.map((p) => transpose(p, parseInterval(by)));
    return { ...low, chord: transposeChord(parseChord("Cmaj9"), parseInterval(by)), pitches, upper: pitches };
  };

  it.each([
    ["m2", "a semitone"],
    ["M2", "a whole tone"],
    ["m3", "a minor third"],
    ["M3", "a major third"],
    ["P4", "a fourth"],
    ["A4", "a tritone"],
    ["P5", "a fifth"],
    ["m6", "8 semitones"],
    ["P8", "12 semitones"],
  ])("a voice that moves a %s moves %s, up or down", (by, words) => {
    const high = raised(by);
    const sizes = String(parseInterval(by).semitones);
    const [up, down] = [between(low, high), between(high, low)];
    low.upper.forEach((p, i) => {
      const q = high.upper[i] as typeof p;
      expect(up).toContain(`${formatPitch(p)} rises ${words} to ${formatPitch(q)}`);
      expect(down).toContain(`${formatPitch(q)} falls ${words} to ${formatPitch(p)}`);
    });
    expect(up).toMatch(new RegExp(`Motion ${4 * Number(sizes)}, largest move ${sizes}\\.$`));
    expect(up).not.toMatch(/stays?\b/);
    expect(up).toMatch(new RegExp(`to ${formatPitch(high.upper[3] as (typeof low.upper)[number])}\\. Motion`));
  });

  it("names both chords with their layouts, moves parted by commas, and what stays after a semicolon", () => {
    // One note stays, two, three, four.
    const a = placed("Dm9", { forms: ["rootless-m9-a"] });
    expect(between(a, placed("G7", { forms: ["rootless-13-b"] }))).toMatch(
      /^Dm9 \(A\) to G7 \(B\): C4 falls a semitone to B3; F3, A3 and E4 stay\. /,
    );
    const close = (symbol: string, form: number): Voicing =>
      placed(symbol, { forms: [`close-triad-${form}`], register: { from: "G4", to: "C5" } });
    expect(between(close("C", 0), close("Am", 1))).toMatch(/: G4 rises a whole tone to A4; C4 and E4 stay\. /);
    expect(between(close("C", 0), close("F", 2))).toMatch(
      /: E4 rises a semitone to F4, G4 rises a whole tone to A4; C4 stays\. /,
    );
    expect(between(a, a)).toBe("Dm9 (A) to Dm9 (A): F3, A3, C4 and E4 stay. Motion 0, largest move 0.");
  });

  it("gives a distance that is no whole number to two places", () => {
    const [one, other] = [placed("G13", { forms: ["rootless-13-b"] }), placed("Cmaj9", { forms: ["rootless-maj9-a"] })];
    // Moves of 1, 2, 0 and 2 semitones: the root of nine is whole; of 0, 1 and 2 it is the root of five.
    expect(between(one, other, { metric: "euclidean" })).toContain("Motion 3, largest move 2.");
    const close = (symbol: string, form: number): Voicing =>
      placed(symbol, { forms: [`close-triad-${form}`], register: { from: "G4", to: "C5" } });
    expect(between(close("C", 0), close("F", 2), { metric: "euclidean" })).toContain("Motion 2.24, largest move 2.");
  });

  it("has one for each step, in a loop one more, back to the first chord", () => {
    const chords = ["Cmaj7", "Am7", "Dm7", "G7"];
    expect(voiceProgression(chords).explanation).toHaveLength(3);
    const loop = voiceProgression(chords, { loop: true });
    expect(loop.explanation).toHaveLength(4);
    expect(loop.explanation[3]).toMatch(/^G7 \(.\) to Cmaj7 \(.\): /);
    expect(loop.kind).toBe("voiced-progression");
  });
});

// Common practice, no source; what stands for a 3rd or a 7th as in Hutchinson, sec. 31.7.
describe("guide tones", () => {
  it.each([
    ["Cmaj7", "3 7"],
    ["Cm7", "b3 b7"],
    ["C7", "3 b7"],
    ["CmMaj7", "b3 7"],
    ["C6", "3 6"],
    ["Cm6", "b3 6"],
    ["C7sus4", "4 b7"],
    ["Cdim7", "b3 bb7"],
    ["Cm7b5", "b3 b7"],
  ])("%s: %s", (symbol, degrees) => {
    const [tones] = voiceProgression([symbol], { style: "shell" }).guideTones;
    expect([...(tones ?? [])].map((tone) => tone.degree).sort()).toEqual(degrees.split(" ").sort());
  });

  it("a triad has its 3rd alone, a suspended one its 4th or 2nd", () => {
    const tones = (symbol: string) =>
      voiceProgression([symbol], { style: "close" }).guideTones[0]?.map((tone) => tone.degree);
    expect([tones("C"), tones("Cm"), tones("Csus4"), tones("Csus2")]).toEqual([["3"], ["b3"], ["4"], ["2"]]);
  });

  it("law: they sound what their degree says, from low to high", () => {
    const { voicings, guideTones } = voiceProgression(["Dm7", "G7", "C6", "A7b9"], { style: ["rootless", "close"] });
    guideTones.forEach((tones, i) => {
      const { degrees, pitches } = voicings[i] as Voicing;
      for (const { degree, pitch } of tones) expect(pitches[degrees.indexOf(degree)]).toEqual(pitch);
      expect(tones.map((tone) => tone.pitch.semitones)).toEqual(
        tones.map((tone) => tone.pitch.semitones).sort((a, b) => a - b),
      );
      expect(tones).toHaveLength(2);
    });
  });

  it("chords are told apart by symbol and by what they hold", () => {
    const plain = parseChord("C7");
    const { voicings } = voiceProgression([plain, "C7", transposeChord(plain, parseInterval("P4"))], {
      style: "close",
    });
    expect(voicings.map((v) => v.chord.root)).toEqual(["C", "C", "F"]);
    expect(voicings.map((v) => v.pitches.map(pitchName).length)).toEqual([4, 4, 4]);
  });
});
