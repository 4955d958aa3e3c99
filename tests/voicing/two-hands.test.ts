import { describe, expect, it } from "vitest";
import { pitchName } from "../../src/pitch/index.ts";
import type { Voicing } from "../../src/voicing/index.ts";
import { voicingCatalogue, voicingsFor } from "../../src/voicing/index.ts";

const ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;

const held = ({ pitches, hands }: Voicing, hand: "left" | "right"): readonly string[] =>
  pitches.flatMap((one, i) => (hands[i] === hand ? [pitchName(one)] : []));
const form = (symbol: string, id: string): Voicing | undefined => [...voicingsFor(symbol, { forms: [id] })][0];
const classes = (voicing: Voicing, hand: "left" | "right"): readonly number[] =>
  [...new Set(voicing.pitches.filter((_, i) => voicing.hands[i] === hand).map(({ semitones }) => semitones % 12))].sort(
    (a, b) => a - b,
  );

/** Whether pitch classes are a major or a minor triad on some root. */
const triadOf = (notes: readonly number[]): "major" | "minor" | undefined => {
  for (const root of notes) {
    const above = notes.map((note) => (note - root + 12) % 12).sort((a, b) => a - b);
    if (above.join(" ") === "0 4 7") return "major";
    if (above.join(" ") === "0 3 7") return "minor";
  }
  return undefined;
};

describe("upper structures", () => {
  // Levine, M. (1989), The Jazz Piano Book, on upper structures (cited from memory): a triad over 3rd and 7th of a dominant.
  it.each([
    ["C13#11", "upper-structure-ii-a", "E3 Bb3", "D4 F#4 A4"],
    ["C13b9", "upper-structure-major-vi-a", "E3 Bb3", "A4 Db5 E5"],
    ["C7(#9,b13)", "upper-structure-flat-vi-b", "Bb3 E4", "Ab4 C5 D#5"],
    ["C7(b9,#11)", "upper-structure-flat-v-a", "E3 Bb3", "F#4 Bb4 Db5"],
    ["C7#9", "upper-structure-i-a", "E3 Bb3", "G4 C5 D#5"],
  ])("%s %s", (symbol, id, left, right) => {
    const voicing = form(symbol, id);
    expect(
      voicing === undefined ? undefined : [held(voicing, "left").join(" "), held(voicing, "right").join(" ")],
    ).toEqual([left, right]);
  });

  it("law: what a title calls a triad sounds as that triad, in every key", () => {
    const rows = voicingCatalogue.filter(({ title }) => /^(major|minor) triad/.test(title));
    expect(rows.length).toBeGreaterThan(15);
    for (const { id, title, degrees } of rows) {
      const third = degrees.includes("7") ? "maj7" : "7";
      const named = degrees.filter((degree) => /^([b#]\d+|13)$/.test(degree) && degree !== "b7");
      for (const root of ROOTS) {
        const voicing = form(`${root}${third}(${[...new Set(named)].join(",")})`.replace("()", ""), id);
        expect(voicing === undefined ? id : triadOf(classes(voicing, "right")), `${root} ${id}`).toBe(
          title.split(" ")[0],
        );
      }
    }
  });

  it("plays the root in the left hand and a rootless form in the right", () => {
    const voicing = form("Dm9", "upper-structure-m9-a");
    expect(voicing?.pitches.map(pitchName)).toEqual(["D3", "F3", "A3", "C4", "E4"]);
    expect(voicing?.bass && pitchName(voicing.bass)).toBe("D3");
    expect(voicing?.hands).toEqual(["left", "right", "right", "right", "right"]);
  });
});

// Four-way close and its doubled lead: common practice, no source.
describe("locked hands", () => {
  it.each([
    ["C6", "locked-hands-6-on-5", "G3 | A3 C4 E4 G4"],
    ["Cmaj7", "locked-hands-6-on-1", "C4 | E4 G4 A4 C5"],
    ["Dm7", "locked-hands-7-on-7", "C4 | D4 F4 A4 C5"],
    ["G7", "locked-hands-9-on-9", "A3 | B3 D4 F4 A4"],
  ])("%s %s", (symbol, id, notes) => {
    const voicing = form(symbol, id);
    expect(voicing && `${held(voicing, "left").join(" ")} | ${held(voicing, "right").join(" ")}`).toBe(notes);
  });

  it("law: the right hand lies within an octave, and the left doubles its top an octave below unless a semitone would lie between them", () => {
    for (const { id, semitoneAtBottom, doubled } of voicingCatalogue.filter(({ style }) => style === "locked-hands")) {
      expect(semitoneAtBottom, id).toBeUndefined();
      for (const suffix of [
        "6",
        "maj9",
        "m6",
        "m7",
        "m9",
        "m11",
        "7",
        "9",
        "13",
        "7b9",
        "7#9",
        "mMaj7",
        "m7b5",
        "dim7",
        "aug",
      ]) {
        for (const voicing of sounding(`C${suffix}`, id)) {
          const [low, ...right] = voicing.pitches.map(({ semitones }) => semitones);
          const top = right.at(-1) ?? 0;
          expect(top - (right[0] ?? 0), id).toBeLessThanOrEqual(12);
          if (doubled === true) expect(top - (low ?? 0), `${id} C${suffix}`).toBe(12);
          else expect(top - (low ?? 0), `${id} C${suffix}`).toBe(11);
        }
      }
    }
  });
});

const sounding = (symbol: string, id: string): readonly Voicing[] => {
  try {
    return [...voicingsFor(symbol, { forms: [id] })];
  } catch {
    return [];
  }
};

describe("hands", () => {
  it("takes the forms for both hands of a style that has both", () => {
    const rights = (style: "fourths" | "rootless"): ReadonlySet<boolean> =>
      new Set([...voicingsFor("C7", { style, hands: "both" })].map(({ hands }) => hands.includes("right")));
    expect(rights("fourths")).toEqual(new Set([true]));
    expect(rights("rootless")).toEqual(new Set([false]));
    expect([...voicingsFor("C7", { style: "fourths" })].some(({ hands }) => !hands.includes("right"))).toBe(true);
  });
});
