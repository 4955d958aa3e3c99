import { describe, expect, it } from "vitest";
import type { Degree } from "../../src/pitch/index.ts";
import { progressionCatalogue } from "../../src/progression/index.ts";
import type { VoiceProgressionOptions } from "../../src/voice-leading/index.ts";
import { voiceProgression } from "../../src/voice-leading/index.ts";

const degrees = (chart: string, options: VoiceProgressionOptions = {}): readonly (readonly Degree[])[] =>
  voiceProgression(chart, { colour: "in-context", ...options }).voicings.map((voicing) => voicing.degrees);

// Common practice, no source, throughout; the forms of the minor ii–V–i are those of `voicings.json`.
describe("colour in context", () => {
  it("a plain V7 into minor takes ♭9 and ♭13, iiø no natural 9, the tonic triad 6 and 9", () => {
    const [two, five, one] = degrees("Dm7b5 | G7 | Cm");
    expect(two).not.toContain("9");
    expect(five).toEqual(expect.arrayContaining(["3", "b7", "b9", "b13"]));
    expect(one).toEqual(expect.arrayContaining(["b3", "6", "9"]));
    expect(one).not.toContain("b7");
  });

  it("so does VI7 in major, and V7 into major does not", () => {
    const chords = degrees("Cmaj7 | A7 | Dm7 | G7 | Cmaj7");
    expect(chords[1]).toEqual(expect.arrayContaining(["b9", "b13"]));
    expect(chords[3]?.some((degree) => degree === "b9" || degree === "b13")).toBe(false);
  });

  it("iii takes no 9th, in every key", () => {
    for (const chart of ["Cmaj7 | Em7 | Am7 | Dm7 G7 | C6", "Ebmaj7 | Gm7 | Cm7 | Fm7 Bb7 | Eb6"])
      expect(degrees(chart)[1]).not.toContain("9");
  });

  it("substitutes take ♯11, a blues keeps 9 and 13", () => {
    expect(degrees("Dm7 | Db7 | Cmaj7")[1]).toContain("#11");
    for (const chord of degrees("blues")) expect(chord.some((degree) => ["9", "13"].includes(degree))).toBe(true);
  });

  it("a major triad is played as a 6/9", () => {
    expect(degrees("Dm7 | G7 | C")[2]).toEqual(expect.arrayContaining(["3", "6", "9"]));
  });

  it("what is written stays, and nothing speaks against it", () => {
    expect(degrees("Dm7b5 | G13 | Cm6")[1]).toContain("13");
    expect(degrees("Dm9b5 | G7 | Cm6")[0]).toContain("9");
    expect(degrees("Cm7 | Fm7 | Cm7")[0]).toContain("b7");
  });

  it("a minor triad whose minor 7th lies in the bass, or comes there next, takes no 6th", () => {
    const chords = degrees("Bm7b5 E7 | Am Am/G | F#m7b5 Fm6 | C6");
    for (const at of [2, 3]) {
      expect(chords[at]).toContain("b7");
      expect(chords[at]).not.toContain("6");
    }
  });

  it("the answer says what was added and why", () => {
    const { colours } = voiceProgression("Dm7b5 | G7 | Cm", { colour: "in-context" });
    expect(colours.map(({ index, colour, added }) => [index, colour, added])).toEqual([
      [0, "half-diminished", []],
      [1, "dominant-into-minor", expect.arrayContaining(["b9", "b13"])],
      [2, "tonic-minor", expect.arrayContaining(["6", "9"])],
    ]);
    expect(colours[1]?.message).toMatch(/^G7 takes .*♭9.*: a dominant that leads to a minor chord$/);
    expect(voiceProgression("Dm7b5 | G7 | Cm").colours).toEqual([]);
  });

  it("law: in every style and progression that ships, what a symbol names and the form has room for is the same as written", () => {
    for (const row of progressionCatalogue) {
      for (const style of ["rootless", "spread", "shell"] as const) {
        const styles = [style, "close"] as const;
        const written = voiceProgression(row.id, { style: styles }).voicings;
        const dressed = voiceProgression(row.id, { style: styles, colour: "in-context" }).voicings;
        for (const [i, voicing] of dressed.entries())
          expect(voicing.leftOut.length).toBeLessThanOrEqual(written[i]?.leftOut.length ?? 0);
      }
    }
  });
});
