import { describe, expect, it } from "vitest";
import type { Hand } from "../../src/event/index.ts";
import { fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { keyColour, noteName, parsePitch } from "../../src/pitch/index.ts";

const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;
const SCALES = ["major blues", "minor blues"] as const;
const HANDS = ["right", "left"] as const;
const everyScale = (visit: (name: string, hand: Hand) => void): void => {
  for (const type of SCALES) for (const key of KEYS) for (const hand of HANDS) visit(`${key} ${type}`, hand);
};

describe("blues scales", () => {
  it("common practice, no source: C major blues is 1 2 3 1 2 3 in the right hand, thumb on C and E in every octave", () => {
    for (const octaves of [1, 2, 3, 4]) {
      const { pitches, fingers } = fingerScale("C major blues", { hand: "right", octaves });
      const up = `${"123".repeat(2 * octaves)}1`;
      expect(fingers.join("")).toBe(up + [...up].reverse().join("").slice(1));
      pitches.forEach((p, i) => expect(fingers[i] === 1).toBe(["C", "E"].includes(noteName(p))));
    }
  });

  it("common practice, no source: coming down the 3rd finger crosses over the thumb onto E♭ and onto A", () => {
    const { crossings } = fingerScale("C major blues", { hand: "right", octaves: 2, direction: "down" });
    expect(
      crossings.map(({ kind, from, to }) => [kind, noteName(from.pitch), from.finger, noteName(to.pitch), to.finger]),
    ).toEqual([
      ["cross-over", "C", 1, "A", 3],
      ["cross-over", "E", 1, "Eb", 3],
      ["cross-over", "C", 1, "A", 3],
      ["cross-over", "E", 1, "Eb", 3],
    ]);
  });

  it("common practice, no source: the same from its plain notes", () => {
    const notes = "C4 D4 Eb4 E4 G4 A4 C5 A4 G4 E4 Eb4 D4 C4".split(" ").map(parsePitch);
    expect(fingerPassage(notes, { hand: "right" }).fingers.join("")).toBe("1231231321321");
  });

  it("law: one octave or four, in 12 keys, have crossings every octave, the same up and down", () => {
    everyScale((name, hand) => {
      for (const octaves of [1, 4]) {
        const up = fingerScale(name, { hand, octaves, direction: "up" });
        const down = fingerScale(name, { hand, octaves, direction: "down" });
        expect(down.fingers).toEqual([...up.fingers].reverse());
        expect(up.pitches).toHaveLength(6 * octaves + 1);
        const turned = hand === "right" ? "thumb-under" : "cross-over";
        expect(new Set(up.crossings.map(({ kind }) => kind))).toEqual(new Set([turned]));
        expect(up.crossings.length).toBeGreaterThanOrEqual(octaves);
        expect(down.crossings.map(({ index }) => 6 * octaves + 1 - index).reverse()).toEqual(
          up.crossings.map(({ index }) => index),
        );
      }
    });
  });

  // By trying every assignment of fingers 1 to 4 to the octave, turning only at the thumb.
  const thumbCanStayOff = (octave: readonly Pitch[], hand: Hand): boolean => {
    const outward = hand === "right" ? octave : [...octave].reverse();
    const black = outward.map((p) => keyColour(p) === "black");
    const fits = (fingers: readonly number[]): boolean =>
      fingers.every((finger, i) => {
        const next = fingers[(i + 1) % fingers.length] as number;
        return !(finger === 1 && black[i]) && (next > finger || (next === 1 && finger > 1));
      });
    for (let choice = 0; choice < 4 ** outward.length; choice++) {
      if (fits(outward.map((_, i) => (Math.floor(choice / 4 ** i) % 4) + 1))) return true;
    }
    return false;
  };

  it("law: the thumb is on a black key only where it must be, and then a remark says so", () => {
    let must = 0;
    everyScale((name, hand) => {
      const { octave, octaveFingers, remarks } = fingerScale(name, { hand });
      const onBlack = octave.some((p, step) => octaveFingers[step] === 1 && keyColour(p) === "black");
      expect([name, hand, onBlack]).toEqual([name, hand, !thumbCanStayOff(octave, hand)]);
      expect(remarks.map(({ kind: code }) => code)).toEqual(onBlack ? ["thumb-on-black"] : []);
      if (onBlack) must++;
    });
    expect(must).toBeGreaterThan(0);
  });

  it("names the black keys that the thumb takes", () => {
    expect(fingerScale("F# major blues", { hand: "right" }).remarks[0]?.message).toContain(
      "it takes F♯, the least awkward",
    );
    expect(fingerScale("C major blues", { hand: "left" }).remarks).toEqual([]);
  });

  // A neighbouring key is the next finger's or, by a turn, the thumb's: the hand is not drawn together so that thumb and little finger stand side by side.
  it.each([
    ["E♭ major blues", "Eb4 F4 Gb4 G4 F4 G4 F4 Bb4 Bb4 G4 C5 Bb4 G4 Bb4"],
    ["F minor blues", "F4 Ab4 Bb4 B4 C5 B4 Bb4 C5 Eb5 C5 Bb4 Ab4 F4"],
    ["C major blues", "C4 D4 Eb4 E4 D4 E4 D4 G4 A4 G4 E4 Eb4 D4 C4"],
  ])("common practice, no source: in a figure of %s no step passes over two fingers", (_, notes) => {
    const { pitches, fingers } = fingerPassage(notes.split(" ").map(parsePitch), { hand: "right" });
    const passedOver = fingers.slice(1).flatMap((finger, i) => {
      const step = (pitches[i + 1] as Pitch).semitones - (pitches[i] as Pitch).semitones;
      const along = (finger - (fingers[i] as number)) * Math.sign(step);
      return Math.abs(step) <= 2 && along > 2 ? [`${i + 1}: ${fingers[i]} to ${finger}`] : [];
    });
    expect(passedOver).toEqual([]);
  });
});
