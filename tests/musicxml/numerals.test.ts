import { describe, expect, it } from "vitest";
import { numeralMarks } from "../../src/harmony/index.ts";
import { readLeadSheet, writeLeadSheet, writeMusicXml } from "../../src/musicxml/index.ts";
import { parseKey } from "../../src/pitch/index.ts";
import { parseChart, parseProgression, progressionCatalogue } from "../../src/progression/index.ts";
import { makeScore } from "../../src/score/index.ts";

const wordsIn = (xml: string): readonly string[] =>
  [...xml.matchAll(/<words>([^<]*)<\/words>/g)].map(([, text = ""]) => text);
const bracketsIn = (xml: string): readonly string[] =>
  [...xml.matchAll(/<bracket type="(\w+)" number="(\d)"/g)].map(([, type, number]) => `${type} ${number}`);

const scoreOf = (chart: string) => {
  const { key, metre, bars, chords } = parseProgression(chart, { key: "C" });
  return makeScore({ key, metre, bars, chords });
};

describe("numerals on the page", () => {
  it("stand under the chords where they are asked for, with a bracket from ii to V", () => {
    const score = scoreOf("Dm7 G7 | Cmaj7 | Em7b5 A7 | Dm7 Db7 | C6");
    const xml = writeMusicXml(score, { numerals: numeralMarks });
    expect(wordsIn(xml).filter((word) => word !== "Swing")).toEqual(
      expect.arrayContaining(["ii7", "V7", "Imaj7", "iiø7/ii", "V7/ii", "subV7/I", "I6"]),
    );
    expect(bracketsIn(xml)).toEqual(["start 1", "stop 1", "start 2", "stop 2", "start 1", "stop 1"]);
    expect(xml.match(/<direction placement="below">/g)?.length).toBe(8 + 6);
    expect(bracketsIn(writeMusicXml(score))).toEqual([]);
    expect(wordsIn(writeMusicXml(score))).not.toContain("ii7");
  });

  it("prints accidentals as signs, and a chord that goes on once", () => {
    const words = wordsIn(writeMusicXml(scoreOf("Cmaj7 | Cmaj7 | Abmaj7 | F#dim7"), { numerals: numeralMarks }));
    expect(words.filter((word) => word === "Imaj7")).toHaveLength(1);
    expect(words).toContain("♭VImaj7");
    expect(words).toContain("♯iv°7");
  });

  it("law: a lead sheet with numerals is read back as the same chart, and every bracket that begins ends", () => {
    for (const { id } of progressionCatalogue) {
      const { key, chords, bars } = parseProgression(id);
      const text = Array.from({ length: bars }, (_, bar) =>
        chords
          .filter(({ at }) => Math.floor(at.num / at.den / 4) === bar)
          .map(({ chord }) => chord?.symbol ?? "N.C.")
          .join(" "),
      ).join(" | ");
      const chart = parseChart(text, { key: parseKey(`${key.tonic} ${key.mode}`) });
      const xml = writeLeadSheet(chart, { numerals: numeralMarks });
      expect(readLeadSheet(xml).bars).toEqual(readLeadSheet(writeLeadSheet(chart)).bars);
      const marks = bracketsIn(xml);
      expect(marks.filter((mark) => mark.startsWith("start"))).toHaveLength(marks.length / 2);
    }
  });
});
