import { describe, expect, it } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import { pitchClassOf } from "../../src/pitch/index.ts";
import { parseProgression, progressionCatalogue } from "../../src/progression/index.ts";
import { addBeats, beats, formatBeats } from "../../src/time/index.ts";
import { reharmonisations, voiceProgression } from "../../src/voice-leading/index.ts";

const offered = (chart: string): readonly string[] =>
  reharmonisations(chart).map(({ way, from, to }) => `${way}: ${from} to ${to.join(" ")}`);

// Common practice, no source, throughout.
describe("reharmonisation", () => {
  it("offers substitute, ii and backdoor for a dominant", () => {
    expect(offered("Cmaj7 | G7 | Cmaj7")).toEqual([
      "tritone-substitute: G7 to Db7",
      "related-two: G7 to Dm7 G7",
      "backdoor: G7 to Fm7 Bb7",
    ]);
  });

  it("into minor the ii is half-diminished, and there is no backdoor", () => {
    expect(offered("Cm | G7 | Cm")).toEqual(["tritone-substitute: G7 to Db7", "related-two: G7 to Dm7b5 G7"]);
  });

  it("offers a passing diminished chord between chords a whole tone apart", () => {
    expect(offered("Fmaj7 Gm7 | Fmaj7")).toEqual(["passing-diminished: Fmaj7 to Fmaj7 F#dim7"]);
  });

  it("offers a chord's own ii and V before it, in the second half of a bar; with a half-diminished ii before a minor chord", () => {
    expect(offered("Cmaj7 | Fmaj7")).toEqual(["two-five: Cmaj7 to Cmaj7 Gm7 C7"]);
    expect(offered("Cmaj7 | Am7")).toEqual(["two-five: Cmaj7 to Cmaj7 Bm7b5 E7"]);
    const [offer] = reharmonisations("Cmaj7 | Fmaj7");
    expect(offer?.durations.map((length) => formatBeats(length))).toEqual(["2", "1", "1"]);
    expect(offered("Dm7 | G7").some((one) => one.startsWith("two-five"))).toBe(false);
    expect(offered("Cmaj7 Fmaj7 | Cmaj7").some((one) => one.startsWith("two-five"))).toBe(false);
  });

  it("law: what is offered lasts as long as what it stands for", () => {
    for (const { id } of progressionCatalogue) {
      const chords = parseProgression(id).chords.filter(({ chord }) => chord !== undefined);
      for (const { index, durations, to } of reharmonisations(id)) {
        expect(durations).toHaveLength(to.length);
        const all = durations.reduce((sum, one) => addBeats(sum, one), beats(0));
        expect(all).toEqual(chords[index]?.duration);
      }
    }
  });

  it("says what it costs: what the changed chart moves more", () => {
    const [offer] = reharmonisations("Dm7 | G7 | Cmaj7");
    const style = ["rootless", "close"] as const;
    const plain = voiceProgression("Dm7 | G7 | Cmaj7", { style }).totalMotion;
    expect(offer?.motion).toBe(voiceProgression("Dm7 | Db7 | Cmaj7", { style }).totalMotion - plain);
  });

  it("law: a substitute has the 3rd and 7th of the dominant, and no name has more than one accidental", () => {
    for (const { id } of progressionCatalogue) {
      for (const { way, from, to } of reharmonisations(id)) {
        expect(to.every((symbol) => !/^[A-G](?:bb|##)/.test(symbol))).toBe(true);
        if (way !== "tritone-substitute") continue;
        const guides = (symbol: string): readonly number[] =>
          parseChord(symbol)
            .tones.filter(({ degree }) => degree === "3" || degree === "4" || degree === "b7")
            .map(({ note }) => pitchClassOf(note))
            .sort((a, b) => a - b);
        if (!from.includes("sus")) expect(guides(to[0] ?? "")).toEqual(guides(from));
      }
    }
  });
});
