import { describe, expect, it } from "vitest";
import { fingerMusicXml } from "../../src/cli/finger-score.ts";
import { makeDrill } from "../../src/drill/index.ts";
import { readMusicXml, writeMusicXml } from "../../src/musicxml/index.ts";

const bare = (text: string): string =>
  text.replace(/<fingering[^>]*>[^<]*<\/fingering>|<\/?technical>|<\/?notations>/g, "").replace(/\s+/g, "");
const count = (text: string, what: RegExp): number => (text.match(what) ?? []).length;

describe("a score with fingers", () => {
  const xml = writeMusicXml(makeDrill({ key: "Eb" }).score);
  const without = xml.replace(/\s*<fingering[^>]*>[^<]*<\/fingering>/g, "");

  it("gives every struck note of both hands a finger and touches nothing else", () => {
    const { text, fingered } = fingerMusicXml(without, { hand: "right", keep: false });
    expect(count(without, /<fingering/g)).toBe(0);
    expect(count(text, /<fingering/g)).toBe(fingered.left + fingered.right);
    expect(fingered.left).toBeGreaterThan(0);
    expect(fingered.right).toBeGreaterThan(0);
    expect(bare(text)).toBe(bare(xml));
    expect(() => readMusicXml(text)).not.toThrow();
  });

  it("keeps written fingers where that is asked", () => {
    const first = /<note\b(?:(?!<\/note>)[\s\S])*<pitch>(?:(?!<\/note>)[\s\S])*/;
    const note = "<notations><technical><fingering>FINGER</fingering></technical></notations>";
    const opening = (finger: number, keep: boolean): string => {
      const written = without.replace(first, (body) => body + note.replace("FINGER", String(finger)));
      expect(count(written, /<fingering/g)).toBe(1);
      return /<fingering>(\d)/.exec(fingerMusicXml(written, { hand: "right", keep }).text)?.[1] ?? "";
    };
    for (const finger of [2, 3, 4]) expect(opening(finger, true)).toBe(String(finger));
    expect(new Set([2, 3, 4].map((finger) => opening(finger, false))).size).toBe(1);
  });

  it("refuses what is no partwise score of one part, and a score without notes", () => {
    for (const text of [
      "<html/>",
      "<score-partwise/>",
      "<score-partwise><part id='a'/><part id='b'/></score-partwise>",
    ])
      expect(() => fingerMusicXml(text, { hand: "right", keep: false })).toThrow("cli/score");
  });
});
