import { describe, expect, it } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import { parsePitch } from "../../src/pitch/index.ts";
import type { VoicingOptions, VoicingStyle } from "../../src/voicing/index.ts";
import { voicingCatalogue, voicingsFor } from "../../src/voicing/index.ts";

const codeOf = (symbol: string, options: VoicingOptions): string => {
  try {
    return [...voicingsFor(symbol, options)].length > 0 ? "played" : "none";
  } catch (error) {
    if (error instanceof MusicError) return error.code;
    throw error;
  }
};

// Common practice, no source: what would put a note into a chord that its symbol speaks against, or leave out what names it.
describe("chords that a form does not serve", () => {
  const DOMINANTS = ["C7", "C9", "C13"];
  const SUSPENDED_AND_THIRD = ["C11", "Cm11", "Cm13"];
  it.each<readonly [why: string, ids: string, symbols: readonly string[]]>([
    [
      "a 6/9 is no dominant, and no major seventh that names more",
      "rootless-69-a rootless-69-b",
      [...DOMINANTS, "Cmaj9", "Cmaj13", "Cmaj7#11"],
    ],
    ["a 6/9 in three notes has no 7th", "three-note-69-a three-note-6-b", [...DOMINANTS, "Cmaj7", "Cmaj13"]],
    [
      "a minor 7th is not added to a minor sixth, a half-diminished or a ♭13",
      "rootless-m9-a rootless-m9-b rootless-m11-a rootless-m11-b",
      ["Cm6", "Cm6/9", "Cm9b5", "Cm11b5", "Cm7b13"],
    ],
    [
      "the same in three notes",
      "three-note-m9-a three-note-m7-b",
      ["Cm6", "Cm6/9", "Cm9b5", "Cm7b5", "Cm7b13", "Cm13"],
    ],
    ["a half-diminished 11th has its own form in three notes", "three-note-m11-b", ["Cm11b5", "Cm6"]],
    ["a minor 13 keeps its 7th", "rootless-m69-a rootless-m69-b three-note-m69-a three-note-m6-b", ["Cm13", "Cm7"]],
    ["a ♯11 beside a ♭13 is left to the altered forms", "rootless-9#11-a rootless-9#11-b", ["C7(#11,b13)"]],
    ["the same with a ♭9", "rootless-7b9#11-a rootless-7b9#11-b", ["C7(b9,#11,b13)"]],
    ["the same with a ♯9", "rootless-7#9#11-a rootless-7#9#11-b", ["C7(#9,#11,b13)"]],
    ["a 13 ♯11 has no altered 9th", "rootless-13#11-a rootless-13#11-b", ["C7(b9,#11)", "C7(#9,#11)", "C13(b9,#11)"]],
    ["a suspended chord has no minor 3rd", "rootless-9sus-a rootless-9sus-b", ["Cm11", "Cm7", "C7"]],
    ["a suspended 13 has no 3rd", "rootless-13sus-a rootless-13sus-b", SUSPENDED_AND_THIRD],
    ["a suspended ♭9 has no 3rd", "rootless-7susb9-a rootless-7susb9-b three-note-7susb9-a", ["C11(b9)"]],
    ["a suspended 13 ♭9 has no 3rd", "rootless-13susb9-a rootless-13susb9-b", ["C13(b9,11)"]],
    [
      "suspended chords in three notes have no 3rd",
      "three-note-9sus-a three-note-7sus-b three-note-13sus-b",
      SUSPENDED_AND_THIRD,
    ],
    [
      "no diminished 7th beside a 6th",
      "rootless-dim7-a rootless-dim7-b three-note-dim7-a three-note-dim7-b",
      ["Cm6(b5)"],
    ],
    ["fourths from the 3rd of a sixth chord are no dominant's", "fourths-6-3 fourths-69-wide", [...DOMINANTS, "C11"]],
    ["fourths from the 6th need a major 3rd and no minor 7th", "fourths-6-6", [...DOMINANTS, "Cm", "Csus4"]],
    ["fourths from the 11th of a minor chord need a minor seventh", "fourths-m7-11", ["Cm6", "Cm7b5", "Cm13"]],
    ["fourths from the 11th in two hands need a minor seventh", "fourths-m11-wide", ["Cm6", "Cm13"]],
    [
      "fourths from the 5th of a minor chord need its minor 3rd, no 6th, no major 7th",
      "fourths-m7-5",
      ["C", "C7", "CmMaj7", "Cm6"],
    ],
    ["suspended fourths have no 3rd", "fourths-7sus fourths-7sus-5 fourths-13sus-wide", SUSPENDED_AND_THIRD],
    ["spread sixth chords have no 7th", "spread-69-5", ["C13", "Cmaj13"]],
    ["spread minor sixth chords have no 7th", "spread-m69-5", ["Cm13"]],
    ["spread suspended chords have no 3rd", "spread-9sus-5 spread-13sus-7", SUSPENDED_AND_THIRD],
    ["spread suspended ♭9 chords have no 3rd", "spread-7susb9-5", ["C11(b9)"]],
    [
      "what is for triads has no 7th and no 6th",
      "shell-triad-a shell-triad-b two-note-shell-5 close-triad-0 close-triad-1 close-triad-2 spread-triad",
      ["C7", "Cmaj7", "Cdim7", "C6", "Cm7", "Cm6"],
    ],
    ["a bare fifth has no other tone", "close-fifth-0 close-fifth-1", ["C", "Cm", "Csus4", "Csus2", "C7"]],
    ["a tenth is a 3rd, not a 4th or 2nd", "tenth-5 tenth-7", ["Csus4", "C7sus4", "Csus2"]],
  ])("%s", (_, ids, symbols) => {
    const rows = ids.split(" ");
    expect(rows.filter((id) => !voicingCatalogue.some((form) => form.id === id))).toEqual([]);
    for (const id of rows)
      for (const symbol of symbols)
        expect(codeOf(symbol, { forms: [id], span: 24 }), `${id} on ${symbol}`).toBe("voicing/none");
  });
});

