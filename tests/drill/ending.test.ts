import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { backingCatalogue, drumKeys } from "../../src/backing/index.ts";
import { makeDrill } from "../../src/drill/index.ts";
import { writeMidi } from "../../src/midi/index.ts";
import { pitchClassOf, pitchName } from "../../src/pitch/index.ts";
import type { DrillRecipe } from "../../src/recipe/index.ts";
import { barLength, beatsToNumber } from "../../src/time/index.ts";

const num = beatsToNumber;
const recipes = fc
  .record({
    key: fc.constantFrom("C", "F", "Eb", "A", "F#"),
    changes: fc.constantFrom("turnaround", "two-five-one", "blues", "jazz-blues"),
    left: fc.constantFrom("shell" as const, "rootless" as const),
    right: fc.constantFrom("up-and-down" as const, "turns" as const, "improvised" as const, "comping" as const),
    metre: fc.constantFrom("4/4", "3/4", "5/4", "6/8", "12/8"),
    ending: fc.constantFrom("held" as const, "ritard" as const, "tag" as const),
    repeats: fc.constantFrom(1, 3),
    seed: fc.integer({ min: 1, max: 1000 }),
  })
  .map((recipe) => (recipe.right === "comping" ? { ...recipe, left: "shell" as const } : recipe));

describe("how a drill ends", () => {
  it("law: in every metre, style and right hand the last bar is the tonic, voiced, held by both hands and the bass, with a cymbal", () => {
    fc.assert(
      fc.property(recipes, (recipe) => {
        const { score, progression } = makeDrill(recipe);
        const open = makeDrill({ ...recipe, ending: "none" }).score;
        const bar = num(barLength(score.metre));
        const last = (score.bars - 1) * bar;
        expect(score.bars - open.bars).toBe(recipe.ending === "tag" ? 5 : 1);
        const chord = score.chords.at(-1);
        expect(num(chord?.at ?? { num: -1, den: 1 })).toBeCloseTo(last, 9);
        expect(chord?.chord?.root).toBe(progression.key.tonic);
        for (const part of ["left", "right", "bass"] as const) {
          const final = score[part]?.filter(({ at }) => num(at) >= last - 1e-9) ?? [];
          expect([part, final.length]).toEqual([part, 1]);
          expect(num(final[0]?.duration ?? { num: 0, den: 1 })).toBeCloseTo(bar, 9);
        }
        const [bass] = score.bass?.slice(-1) ?? [];
        expect(pitchName(bass?.pitches[0] as NonNullable<typeof bass>["pitches"][number]).replace(/\d/, "")).toBe(
          progression.key.tonic,
        );
        const classes = chord?.chord?.tones.map(({ note }) => pitchClassOf(note)) ?? [];
        for (const p of score.right.at(-1)?.pitches ?? [])
          if (recipe.right !== "comping") expect(classes).toContain(p.semitones % 12);
        const drums = score.drums?.filter(({ at }) => num(at) >= last - 1e-9) ?? [];
        expect(drums.map(({ midi }) => midi)).toContain(drumKeys.crash);
        // Nothing before the end is otherwise than without it, but for who leads into it.
        const hands = (s: typeof score) => s.right.filter(({ at }) => num(at) < open.bars * bar - 1e-9);
        expect(hands(score)).toEqual(hands(open));
      }),
      { numRuns: 40 },
    );
  });

  it("a tag is the last four bars once more, in both hands and chords", () => {
    const { score } = makeDrill({ key: "Bb", changes: "blues", ending: "tag", right: "up-and-down" });
    const symbols = (from: number) =>
      score.chords
        .filter(({ at }) => num(at) >= 4 * (from - 1) && num(at) < 4 * (from + 3))
        .map(({ chord }) => chord?.symbol);
    expect(symbols(score.bars - 4)).toEqual(symbols(score.bars - 8));
    const notes = (from: number) =>
      score.right
        .filter(({ at }) => num(at) >= 4 * (from - 1) && num(at) < 4 * (from + 3))
        .map(({ at, pitches }) => [num(at) - 4 * from, pitches.map(pitchName)]);
    expect(notes(score.bars - 4)).toEqual(notes(score.bars - 8));
  });

  it("a blues ends on its own seventh, a minor key on a sixth", () => {
    const last = (recipe: Partial<DrillRecipe>) =>
      makeDrill({ key: "C", ending: "held", ...recipe }).score.chords.at(-1)?.chord?.symbol;
    expect(last({ changes: "blues" })).toBe("C7");
    expect(last({})).toBe("C6");
    expect(last({ key: "C minor" })).toBe("Cm6");
  });

  it("is refused for some bars, or with printed repeats", () => {
    for (const part of [{ bars: [1, 2] as const }, { asWritten: true }])
      expect(() => makeDrill({ key: "C", ending: "held", ...part })).toThrow(
        expect.objectContaining({ code: "recipe/drill" }),
      );
  });

  it("law: every style of every metre that it plays ends, with repeats of which no two are alike", () => {
    for (const { id } of backingCatalogue)
      for (const metre of ["4/4", "3/4", "5/4", "6/8", "12/8"]) {
        let drill: ReturnType<typeof makeDrill>;
        try {
          drill = makeDrill({ key: "F", changes: "blues", metre, backing: id, ending: "held", repeats: 2 });
        } catch {
          continue;
        }
        const { score } = drill;
        const half = ((score.bars - 1) / 2) * num(barLength(score.metre));
        const chorus = (turn: number) =>
          score.drums
            ?.filter(({ at }) => num(at) >= turn * half && num(at) < (turn + 1) * half)
            .map(({ at, midi }) => `${num(at) - turn * half} ${midi}`);
        if (id !== "timekeeper") expect(chorus(1)).not.toEqual(chorus(0));
        expect(writeMidi(score).length).toBeGreaterThan(100);
      }
  });
});

describe("choruses that differ", () => {
  const starts = (recipe: Partial<DrillRecipe>) => {
    const { score } = makeDrill({ key: "F", changes: "blues", right: "comping", repeats: 3, ...recipe });
    const inChorus = (turn: number) =>
      score.bass?.filter(({ at }) => num(at) >= turn * 48 && num(at) < (turn + 1) * 48) ?? [];
    return [0, 1, 2].map((turn) => inChorus(turn));
  };

  it("two-then-four: in two, in four, in two again", () => {
    const [first = [], second = [], last = []] = starts({ arrangement: "two-then-four" });
    expect(second.length).toBe(48);
    expect(first.length).toBeLessThan(36);
    expect(last.length).toBeLessThan(36);
  });

  it("stop-time: in the second chorus eight bars have the first beat alone", () => {
    const [first = [], second = [], last = []] = starts({ arrangement: "stop-time" });
    expect(first.length).toBe(48);
    expect(last.length).toBe(48);
    expect(second.slice(0, 8).map(({ at, duration }) => [num(at), num(duration)])).toEqual(
      Array.from({ length: 8 }, (_, bar) => [48 + 4 * bar, 1]),
    );
    expect(second.length).toBe(8 + 16);
  });

  it("takes a row of one's own, and refuses what is none", () => {
    const row = { id: "mine", title: "Mine", source: "me", last: { bass: "long-notes" as const } };
    const [, second = [], last = []] = starts({ arrangement: row });
    expect(second.length).toBe(48);
    expect(last.length).toBeLessThan(20);
    expect(() => starts({ arrangement: { ...row, first: { bass: "tuba" } } as never })).toThrow(
      expect.objectContaining({ code: "recipe/drill" }),
    );
  });
});
