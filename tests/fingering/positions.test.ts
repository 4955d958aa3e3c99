import { describe, expect, it } from "vitest";
import type { HandPosition } from "../../src/fingering/index.ts";
import { fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import { parsePitch, pitchName } from "../../src/pitch/index.ts";
import { parseScale } from "../../src/scale/index.ts";

const places = ({ positions }: { readonly positions: readonly HandPosition[] }): readonly unknown[] =>
  positions.map(({ from, to, lowest, highest }) => [from, to, pitchName(lowest), pitchName(highest)]);

describe("hand positions", () => {
  // 1 2 3, 1 2 3 4, 1 2 3, 1 2 3 4 5 and back: common practice, as in Evansville and in Beringer & Dunhill.
  it("common practice: C major over two octaves lies in four positions up and four down, the top one shared", () => {
    expect(places(fingerScale(parseScale("C major"), { hand: "right", octaves: 2 }))).toEqual([
      [0, 2, "C4", "E4"],
      [3, 6, "F4", "B4"],
      [7, 9, "C5", "E5"],
      [10, 18, "F5", "C6"],
      [19, 21, "C5", "E5"],
      [22, 25, "F4", "B4"],
      [26, 28, "C4", "E4"],
    ]);
  });

  it("common practice: five white keys under five fingers are one position, whichever hand", () => {
    const notes = ["C4", "E4", "D4", "G4", "F4"].map(parsePitch);
    for (const hand of ["right", "left"] as const)
      expect(places(fingerPassage(notes, { hand }))).toEqual([[0, 4, "C4", "G4"]]);
  });

  it("one note is one position", () => {
    expect(fingerPassage([parsePitch("C4")], { hand: "right" }).positions).toHaveLength(1);
  });
});