// Common practice, no source: the 9, the 13 and the like that a form adds to a symbol which does not name them.
describe("what plain symbols are dressed with", () => {
  it.each<readonly [VoicingStyle, string, string]>([
    ["fourths", "C", "3 6 9, 6 9 5, 3 6 9 5 1"],
    ["fourths", "C6", "3 6 9 5 1"],
    ["fourths", "Cmaj7", "7 3 13"],
    ["fourths", "Cm7", "11 b7 b3, 5 1 11, 1 11 b7 b3 5"],
    ["fourths", "C7", "b7 3 13, b7 3 13 9 5"],
    ["fourths", "C7#9", "3 b7 #9"],
    ["fourths", "C7sus4", "1 4 b7 9 13"],
    ["spread", "Cmaj7", "1 7 3 5 9, 1 5 3 7 9"],
    ["spread", "Cmaj13", "1 7 3 13 9"],
    ["spread", "Cmaj7#11", "1 7 3 #11 9"],
    ["spread", "Cmaj7#5", "1 7 3 #5 9"],
    ["spread", "C6", "1 5 3 6 9"],
    ["spread", "Cm7", "1 b7 b3 5 9, 1 5 b3 b7 9"],
    ["spread", "Cm11", "1 5 b7 b3 11"],
    ["spread", "Cm6", "1 5 b3 6 9"],
    ["spread", "CmMaj7", "1 5 b3 7 9"],
    ["spread", "C7", "1 b7 3 5 9, 1 b7 3 13 9"],
    ["spread", "C7b9", "1 b7 3 5 b9, 1 b7 3 13 b9"],
    ["spread", "C7#9", "1 b7 3 5 #9"],
    ["spread", "C7(b9,b13)", "1 b7 3 b13 b9"],
    ["spread", "C7#11", "1 b7 3 #11 9"],
    ["spread", "C7sus4", "1 5 b7 9 4, 1 b7 4 13 9"],
    ["spread", "C7susb9", "1 5 b7 b9 4"],
    ["spread", "Cm7b5", "1 b5 b7 b3, 1 b5 b7 b3 11"],
    ["spread", "Cdim7", "1 b5 bb7 b3"],
    ["spread", "C", "1 5 3 5 1"],
    ["three-note-rootless", "Cmaj7", "3 7 9, 7 3 5"],
    ["three-note-rootless", "C6", "3 6 9, 6 3 5"],
    ["three-note-rootless", "Cm7", "b3 b7 9, b7 b3 5"],
    ["three-note-rootless", "Cm6", "b3 6 9, 6 b3 5"],
    ["three-note-rootless", "C7", "3 b7 9, b7 3 5, b7 3 13"],
    ["three-note-rootless", "C7sus4", "4 b7 9, b7 4 5, b7 4 13"],
    ["three-note-rootless", "CmMaj7", "b3 7 9, 7 b3 5"],
    ["three-note-rootless", "Cdim7", "b3 b5 bb7, bb7 b3 b5"],
    ["rootless", "C", "3 5 6 9, 6 9 3 5"],
    ["rootless", "Cmaj7", "3 5 6 9"],
    ["rootless", "Cm", "b3 5 b7 9, b7 9 b3 5"],
    ["rootless", "Csus4", "4 5 b7 9, 4 13 b7 9"],
    ["rootless", "C11", "4 5 b7 9"],
    ["rootless", "C7#11", "3 #11 13 b7, b7 3 #11 13"],
  ])("%s %s: %s", (style, symbol, layouts) => {
    const played = [...voicingsFor(symbol, { style })].map((voicing) =>
      voicing.degrees.join(" ").replaceAll("11", "4").replace(/\b2\b/g, "9"),
    );
    for (const layout of layouts.split(", ")) expect(played).toContain(layout.replaceAll("11", "4"));
  });

  it("suspended fourths in one hand, which name themselves", () => {
    const layout = (id: string) => [...voicingsFor("C7sus4", { forms: [id] })][0]?.degrees.join(" ");
    expect([layout("fourths-7sus"), layout("fourths-7sus-5")]).toEqual(["1 4 b7", "5 1 4"]);
  });
});

describe("the rows themselves", () => {
  it("law: ids begin with their style, titles and labels are told, and no style has a title twice", () => {
    for (const { id, style, title, label } of voicingCatalogue) {
      expect(id, id).toMatch(new RegExp(`^${style === "three-note-rootless" ? "three-note" : style}-[^-\\s]`));
      expect(id).toMatch(/^[a-z0-9#-]+$/);
      expect(title, id).toMatch(/^[\w♭♯].{4,}/u);
      expect(label, id).toMatch(/^(A|B|\d+(-\d+)*|root position|(first|second|third) inversion)$/);
    }
    const titles = voicingCatalogue.map((form) => `${form.style}: ${form.title}`);
    expect(titles.filter((title, i) => titles.indexOf(title) !== i)).toEqual([]);
  });

  it("titles print accidentals as signs", () => {
    for (const { id, title } of voicingCatalogue) expect(title, id).not.toMatch(/#|b\d/);
    expect(voicingCatalogue.find((form) => form.id === "rootless-7b9-a")?.title).toContain("7♭9");
    expect(voicingCatalogue.find((form) => form.id === "spread-dim7")?.title).toContain("1 ♭5 under ♭♭7 ♭3");
    expect(voicingCatalogue.find((form) => form.id === "rootless-7#9b13-a")?.title).toContain("7♯9♭13");
  });

  it("numbers name the layout of fourths, spread forms and tenths", () => {
    const labels = (ids: string) => ids.split(" ").map((id) => voicingCatalogue.find((form) => form.id === id)?.label);
    expect(
      labels("fourths-7#9 fourths-m7-11 fourths-69-wide spread-m7b5 spread-maj9-7 tenth-5 two-note-shell-3"),
    ).toEqual(["3-7-9", "11-7-3", "3-6-9-5-1", "1-5", "1-7", "1-5-3", "1-3"]);
  });

  it("left and right hand take what the row says, the left the lower notes", () => {
    const hands = (symbol: string, style: VoicingStyle) =>
      new Set(
        [...voicingsFor(symbol, { style, span: 16 })].map((voicing) => voicing.hands.map((hand) => hand[0]).join("")),
      );
    expect(hands("C7", "rootless")).toEqual(new Set(["llll"]));
    expect(hands("C7", "shell")).toEqual(new Set(["lll"]));
    expect(hands("C7", "drop-2")).toEqual(new Set(["llrr"]));
    expect(hands("C7", "fourths")).toEqual(new Set(["lll", "llrrr"]));
    expect(hands("Cm7b5", "spread")).toEqual(new Set(["llrr", "llrrr"]));
    expect(hands("C7", "tenth")).toEqual(new Set(["lll"]));
  });

  it("says which note its register holds", () => {
    const held = (style: VoicingStyle) =>
      new Set(
        voicingCatalogue
          .filter((form) => form.style === style && form.degrees.length !== 3)
          .map(({ register: { of } }) => of),
      );
    expect([held("rootless"), held("drop-2"), held("close"), held("guide-tones")]).toEqual(
      Array(4).fill(new Set(["top"])),
    );
    expect([held("two-note-shell"), held("spread")]).toEqual([new Set(["lowest"]), new Set(["lowest"])]);
    expect(
      new Set(voicingCatalogue.filter((form) => form.style === "tenth").map(({ register }) => register.of)),
    ).toEqual(new Set(["lowest"]));
  });

  it("two-hand forms with the top note between G4 and G5, upper pairs of shells between G3 and G4, in every key", () => {
    const within = (style: VoicingStyle, from: string, to: string, notes = 0): void => {
      for (const root of ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"])
        for (const voicing of voicingsFor(`${root}7`, { style })) {
          if (notes > 0 && voicing.pitches.length !== notes) continue;
          const top = voicing.pitches.at(-1)?.semitones ?? -1;
          expect(top).toBeGreaterThanOrEqual(parsePitch(from).semitones);
          expect(top).toBeLessThanOrEqual(parsePitch(to).semitones);
        }
    };
    within("drop-2", "G4", "G5");
    within("fourths", "G4", "G5", 5);
    within("fourths", "C4", "C5", 3);
    within("close", "C4", "C5");
    within("guide-tones", "G3", "G4");
    within("shell", "G3", "G4");
  });

  it("forms on request are in no style", () => {
    const forms = (symbol: string) => [...voicingsFor(symbol)].map((voicing) => voicing.form);
    for (const [symbol, ids] of [
      ["Cmaj7", ["rootless-maj7-a", "rootless-maj7-b"]],
      ["Cdim7", ["rootless-dim9-a", "rootless-dim9-b"]],
    ] as const) {
      for (const id of ids) {
        expect(forms(symbol)).not.toContain(id);
        expect([...voicingsFor(symbol, { forms: [id] })].map((voicing) => voicing.form)).toContain(id);
      }
    }
  });
});
